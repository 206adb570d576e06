"""What no cut may lose: emergencies, lines that say never, and critical points of teach-back.

`frozen-lines.yaml` holds them as they stood on all papers before the pages were made short: line →
the example patients who had it. Whatever is no longer printed for one of them, or lost its rank,
has a written reason there.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import pytest
import yaml
from builders import ROOT, policy, teaching
from format_2 import GIVEN, with_codes

import plainleaf
from plainleaf.packet.papers.handout import PRINTED
from plainleaf.rules.decision import Decision

FILE = ROOT / "tests" / "content" / "frozen-lines.yaml"
EXAMPLES = {
    path.stem: path
    for folder in (ROOT / "examples", GIVEN / "patients", ROOT / "tests" / "oracles" / "dictated")
    for path in sorted(folder.glob("*.yaml"))
}


@cache
def frozen() -> Mapping[str, Mapping[str, object]]:
    """`lines` and `critical`: id → examples; `gone`: id → why."""
    return yaml.safe_load(FILE.read_text(encoding="utf-8"))


@cache
def decided(name: str) -> Decision:
    text = EXAMPLES[name].read_text(encoding="utf-8")
    data = yaml.load(text, Loader=yaml.BaseLoader)
    if data.get("format") == "2":
        text = yaml.safe_dump(with_codes(data), allow_unicode=True, sort_keys=False)
    return plainleaf.decide(text, teaching(), policy(), language="en", name=name)


def lines_of(decision: Decision) -> set[str]:
    """Emergencies and lines that say never, of the pages that are printed for everybody."""
    return {
        st.id
        for page in decision.selection.pages
        if page.page.part in PRINTED
        for section in page.sections
        for st in section.statements
        if st.kind in ("call_now", "warn") or any(a.stance == "never" for a in st.advice)
    }


def critical_of(decision: Decision) -> set[str]:
    """Questions and skills that are critical."""
    chosen = decision.selection.modules
    asked = {i.id for m in chosen for i in (*m.teach_back, *m.show_back) if i.critical}
    return asked


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_emergency_and_never_is_printed_or_has_a_reason(name: str) -> None:
    held = {line for line, names in frozen()["lines"].items() if name in names}  # type: ignore[operator]
    assert held - lines_of(decided(name)) <= set(frozen()["gone"])


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_critical_point_is_asked_or_has_a_reason(name: str) -> None:
    held = {line for line, names in frozen()["critical"].items() if name in names}  # type: ignore[operator]
    assert held - critical_of(decided(name)) <= set(frozen()["gone"])


def test_each_reason_is_written_and_needed() -> None:
    gone = frozen()["gone"]
    assert all(isinstance(why, str) and len(why.split()) > 3 for why in gone.values())
    known = {*frozen()["lines"], *frozen()["critical"]}
    assert set(gone) <= known
