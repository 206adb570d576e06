"""The tag tree of the finished pages: by an outside validator, and by our own reading of it."""

from __future__ import annotations

from collections.abc import Iterator

import page
import pytest
from packets import Packet
from pdf_reading import Tag, document, marked_text, outline, sheets, squeezed, tag_text, tag_tree
from test_packet_print import furniture, titles_above

HEADINGS = {"/H1": 1, "/H2": 2, "/H3": 3, "/H4": 4, "/H5": 5, "/H6": 6}
both_files = pytest.mark.parametrize("name", ["handout.pdf", "teach-back.pdf"])


def _tags(data: bytes, *kinds: str) -> list[Tag]:
    return [tag for tag in tag_tree(data).every() if tag.kind in kinds]


@both_files
def test_the_validator_finds_no_fault_of_pdf_ua(packet: Packet, name: str) -> None:
    report = page.validate_pdf_bytes(packet.files[name], profile="ua1")
    assert [str(failure) for failure in report.failures] == []
    assert report.is_compliant
    assert report.rules.total > 90


@both_files
def test_the_document_names_its_language_and_title(packet: Packet, name: str) -> None:
    pdf = document(packet.files[name])
    root = pdf.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"].value
    assert root["/ViewerPreferences"]["/DisplayDocTitle"].value
    assert len(pdf.metadata.title) > 10


@both_files
def test_what_the_window_shows_does_not_name_the_patient(packet: Packet, name: str) -> None:
    pdf = document(packet.files[name])
    person = packet.decision.patient.person
    shown = " ".join(str(value) for value in pdf.metadata.values())
    shown += pdf.trailer["/Root"]["/Metadata"].get_data().decode("utf-8", "replace")
    for part in (*person.name.split(), person.record_number):
        assert part not in shown


@both_files
def test_every_table_header_says_what_it_heads(packet: Packet, name: str) -> None:
    data = packet.files[name]
    headers = _tags(data, "/TH")
    assert headers
    for header in headers:
        assert header.entries["/A"].get_object()["/Scope"] in ("/Row", "/Column")
    for row in _tags(data, "/TR"):
        assert {kid.kind for kid in row.kids} <= {"/TH", "/TD"}
    for table in _tags(data, "/Table"):
        assert len(set(_widths(table))) == 1


def _span(cell: Tag, name: str) -> int:
    return int(cell.entries["/A"].get_object().get(name, 1)) if "/A" in cell.entries else 1


def _widths(table: Tag) -> Iterator[int]:
    """Columns of each row, with the cells that reach down into it."""
    reaching: list[tuple[int, int]] = []  # rows to come, columns
    for row in (tag for tag in table.every() if tag.kind == "/TR"):
        yield sum(_span(cell, "/ColSpan") for cell in row.kids) + sum(n for _, n in reaching)
        reaching += [(_span(cell, "/RowSpan"), _span(cell, "/ColSpan")) for cell in row.kids]
        reaching = [(rows - 1, columns) for rows, columns in reaching if rows > 1]


@both_files
def test_no_picture_is_without_words(packet: Packet, name: str) -> None:
    for figure in _tags(packet.files[name], "/Figure"):
        assert str(figure.entries.get("/Alt", "")).strip()


@both_files
def test_headings_never_skip_a_level(packet: Packet, name: str) -> None:
    before = 0
    for heading in _tags(packet.files[name], *HEADINGS):
        level = HEADINGS[heading.kind]
        assert level <= before + 1, tag_text(packet.files[name], heading)
        assert tag_text(packet.files[name], heading)
        before = level


@both_files
def test_list_items_hold_a_label_and_a_body(packet: Packet, name: str) -> None:
    items = _tags(packet.files[name], "/LI")
    assert items or name == "teach-back.pdf"
    for item in items:
        kinds = [kid.kind for kid in item.kids]
        assert kinds in (["/Lbl", "/LBody"], ["/LBody"]), kinds
        assert tag_text(packet.files[name], item.kids[-1])


@both_files
def test_head_and_foot_are_not_read_out(packet: Packet, name: str) -> None:
    data = packet.files[name]
    count = len(document(data).pages)
    counted = [f"Page {number} of {count}" for number in range(1, count + 1)]
    around = titles_above(packet) if name == "handout.pdf" else counted
    for sheet, more in zip(sheets(data), around, strict=True):
        loose = squeezed("".join(c.text for c in sheet.letters if c.mark is None))
        for part in (*furniture(packet), *more.split("|")):
            assert squeezed(part) in loose
            loose = loose.replace(squeezed(part), "", 1)
        assert loose in ("", "."), loose
        assert {c.tag for c in sheet.letters if c.mark is None} == {"Artifact"}


@both_files
def test_every_other_letter_hangs_in_the_tree_once(packet: Packet, name: str) -> None:
    data = packet.files[name]
    marks = [mark for tag in tag_tree(data).every() for mark in tag.marks]
    assert len(marks) == len(set(marks))
    assert set(marked_text(data)) <= set(marks)


@both_files
def test_bookmarks_are_the_headings(packet: Packet, name: str) -> None:
    data = packet.files[name]
    # The colon after a heading in a line is painted by the style.
    headings = [
        (
            HEADINGS[tag.kind],
            tag_text(data, tag).rstrip(":"),
            next(m for t in tag.every() for m in t.marks),
        )
        for tag in _tags(data, "/H1", "/H2")
    ]
    assert outline(data) == [(level, words, mark[0] + 1) for level, words, mark in headings]


def test_links_have_words_and_are_printed(packet: Packet) -> None:
    for one in document(packet.handout).pages:
        for reference in one.get("/Annots", []):
            annotation = reference.get_object()
            assert annotation["/F"] & 4
            assert str(annotation.get("/Contents", ""))
            assert "/URI" not in annotation.get("/A", {})
