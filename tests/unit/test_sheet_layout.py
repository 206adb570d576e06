"""The nurse's sheet of every example, laid out alone: its pages, its fields, its short lines."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import pdfplumber
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
from plainleaf.packet.sheet.sheet_signing import initials
from plainleaf.printing.inspection import read_back
from plainleaf.printing.inspection.text_match import InAnyOrder

EXAMPLES = {
    path.stem: path
    for folder in (ROOT / "examples", GIVEN / "patients", ROOT / "tests" / "oracles" / "dictated")
    for path in sorted(folder.glob("*.yaml"))
}
# Pages beyond four: what the file orders gives more than 25 rows, or findings of a page.
LONGER = {
    "g-night-insulin-arabic": 5, "g-school-child": 5, "gj-baby-diaper": 5,
    "gj-drain-phenytoin": 5, "j-alone-parkinson": 5, "g-change-group-home": 5,
    "g-infant-fortified": 5, "g-medicines-insulin": 5, "gj-vent-hospice": 5,
}  # fmt: skip
# Fields by how many learners give care.
MOST_FIELDS = {1: 260, 2: 330}


# Pages where the family's language stands beside the English.
BESIDE = {
    "g-button-child": 5, "g-infant-fortified": 7, "g-night-insulin-arabic": 6,
    "g-school-child": 7, "gj-vent-hospice": 6, "j-surgical-continuous": 5,
}  # fmt: skip


@cache
def context(name: str, *, english: bool = True) -> PaperContext:
    """What the papers of an example are made from, in English alone or as its readers read."""
    text = EXAMPLES[name].read_text(encoding="utf-8")
    data = yaml.load(text, Loader=yaml.BaseLoader)
    if data.get("format") == "2":
        text = yaml.safe_dump(with_codes(data), allow_unicode=True, sort_keys=False)
    given = replace(teaching(), languages=("en",)) if english else teaching()
    language = "en" if english else None
    decision = plainleaf.decide(text, given, policy(), language=language, name=name)
    return open_context(decision, PressRoom(decision, Places.default(), None), "0" * 10)


def labels(given: PaperContext) -> Mapping[str, str]:
    """The page of each statement, as the sections are planned."""
    return {name: str(page) for name, page in given.staff.packet.numbers().items()}


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_sheet_keeps_to_its_pages_and_fields(name: str, tmp_path: Path) -> None:
    given = context(name)
    paper = lay_sheet(given, labels(given), {"en": 14})
    pdf = paper.laid.pdf()
    assert paper.faults(pdf) == []
    file = tmp_path / "sheet.pdf"
    file.write_bytes(pdf.data)
    form = [a.get_object()["/T"] for p in pypdf.PdfReader(file).pages for a in p["/Annots"]]
    assert sorted(form) == sorted([VERSION, *fields_of(given.outline)])
    care = sum(learner.hands_on for learner in given.outline.learners)
    assert len(form) <= MOST_FIELDS.get(care, 480)
    assert pdf.pages <= LONGER.get(name, 4)


@pytest.mark.parametrize("name", BESIDE)
def test_the_family_reads_each_question_beside_the_english(name: str) -> None:
    given = context(name, english=False)
    paper = lay_sheet(given, labels(given), dict.fromkeys(given.languages, 14))
    pdf = paper.laid.pdf()
    assert paper.faults(pdf) == []
    assert pdf.pages <= BESIDE[name]
    # Whoever signs reads in the own language what it is that is signed.
    language = given.decision.language
    wording = given.words[language].wording
    printed = InAnyOrder("\n".join(page.text for page in read_back(pdf.data).pages))
    signs = ("sign-not-consent", "sign-signature", "sign-name", "sign-patient", "sign-declined")
    for phrase in signs:
        assert printed.lacking(wording.phrase(phrase).plain) == [], phrase


def test_a_question_stands_level_with_its_translation() -> None:
    """In columns, not one under the other: whoever teaches points from one to the other."""
    given = context("j-surgical-continuous", english=False)
    pdf = lay_sheet(given, labels(given), {"es": 14}).laid.pdf()
    words = [word for page in pdfplumber.open(io.BytesIO(pdf.data)).pages
             for word in page.extract_words()]  # fmt: skip
    (asked,) = [w for w in words if w["text"] == "middle"]
    theirs = [w for w in words if w["text"] == "madrugada."]
    assert any(abs(w["top"] - asked["top"]) < 2 and w["x0"] > asked["x1"] for w in theirs)


def test_a_learner_has_a_letter_of_the_own_beside_each_step() -> None:
    outline = context("g-medicines-insulin").outline
    assert initials(outline) == ["R", "M"]
    twins = replace(outline, learners=(outline.learners[0],) * 2)
    assert initials(twins) == ["1R", "2R"]


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
