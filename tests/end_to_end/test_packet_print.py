"""The finished pages, read back by other programs: words, sizes, fonts, page one, every page."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from packets import Packet
from pdf_reading import (
    READERS,
    Body,
    body,
    document,
    fonts,
    outline,
    pages,
    sheets,
    squeezed,
)

from plainleaf.compose.word import WordedModule, WordedStatement

# Least print of the family's pages in points (row LP-01 of the print rules: large print).
LARGE_PRINT = 18.0
# No printer reaches closer to the edge than a quarter of an inch (row PR-03).
UNPRINTABLE = 18.0
both_readers = pytest.mark.parametrize("reader", READERS)


def furniture(packet: Packet) -> tuple[str, str, str]:
    """What stands around every page: the marks, who it is for, the version."""
    wording, person = packet.wording, packet.decision.patient.person
    marks = "DRAFT: not reviewed by a clinician. Example settings"
    identity = f"{person.name}, record {person.record_number}"
    made = wording.day_of_year(packet.decision.patient.prepared_on.date())
    return marks, identity, f"Version {packet.record['version']}, en, {made}"


def words_of(statement: WordedStatement) -> Iterator[str]:
    """The words of a statement as they must stand in the print; a table line by line."""
    if statement.words is not None:
        yield str(statement.words)
        return
    assert statement.block is not None
    for row in statement.block.rows:
        for cell in row:
            yield from (str(line) for line in cell)


def _handout(packet: Packet, reader: str) -> Body:
    return body(packet.handout, furniture(packet), reader)


@both_readers
def test_every_statement_of_the_record_reads_from_the_pages(packet: Packet, reader: str) -> None:
    print_out = _handout(packet, reader)
    for statement in packet.record["statements"]:
        for part in re.split(r"\n| \| | / ", statement["says"]):
            assert part in print_out, (statement["id"], part)


@both_readers
def test_every_value_of_the_words_reads_from_the_pages(packet: Packet, reader: str) -> None:
    print_out = _handout(packet, reader)
    for identity, statement in packet.worded.statements().items():
        for words in words_of(statement):
            assert words in print_out, (identity, words)


@both_readers
def test_statements_stand_in_their_order(packet: Packet, reader: str) -> None:
    text, at = _handout(packet, reader).text, 0
    for module in packet.worded.modules:
        for section in module.sections:
            for words in (section.heading, *(s.words for s in section.statements if s.words)):
                at = text.index(squeezed(str(words)), at)


def test_two_readers_read_the_same(packet: Packet) -> None:
    for data in (packet.handout, packet.sheet):
        # Bullets and numbers are painted after their lines; readers differ in where they put them.
        first, second = ([sorted(page) for page in pages(data, reader)] for reader in READERS)
        assert first == second


@both_readers
def test_every_phone_of_the_file_reads_from_the_pages(packet: Packet, reader: str) -> None:
    contacts = packet.source["contacts"]
    phones = [c["phone"] for c in contacts.values() if isinstance(c, dict)]
    phones += [c["phone"] for c in contacts.get("others", [])]
    assert len(phones) >= 3
    for phone in phones:
        assert phone in _handout(packet, reader)


@both_readers
def test_every_amount_of_the_schedule_reads_from_the_pages(packet: Packet, reader: str) -> None:
    amounts = {line["amount_ml"] for line in packet.record["schedule"]} - {None}
    assert amounts
    for amount in amounts:
        assert f"{amount:,} mL" in _handout(packet, reader), amount


@both_readers
def test_every_line_of_the_schedule_reads_from_the_pages(packet: Packet, reader: str) -> None:
    for line in packet.record["schedule"]:
        assert line["what"] in _handout(packet, reader)


def test_no_letter_of_the_handout_is_below_large_print(packet: Packet) -> None:
    sizes = [letter.size for sheet in sheets(packet.handout) for letter in sheet.letters]
    assert len(sizes) > 5000
    assert min(sizes) >= LARGE_PRINT - 0.01


def test_no_letter_stands_outside_the_printable_page(packet: Packet) -> None:
    for data in (packet.handout, packet.sheet):
        for sheet in sheets(data):
            for letter in sheet.letters:
                assert letter.left >= UNPRINTABLE
                assert letter.right <= sheet.width - UNPRINTABLE
                assert letter.top >= UNPRINTABLE
                assert letter.bottom <= sheet.height - UNPRINTABLE


def test_only_our_fonts_are_used_and_each_is_embedded(packet: Packet) -> None:
    for data in (packet.handout, packet.sheet):
        assert fonts(data)
        for font in fonts(data):
            assert font["/BaseFont"].split("+")[-1].startswith("Source-Sans-3")
            descriptor = font["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
            assert {"/FontFile2", "/FontFile3"} & set(descriptor), font["/BaseFont"]


def _of_module(module: WordedModule) -> Iterator[str]:
    yield str(module.title)
    for section in module.sections:
        yield str(section.heading)
        for statement in section.statements:
            yield from words_of(statement)


@both_readers
def test_page_one_holds_exactly_when_to_get_help(packet: Packet, reader: str) -> None:
    first = packet.worded.modules[0]
    assert first.id == "getting-help"
    rest = pages(packet.handout, reader)[0]
    for part in (*furniture(packet), f"Page 1 of {len(document(packet.handout).pages)}."):
        assert squeezed(part) in rest
        rest = rest.replace(squeezed(part), "", 1)
    for words in sorted(_of_module(first), key=len, reverse=True):
        assert squeezed(words) in rest, words
        rest = rest.replace(squeezed(words), "", 1)
    assert rest.strip(",•") == "", rest


@both_readers
def test_every_page_says_which_whose_and_what_version(packet: Packet, reader: str) -> None:
    for data in (packet.handout, packet.sheet):
        read = pages(data, reader)
        for number, page in enumerate(read, 1):
            assert page.count(f"Page{number}of{len(read)}") == 1
            for part in furniture(packet):
                assert squeezed(part) in page, (number, part)


def test_contents_name_the_page_where_each_topic_begins(packet: Packet) -> None:
    titles = [squeezed(str(module.title)) for module in packet.worded.modules]
    # The numbers of a list are painted after its words.
    lines = "".join(rf"{re.escape(title)}\.+([0-9]+)" for title in titles)
    contents = re.search(lines + r"1\.2\.3\.", pages(packet.handout)[2])
    assert contents is not None
    begins = {title: page for level, title, page in outline(packet.handout) if level == 1}
    assert [begins[title] for title in titles] == [int(page) for page in contents.groups()]


def test_paper_is_letter_and_prints_at_full_size(packet: Packet) -> None:
    for data in (packet.handout, packet.sheet):
        assert {(sheet.width, sheet.height) for sheet in sheets(data)} == {(612.0, 792.0)}
        root = document(data).trailer["/Root"]
        assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
