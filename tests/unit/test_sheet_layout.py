"""The nurse's sheet of every example, laid out alone: its pages, its fields, its short lines."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import pypdf
import pytest
import yaml
from builders import ROOT, library, policy, teaching
from format_2 import GIVEN, with_codes

import plainleaf
from plainleaf.packet.papers.paper import PressRoom
from plainleaf.packet.papers.paper_context import PaperContext, open_context
from plainleaf.packet.papers.teach_back import item_pages, lay_sheet
from plainleaf.packet.places import Places
from plainleaf.packet.sheet.form_fields import VERSION, fields_of
from plainleaf.packet.sheet.sheet_rows import sheet_rows

EXAMPLES = {
    path.stem: path
    for folder in (ROOT / "examples", GIVEN / "patients", ROOT / "tests" / "oracles" / "dictated")
    for path in sorted(folder.glob("*.yaml"))
}
# Pages beyond four: what the file orders gives more than 25 rows, or findings of a page.
LONGER = {
    "g-cancer-taper": 5, "g-night-insulin-arabic": 5, "g-school-child": 6, "gj-baby-diaper": 5,
    "gj-drain-phenytoin": 5, "j-alone-parkinson": 5, "g-change-group-home": 5,
    "g-infant-fortified": 5, "g-medicines-insulin": 5, "gj-vent-hospice": 5,
}  # fmt: skip
# Fields by how many learners give care.
MOST_FIELDS = {1: 260, 2: 330}


@cache
def context(name: str) -> PaperContext:
    """What the papers of an example are made from, in English alone."""
    text = EXAMPLES[name].read_text(encoding="utf-8")
    data = yaml.load(text, Loader=yaml.BaseLoader)
    if data.get("format") == "2":
        text = yaml.safe_dump(with_codes(data), allow_unicode=True, sort_keys=False)
    given = replace(teaching(), languages=("en",))
    decision = plainleaf.decide(text, given, policy(), language="en", name=name)
    return open_context(decision, PressRoom(decision, Places.default(), None), "0" * 10)


def labels(given: PaperContext) -> Mapping[str, str]:
    """The page of each statement, as the sections are planned."""
    return {name: str(page) for name, page in given.staff.packet.numbers().items()}


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_sheet_keeps_to_its_pages_and_fields(name: str, tmp_path: Path) -> None:
    given = context(name)
    paper = lay_sheet(given, labels(given), "14")
    pdf = paper.laid.pdf()
    assert paper.faults(pdf) == []
    file = tmp_path / "sheet.pdf"
    file.write_bytes(pdf.data)
    form = [a.get_object()["/T"] for p in pypdf.PdfReader(file).pages for a in p["/Annots"]]
    assert sorted(form) == sorted([VERSION, *fields_of(given.outline)])
    care = sum(learner.hands_on for learner in given.outline.learners)
    assert len(form) <= MOST_FIELDS.get(care, 480)
    assert pdf.pages <= LONGER.get(name, 4)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_question_has_a_line_to_listen_for_another_way_and_a_page(name: str) -> None:
    given = context(name)
    packet = given.staff.packet
    rows = sheet_rows(given.outline, packet, {}, item_pages(packet, labels(given)))
    assert [row.number for row in rows] == list(range(1, len(rows) + 1))
    for row in rows:
        assert row.page, row.item.id
        if not row.steps:
            assert row.says.runs, row.item.id
            assert row.again is not None
            assert row.again.runs


def test_every_question_has_short_lines_of_what_it_listens_for() -> None:
    """What has no short line is printed in the handout's words, so it is never left out."""
    for module in library().modules:
        for prompt in module.teach_back:
            said = {name for heard in prompt.listen for name in heard.of}
            assert said, prompt.id
            assert said <= set(prompt.listen_for), prompt.id
            assert all(len(heard.say.split()) <= 20 for heard in prompt.listen)
