"""The lists of what must be taught and of what names a port, and every kind of fault in them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from builders import library

from plainleaf.authoring.prove.duties import FILE, load_duties
from plainleaf.inputs.content import Library
from plainleaf.vocabulary.errors import ContentError

GOOD = """\
taught:
  - id: help
    when: always
    any_of: [getting-help.tb.help]
    sources: [tier-1]
  - id: out
    when: {child: true}
    any_of: [problems.tb.out, flushing.sb.gravity]
    sources: [tb-show]
ports:
  - id: medicine-port
    in: [medicines]
    words: ["into the {gastric_port_name}"]
    needs: {medicines_through_gastric: true}
    sources: [port-gj]
ages:
  - id: not-for-a-baby
    words: [school]
    needs: {not: {age_group: infant}}
    sources: [practice]
"""


def with_text(folder: Path, text: str) -> Library:
    (folder / "rules").mkdir(exist_ok=True)
    (folder / FILE).write_text(text, encoding="utf-8")
    return replace(library(), folder=folder)


def test_two_lists(tmp_path: Path) -> None:
    duties = load_duties(with_text(tmp_path, GOOD))
    assert [duty.id for duty in duties.taught] == ["help", "out"]
    assert duties.taught[0].line == 2
    assert duties.taught[1].any_of == ("problems.tb.out", "flushing.sb.gravity")
    assert str(duties.taught[1].when) == "child is true"
    assert [kept.modules for kept in duties.kept] == [("medicines",), ()]


BAD = [
    ("getting-help.tb.help", "feeding.mouth.brush", "names 'feeding.mouth.brush'"),
    ("problems.tb.out", "problems.out-new.now", "names 'problems.out-new.now'"),
    ("in: [medicines]", "in: [pills]", "names 'pills', which is no module"),
    ("[tier-1]", "[rumour]", "cites 'rumour'"),
    ("[port-gj]", "[rumour]", "cites 'rumour'"),
    ("id: out", "id: help", "'help' stands twice"),
    ("{child: true}", "{tall: true}", "'tall' is not a fact"),
    ("    when: always\n", "", "when is missing"),
    ("any_of: [getting-help.tb.help]", "any_of: []", "is an empty list"),
    ("any_of: [getting-help.tb.help]", "any_of: [[a]]", "not a word"),
    ("    needs: {medicines_through_gastric: true}\n", "", "needs is missing"),
    ("taught:", "teached:", "taught is missing"),
    ("ages:", "age:", "ages is missing"),
    ("words: [school]", "words: [school]\n    in: [medicines]", "unknown key 'in'"),
    ("    sources: [tier-1]", "    sources: [tier-1]\n    why: no", "unknown key 'why'"),
]


@pytest.mark.parametrize("number", range(len(BAD)))
def test_each_fault_is_told_with_its_line(tmp_path: Path, number: int) -> None:
    old, new, says = BAD[number]
    assert GOOD.count(old) == 1
    with pytest.raises(ContentError) as error:
        load_duties(with_text(tmp_path, GOOD.replace(old, new)))
    assert says in str(error.value)
    assert all(fault.file == FILE and fault.line > 0 for fault in error.value.faults)


def test_a_folder_without_the_list_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match=r"proof\.yaml"):
        load_duties(replace(library(), folder=tmp_path))
