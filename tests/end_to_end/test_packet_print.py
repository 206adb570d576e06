"""The finished pages, read back by other programs: words, sizes, fonts, page one, numbers."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime

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

from plainleaf.compose.word import WordedPage, WordedStatement

# Least print of the family's pages in points (row LP-01 of the print rules: large print).
LARGE_PRINT = 18.0
# No printer reaches closer to the edge than a quarter of an inch (row PR-03).
UNPRINTABLE = 18.0
both_readers = pytest.mark.parametrize("reader", READERS)


def furniture(packet: Packet) -> tuple[str, str, str]:
    """What stands around every page: the marks, who it is for, the version."""
    wording, person = packet.wording, packet.decision.patient.person
    marks = "DRAFT: not reviewed by a clinician. Example settings"
    identity = f"{person.name}, {person.record_number}"
    made = wording.day_of_year(packet.decision.patient.prepared_on.date())
    return marks, identity, f"{packet.record['version']}, en, {made}"


def words_of(statement: WordedStatement) -> Iterator[str]:
    """The words of a statement as they must stand in the print; a table line by line."""
    if statement.words is not None:
        yield str(statement.words)
        return
    assert statement.block is not None
    for row in statement.block.rows:
        for cell in row:
            yield from (str(line) for line in cell)


def whom_to_call(packet: Packet) -> tuple[str, str]:
    """The phones by night and by day."""
    contacts = packet.source["contacts"]
    return contacts["after_hours"]["phone"], contacts["clinic"]["phone"]


def _one_row(packet: Packet) -> str:
    """Whom to call, as it stands above page one where that runs on."""
    night, day = whom_to_call(packet)
    return f"Night {night}, Day {day}"


def titles_above(packet: Packet) -> list[str]:
    """What stands above each side: nothing where a topic begins, else its title and number."""
    begins = [side for level, _, side in outline(packet.handout) if level == 1]
    sides = len(document(packet.handout).pages)
    above = []
    for page, start, end in zip(
        packet.printed.pages, begins, [*begins[1:], sides + 1], strict=True
    ):
        above.append("")
        phones = f"|{_one_row(packet)}" if page.number == 1 else ""
        for letter in "bcdefgh"[: end - start - 1]:
            above.append(f"{page.title} (goes on){phones}|{page.number}{letter}")
    return above


def handout_body(packet: Packet, reader: str = "pdfium") -> Body:
    """The handout's words in one run, without what stands around each side."""
    around = tuple((*furniture(packet), *above.split("|")) for above in titles_above(packet))
    return body(packet.handout, around, reader)


def sheet_body(packet: Packet) -> Body:
    """The sheet's words in one run, without what stands around each side."""
    sides = len(document(packet.sheet).pages)
    return body(packet.sheet, (furniture(packet),) * sides)


@both_readers
def test_every_statement_of_the_record_reads_from_the_pages(packet: Packet, reader: str) -> None:
    print_out, printed = handout_body(packet, reader), packet.printed.statements()
    for statement in (s for s in packet.record["statements"] if s["id"] in printed):
        for part in re.split(r"\n| \| | / ", statement["says"]):
            assert part in print_out, (statement["id"], part)


@both_readers
def test_every_value_of_the_words_reads_from_the_pages(packet: Packet, reader: str) -> None:
    print_out = handout_body(packet, reader)
    for identity, statement in packet.printed.statements().items():
        for words in words_of(statement):
            assert words in print_out, (identity, words)


@both_readers
def test_statements_stand_in_their_order(packet: Packet, reader: str) -> None:
    text, at = handout_body(packet, reader).text, 0
    # Page one is in the order of its tiers; whom to call stands in the head of the second.
    for page in packet.printed.pages[1:]:
        for section in page.sections:
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
        assert phone in handout_body(packet, reader)


@both_readers
def test_every_amount_of_the_schedule_reads_from_the_pages(packet: Packet, reader: str) -> None:
    amounts = {line["amount_ml"] for line in packet.record["schedule"]} - {None}
    assert amounts
    for amount in amounts:
        assert f"{amount:,} mL" in handout_body(packet, reader), amount


def _clock(at: str) -> str:
    """A time of the record as it is printed."""
    moment = datetime.strptime(at, "%H:%M")
    minutes = f":{moment:%M}" if moment.minute else ""
    usual = f"{moment:%I}".lstrip("0") + minutes + f" {moment:%p}".lower()
    return {"12:00": "noon", "00:00": "midnight"}.get(at, usual)


@both_readers
def test_every_time_of_the_schedule_reads_from_the_pages(packet: Packet, reader: str) -> None:
    for line in packet.record["schedule"]:
        assert _clock(line["at"]) in handout_body(packet, reader), line


