"""The nurse's sheet: it belongs to exactly this handout, and its form is named and empty."""

from __future__ import annotations

import re
from collections import Counter
from decimal import ROUND_HALF_UP, Decimal

from packets import Packet
from pdf_reading import document, fields, squeezed
from test_packet_print import handout_body, sheet_body

from plainleaf.compose.word import WordedPages
from plainleaf.packet.record.packet_record import PACKET_RECORD
from plainleaf.packet.sheet.form_fields import TICK, VERSION, field_name, fields_of
from plainleaf.packet.sheet.outline_json import outline_of


def _first_words(pages: WordedPages, ids: tuple[str, ...]) -> str:
    """The words that a question or skill points to: its first statement that is printed.

    Of a table it is the first row; of what stands on the phone page alone it is nothing.
    """
    printed = pages.statements()
    statement = next((printed[name] for name in ids if name in printed), None)
    if statement is None:
        return ""
    if statement.words is not None:
        return str(statement.words)
    assert statement.block is not None
    return "".join(str(line) for cell in statement.block.rows[0] for line in cell)


def _points(packet: Packet) -> list[tuple[str, str, str]]:
    """A row's number on the sheet, its question or title, and the handout's words it points to."""
    outline = outline_of(PACKET_RECORD.of(packet.record))
    asks = outline.speeches[packet.worded.language].asks
    return [
        (str(outline.row(item)), str(asks[item.id]),
         _first_words(packet.printed, item.points))
        for item in outline.items
    ]  # fmt: skip


def test_every_row_stands_on_the_sheet_and_its_words_in_the_handout(packet: Packet) -> None:
    sheet, handout = sheet_body(packet), handout_body(packet)
    points = _points(packet)
    assert sum(bool(words) for _, _, words in points) > 10
    for number, ask, words in points:
        assert f"{number}{squeezed(ask)}" in sheet.text
        assert not words or handout.pages_of(words), words


def test_every_field_has_a_name_and_says_what_it_is_for(packet: Packet) -> None:
    form = fields(packet.sheet)
    assert len(form) > 50
    assert not [name for name, n in Counter(f["/T"] for f in form).items() if n > 1]
    assert not [tip for tip, n in Counter(f["/TU"] for f in form).items() if n > 1]
    for field in form:
        assert len(field["/TU"].strip()) > 3
        assert field["/TU"] != field["/T"]


def test_every_field_says_whom_it_is_about(packet: Packet) -> None:
    names = [learner.name for learner in packet.decision.patient.learners]
    for field in fields(packet.sheet):
        learner = re.match(r"learner/([0-9])/|.*/(?:tb|sb)/[^0-9]*/([0-9])/", field["/T"])
        if learner is not None:
            assert names[int(learner[1] or learner[2])] in field["/TU"]


def test_no_field_is_filled_in(packet: Packet) -> None:
    for field in fields(packet.sheet):
        if field["/T"] == VERSION:
            continue
        assert field.get("/V", "") in ("", "/Off")
        assert field.get("/AS", "/Off") == "/Off"
        assert "/DV" not in field


def test_the_version_is_a_field_that_nobody_can_change(packet: Packet) -> None:
    (field,) = (field for field in fields(packet.sheet) if field["/T"] == VERSION)
    assert field["/V"] == packet.record["version"]
    assert field["/Ff"] & 1


def test_the_fields_are_those_that_the_record_asks_for(packet: Packet) -> None:
    asked = fields_of(outline_of(PACKET_RECORD.of(packet.record)))
    form = {field["/T"]: field for field in fields(packet.sheet) if field["/T"] != VERSION}
    assert set(form) == set(asked)
    for name, field in form.items():
        assert field["/FT"] == ("/Btn" if asked[name].kind == TICK else "/Tx")
        assert "." not in name  # a period parts a name (ISO 32000-1, 12.7.3.2)
        left, bottom, right, top = (float(number) for number in field["/Rect"])
        assert left < right and bottom < top


def test_codes_take_a_digit_and_a_letter_and_plan_letters_one_sign(packet: Packet) -> None:
    short = [f for f in fields(packet.sheet) if f["/T"].endswith(("/code", "/letter"))]
    assert short
    assert all(field["/MaxLen"] == (3 if field["/T"].endswith("/code") else 1) for field in short)


def test_whoever_gives_care_is_asked_to_show_every_skill(packet: Packet) -> None:
    outline = outline_of(PACKET_RECORD.of(packet.record))
    names = {field["/T"] for field in fields(packet.sheet)}
    for item in outline.items:
        for number, learner in enumerate(outline.learners):
            shown = field_name(item.id, number, "try-1", "code") in names
            assert shown is (learner.hands_on or item.kind == "tell")


def test_every_field_stands_on_a_page_and_in_the_tag_tree(packet: Packet) -> None:
    pdf = document(packet.sheet)
    on_pages = [a.get_object() for p in pdf.pages for a in p.get("/Annots", [])]
    placed = {a["/T"] for a in on_pages if a["/Subtype"] == "/Widget"}
    assert placed == {field["/T"] for field in fields(packet.sheet)}
    assert all("/StructParent" in field for field in fields(packet.sheet))


def test_the_handout_has_no_form(packet: Packet) -> None:
    assert fields(packet.handout) == []


def test_totals_of_the_sheet_are_those_of_the_record(packet: Packet) -> None:
    sheet = sheet_body(packet)
    for name in ("formula_ml", "flush_ml", "water_ml"):
        exact = Decimal(str(packet.record["totals"][name]))
        whole = exact.to_integral_value(ROUND_HALF_UP)  # rounded once, in print
        assert not exact or f"{whole:,} mL" in sheet


def test_every_finding_stands_on_the_sheet(packet: Packet) -> None:
    sheet = sheet_body(packet)
    for finding in packet.record["findings"]:
        assert finding["says"] in sheet
        assert finding["id"] in sheet
        if finding["accepted"]:
            assert finding["accepted"]["by"] in sheet


def test_the_sheet_names_the_handout_it_belongs_to(packet: Packet) -> None:
    sheet = sheet_body(packet)
    title = document(packet.handout).metadata.title
    count = len(document(packet.handout).pages)
    assert f"Given: {title}, English, version {packet.record['version']}. Pages: {count}." in sheet
