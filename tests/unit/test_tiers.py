"""One event has one tier in all papers, and no line borrows the words of a higher tier."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from shutil import copytree

import pytest
from builders import ROOT, library

from plainleaf.authoring.lint import lint
from plainleaf.authoring.prove.failures import Failure
from plainleaf.authoring.prove.run import proving
from plainleaf.authoring.prove.tiers import prove_tiers, told
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.content import TIERS, load_library

# What the rule of the four tiers says of each event, and of nothing else.
RULED = {
    "call_us": ("moved", "nothing-in", "broken", "choked", "pump", "drops"),
    "call_today": ("leak", "skin", "vomit", "stools", "feelings"),
    "tell_visit": ("tissue",),
    "call_now": ("first-days", "breathing", "belly", "blood", "harm", "wrong-line", "neck"),
}


@pytest.mark.parametrize(
    ("tier", "event"), [(tier, event) for tier, events in RULED.items() for event in events]
)
def test_an_event_has_the_tier_of_the_rule_on_every_paper(tier: str, event: str) -> None:
    kinds = {line.statement.kind for line in told(library())[event]}
    assert kinds == {tier} and tier in TIERS


def test_each_event_is_told_on_page_one_and_on_another_paper() -> None:
    for event, lines in told(library()).items():
        modules = {line.module.id for line in lines}
        assert "getting-help" in modules and len(modules) > 1, event


def _changed(folder: Path, module: str, old: str, new: str) -> Path:
    copied = copytree(ROOT / "teaching", folder / "teaching")
    path = copied / "modules" / module
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return copied


def _proof(folder: Path) -> list[Failure]:
    return list(prove_tiers(proving(load_library(folder, VOCABULARY))))


def test_every_class_of_patient_reads_one_tier_of_each_event() -> None:
    assert list(prove_tiers(proving(library()))) == []


CHANGES: list[tuple[str, str, str, Callable[[str], bool]]] = [
    ("finder.yaml", 'call_us: "Nothing goes in"', 'call_today: "Nothing goes in"',
     lambda says: "of 'nothing-in', and" in says),
    ("getting-help.yaml", "        when: {build: low-profile}\n        event: [moved]",
     "        when: {build: low-profile, child: true}\n        event: [moved]",
     lambda says: says == "names 'moved', of which page 1 has no line."),
]  # fmt: skip


@pytest.mark.parametrize(("module", "old", "new", "told_of"), CHANGES)
def test_another_tier_or_no_line_on_page_one_is_found(
    tmp_path: Path, module: str, old: str, new: str, told_of: Callable[[str], bool]
) -> None:
    assert any(told_of(f.says) for f in _proof(_changed(tmp_path, module, old, new)))


LINES = [
    ('call_today: "A new leak: or one that grows."', 'call_today: "A new leak: call at once."',
     "says 'at once'"),
    ('call_today: "A new leak: or one that grows."', 'call_today: "A new leak: call us now."',
     "says 'now'"),
    ('call_us: "The tube feels loose: use it', 'call_us: "The tube feels loose: emergency, use it',
     "says 'emergency'"),
    ('tell_visit: "Raised, moist', 'tell_visit: "Call {emergency_phone}. Raised, moist',
     "says '{emergency_phone}'"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "says"), LINES)
def test_a_line_with_the_words_of_a_higher_tier_is_refused(
    tmp_path: Path, old: str, new: str, says: str
) -> None:
    _, faults = lint(_changed(tmp_path, "getting-help.yaml", old, new))
    assert any(says in fault.wrong for fault in faults)


def test_a_line_of_the_finder_names_an_event_that_another_line_has(tmp_path: Path) -> None:
    _, faults = lint(_changed(tmp_path, "finder.yaml", "event: [tissue]", "event: [tisue]"))
    assert any("'finder.skin.tissue' alone tells of 'tisue'" in fault.wrong for fault in faults)