@both_readers
def test_every_medicine_stands_with_its_dose(packet: Packet, reader: str) -> None:
    for medicine in packet.source["medicines"]:
        assert medicine["name"] in handout_body(packet, reader)
        assert medicine["dose"].split()[0] in handout_body(packet, reader)


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
            # The sheet asks in the learner's language too: Arabic has a font of its own.
            own = "Source-Sans-3" if data is packet.handout else ("Source-Sans-3", "Almarai")
            assert font["/BaseFont"].split("+")[-1].startswith(own)
            descriptor = font["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
            assert {"/FontFile2", "/FontFile3"} & set(descriptor), font["/BaseFont"]


def _of_page(page: WordedPage) -> Iterator[str]:
    yield str(page.number)
    yield str(page.title)
    for section in page.sections:
        if section.level is not None:
            yield str(section.heading)
        for statement in section.statements:
            yield from words_of(statement)


@both_readers
def test_page_one_holds_exactly_when_to_get_help(packet: Packet, reader: str) -> None:
    first, above = packet.printed.pages[0], titles_above(packet)
    assert first.id == "help"
    sides = next(n for n, title in enumerate(above[1:], 1) if not title)
    rest = "".join(pages(packet.handout, reader)[:sides])
    for title in above[:sides]:
        for part in (*furniture(packet), *title.split("|")):
            assert squeezed(part) in rest
            rest = rest.replace(squeezed(part), "", 1)
    for words in sorted(_of_page(first), key=len, reverse=True):
        assert squeezed(words) in rest, words
        rest = rest.replace(squeezed(words), "", 1)
    # Where the phones follow on the next side, their numbers stand in a row on the first.
    for words in _one_row(packet).split(", "):
        rest = rest.replace(squeezed(words), "", 1)
    assert rest.strip(",•:") == "", rest


@both_readers
def test_every_emergency_and_whom_to_call_stand_on_the_first_side(
    packet: Packet, reader: str
) -> None:
    side = pages(packet.handout, reader)[0]
    (now,) = (s for s in packet.printed.pages[0].sections if s.level == "now")
    for statement in now.statements:
        for words in words_of(statement):
            assert squeezed(words) in side, statement.id
    for phone in whom_to_call(packet):
        assert squeezed(phone) in side


@both_readers
def test_every_page_says_whose_and_what_version(packet: Packet, reader: str) -> None:
    for data in (packet.handout, packet.sheet):
        read = pages(data, reader)
        for number, page in enumerate(read, 1):
            for part in furniture(packet):
                assert squeezed(part) in page, (number, part)
            if data is packet.sheet:
                assert page.count(f"Page{number}of{len(read)}") == 1


@both_readers
def test_each_topic_begins_a_page_with_its_number_and_goes_on_with_letters(
    packet: Packet, reader: str
) -> None:
    numbers = [page.number for page in packet.printed.pages]
    assert numbers == list(range(1, len(numbers) + 1))
    titles = [squeezed(f"{page.number}{page.title}") for page in packet.printed.pages]
    begins = [(side, title) for level, title, side in outline(packet.handout) if level == 1]
    assert [title for _, title in begins] == titles
    assert len({side for side, _ in begins}) == len(begins)
    read = pages(packet.handout, reader)
    for text, above in zip(read, titles_above(packet), strict=True):
        for part in above.split("|"):
            assert squeezed(part) in text, above
        assert ("(goeson)" in text) is bool(above)


def _corner(packet: Packet, side: int, lines: int) -> str:
    """What stands at the right end of the lines above a side: the number."""
    sheet = sheets(packet.handout)[side - 1]
    top = min(letter.top for letter in sheet.letters) + 12 + 1.1 * LARGE_PRINT * (lines - 1)
    row = [o for o in sheet.letters if o.top < top and o.left > sheet.width * 0.8]
    return "".join(o.text for o in sorted(row, key=lambda o: o.left)).strip()


def test_the_number_stands_in_the_corner(packet: Packet) -> None:
    begins = {side: str(n) for n, side in enumerate(
        (side for level, _, side in outline(packet.handout) if level == 1), 1)}  # fmt: skip
    for side, above in enumerate(titles_above(packet), 1):
        wanted = above.rpartition("|")[2] or begins[side]
        assert _corner(packet, side, max(1, above.count("|"))) == wanted


@both_readers
def test_the_finder_names_tier_and_page_of_what_it_leads_to(packet: Packet, reader: str) -> None:
    (finder,) = (page for page in packet.printed.pages if page.id == "finder")
    numbers, print_out = packet.worded.section_numbers(), handout_body(packet, reader)
    tiers = {
        "call_now": packet.source["contacts"]["emergency"]["phone"],
        "call_us": "CALL US NOW",
        "call_today": "TODAY",
        "tell_visit": "NEXT VISIT",
    }
    lines = [st for section in finder.sections for st in section.statements]
    assert len(lines) > 8
    for line in lines:
        assert line.leads_to is not None, line.id
        row = f"{line.words}{tiers[line.kind]}{numbers[line.leads_to]}"
        assert row in print_out, (line.id, row)


def test_whoever_follows_the_finder_finds_the_section(packet: Packet) -> None:
    """On a side with that number in its corner, or with the number and a letter."""
    read, above = pages(packet.handout), titles_above(packet)
    sides: dict[int, str] = {}
    number = 0
    for text, title in zip(read, above, strict=True):
        number += not title
        sides[number] = sides.get(number, "") + text
    sections = {s.id: s for page in packet.printed.pages for s in page.sections}
    numbers = packet.worded.section_numbers()
    led = {st.leads_to for st in packet.printed.statements().values()} - {None}
    for name in led:
        assert name in sections, f"{name} is not printed"
        assert squeezed(str(sections[name].heading)) in sides[numbers[name]], name


def test_paper_is_letter_and_prints_at_full_size(packet: Packet) -> None:
    for data in (packet.handout, packet.sheet):
        assert {(sheet.width, sheet.height) for sheet in sheets(data)} == {(612.0, 792.0)}
        root = document(data).trailer["/Root"]
        assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
