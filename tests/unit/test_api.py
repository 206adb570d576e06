"""The library that other programs call: held once, shared by threads, cheap to import."""

from __future__ import annotations

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import pytest
from builders import EXAMPLES, ROOT, policy, teaching, text_with

import plainleaf
from plainleaf import api
from plainleaf.vocabulary.errors import PatientError, StoppedError


def decided(name: str) -> plainleaf.Decision:
    return plainleaf.decide(text_with(base=name), teaching(), policy())


def test_all_public_names_are_there_and_described() -> None:
    assert plainleaf.__all__ == api.__all__ == sorted(plainleaf.__all__)
    assert [name for name in plainleaf.__all__ if not getattr(plainleaf, name).__doc__] == []
    assert dir(plainleaf) == plainleaf.__all__


def test_what_is_not_public_is_not_there() -> None:
    with pytest.raises(AttributeError, match="nothing"):
        _ = plainleaf.nothing  # type: ignore[attr-defined]


def test_importing_it_loads_no_part_of_it() -> None:
    code = "import sys, plainleaf; print(*[m for m in sys.modules if m.startswith('plainleaf.')])"
    command = [sys.executable, "-c", code]
    ran = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT / "src")
    assert ran.stdout.split() == []


def test_others_see_its_types() -> None:
    assert (ROOT / "src" / "plainleaf" / "py.typed").is_file()


def test_what_ships_is_opened_where_nothing_else_is_named() -> None:
    assert plainleaf.open_teaching().library.digest == teaching().library.digest
    assert plainleaf.open_policy() == policy()


def test_a_text_is_read_as_yaml_or_as_json() -> None:
    for text in ("format: 1", '{"format": "1"}'):
        with pytest.raises(PatientError) as refused:
            plainleaf.decide(text, teaching(), policy(), name="somebody")
        assert {fault.file for fault in refused.value.faults} == {"somebody"}
        assert any("patient is missing" in fault.wrong for fault in refused.value.faults)


def test_another_language_is_decided_for() -> None:
    text = text_with()
    assert plainleaf.decide(text, teaching(), policy(), language="es").language == "es"
    assert plainleaf.decide(text, teaching(), policy()).language == "en"


def test_the_review_is_plain_data() -> None:
    decision = decided("gj-pump-overnight")
    reviewed = plainleaf.review(decision)
    assert [row["id"] for row in reviewed["findings"]] == [f.id for f in decision.findings]
    assert reviewed["totals"]["formula_ml"] == 900
    assert reviewed["stopped"] is True


def test_a_packet_is_never_built_while_findings_block_it() -> None:
    decision = decided("gj-pump-overnight")
    with pytest.raises(StoppedError) as refused:
        plainleaf.build(decision)
    blocking = tuple(finding.id for finding in decision.findings if finding.blocks)
    assert refused.value.findings == blocking != ()


def test_threads_decide_at_once_as_one_does_alone() -> None:
    names = sorted(EXAMPLES) * 4
    alone = {name: plainleaf.review(decided(name)) for name in EXAMPLES}
    with ThreadPoolExecutor(4) as threads:
        together = list(threads.map(lambda name: (name, plainleaf.review(decided(name))), names))
    assert [name for name, reviewed in together if reviewed != alone[name]] == []
    assert len(together) == len(names)
