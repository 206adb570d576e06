"""The staff copy: English beside the family's language, row by row, so that staff can point.

A row holds one statement in both languages, with the number that its step has in the handout and
the page of the family's handout on which it stands (row TR-16 of the print reference). After what
is taught on a page come the questions about it, each with its other explanation.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial

from plainleaf.compose.word import (
    WordedPacket,
    WordedPrompt,
    WordedSection,
    WordedSkill,
    WordedStatement,
    Wording,
    Words,
)
from plainleaf.facts.derived import Typed
from plainleaf.inputs.catalog import SOURCE
from plainleaf.packet.papers.handout import HANDOUT, Handout
from plainleaf.packet.papers.paper import LanguageWords, Paper, staff_mark
from plainleaf.packet.papers.paper_context import Kind, PaperContext
from plainleaf.packet.papers.paper_kind import MadeIn, PaperKind, Shown
from plainleaf.packet.sheet.sheet_rows import worded_items
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.html import BADGES, bands, groups
from plainleaf.printing.inspection import Part, inspect_parts, read_back
from plainleaf.printing.inspection.text_match import InAnyOrder
from plainleaf.printing.renderer.layout import Pdf
from plainleaf.vocabulary.languages import locale_name, own_name

# The print of the staff copy in points: both languages beside each other, at arm's length.
LEAST_PRINT = 12.0


@dataclass(frozen=True)
class CopyRow:
    """One statement, or one row of a table, in both languages.

    `number`: of a step, else empty; `label`: what a box says before its words, such as CALL NOW.
    """

    page: str
    number: str
    english: tuple[Words, ...]
    family: tuple[Words, ...]
    label: tuple[Words, Words] | None = None


@dataclass(frozen=True)
class Facing:
    """One section in both languages, or the questions about a page; `topic`: the title of the page
    that it begins.
    """

    id: str
    topic: tuple[Words, Words] | None
    page: str
    heading: tuple[Words, Words]
    rows: tuple[CopyRow, ...]


@dataclass(frozen=True)
class StaffCopy:
    """The whole copy; the language is that of staff."""

    language: str
    direction: str
    family: WordedPacket
    parts: tuple[Facing, ...]

    def lines(self) -> Iterator[Words]:
        """Everything that must stand in the print."""
        for part in self.parts:
            yield from (*(part.topic or ()), *part.heading)
            for row in part.rows:
                yield from (*(row.label or ()), *row.english, *row.family)


def _numbers(section: WordedSection) -> Mapping[str, str]:
    """Step → its number in the handout."""
    return {
        statement.id: f"{first + count}."
        for kind, first, items in groups(section)
        if kind == "step"
        for count, statement in enumerate(items)
    }


def _rows(
    pair: tuple[WordedStatement, WordedStatement],
    labels: Mapping[str, str],
    number: str,
    label: tuple[Words, Words] | None,
) -> Iterator[CopyRow]:
    english, family = pair
    page = labels[english.id]
    if english.words is not None and family.words is not None:
        yield CopyRow(page, number, (english.words,), (family.words,), label)
    if english.block is not None and family.block is not None:
        rows = zip(english.block.rows, family.block.rows, strict=True)
        for number_of_row, (row, its_row) in enumerate(rows, start=1):
            cells = [
                tuple(line for cell in cells_of for line in cell) for cells_of in (row, its_row)
            ]
            if any(cells):
                # A table may run over pages; a list has no rows of its own.
                own_page = labels.get(f"{english.id}-{number_of_row}", page)
                yield CopyRow(own_page, "", cells[0], cells[1])


def _labels(
    wordings: tuple[Wording, Wording], emergency: Typed, *, hospice: bool
) -> dict[str, tuple[Words, Words]]:
    """Kind of statement → its label in both languages."""
    names = {
        kind: "hospice" if hospice and badge in ("now", "us") else badge
        for kind, badge in BADGES.items()
    }
    english, family = (
        {kind: wording.phrase(f"badge-{name}", phone=emergency) for kind, name in names.items()}
        for wording in wordings
    )
    return {kind: (english[kind], family[kind]) for kind in names}


def staff_copy(
    english: LanguageWords,
    other: LanguageWords,
    pages: Mapping[str, str],
    emergency: Typed,
    rows_of_sheet: Mapping[str, int],
    *,
    hospice: bool = False,
) -> StaffCopy:
    """Both languages, statement by statement.

    Args:
        english: The packet in the language of staff; `other`: the same in the family's.
        pages: Anchor → page of the family's handout; what is not printed has none.
        emergency: The number of the highest tier; `hospice`: it is the hospice's.
        rows_of_sheet: Question or skill → its row on the nurse's sheet, for all that is asked.
    """
    labels = _labels((english.wording, other.wording), emergency, hospice=hospice)
    asked = sorted(_asked(english, other, rows_of_sheet), key=lambda entry: entry[:2])
    parts: list[Facing] = []
    for page, its_page in zip(english.packet.pages, other.packet.pages, strict=True):
        number = str(page.number)
        questions = tuple(row for _, _, row in asked if row.page == number)
        topic: tuple[Words, Words] | None = (page.title, its_page.title)
        if page.id in pages:
            pairs = zip(bands(page), bands(its_page), strict=True)
            facing = [_facing(pair, pages, labels) for pair in pairs]
            parts += [replace(facing[0], topic=topic), *facing[1:]]
            topic = None
        if questions:
            heading = _in_both(english, other, "sheet-part-b")
            parts.append(Facing(f"{page.id}-asked", topic, number, heading, questions))
    return StaffCopy(SOURCE, "ltr", other.packet, tuple(parts))


def _facing(
    pair: tuple[WordedSection, WordedSection],
    pages: Mapping[str, str],
    labels: Mapping[str, tuple[Words, Words]],
) -> Facing:
    """One section as it is printed, in both languages."""
    section, its = pair
    numbers = _numbers(section)
    rows = tuple(
        row
        for both in zip(section.statements, its.statements, strict=True)
        for row in _rows(both, pages, numbers.get(both[0].id, ""), labels.get(both[0].kind))
    )
    heading = (section.heading, its.heading)
    return Facing(section.id, None, pages[section.id], heading, rows)


# --- what is asked -------------------------------------------------------------------------------


def _in_both(english: LanguageWords, other: LanguageWords, phrase: str) -> tuple[Words, Words]:
    return english.wording.phrase(phrase), other.wording.phrase(phrase)


def _asked(
    english: LanguageWords, other: LanguageWords, rows_of_sheet: Mapping[str, int]
) -> Iterator[tuple[int, int, CopyRow]]:
    """Number of a page, row of the sheet, and what is asked about that page, in both languages."""
    numbers = english.packet.numbers()
    again = _in_both(english, other, "sheet-other-way")
    theirs = worded_items(other.packet)
    for name, item in worded_items(english.packet).items():
        if name not in rows_of_sheet:
            continue
        row, its = rows_of_sheet[name], theirs[name]
        points = item.listen_for if isinstance(item, WordedPrompt) else item.steps
        number = next(numbers[point] for point in points if point in numbers)
        said = f"{english.wording.say('open-row')} {row}"
        if isinstance(item, WordedPrompt) and isinstance(its, WordedPrompt):
            yield number, row, CopyRow(str(number), said, (item.ask,), (its.ask,))
            yield number, row, CopyRow(str(number), "", (item.again,), (its.again,), again)
        elif isinstance(item, WordedSkill) and isinstance(its, WordedSkill):
            yield number, row, CopyRow(str(number), said, (item.title,), (its.title,))


def make_staff_copy(context: PaperContext, language: str) -> Paper:
    """The copy for staff of a handout in another language.

    Raises:
        RenderError: The pages of the handout cannot be made.
    """
    words, wording, printer = context.words[language], context.staff.wording, context.room.printer
    handout = context.paper(HANDOUT, language)
    assert isinstance(handout, Handout)
    written = handout.manuscript
    outline = context.outline
    copy = staff_copy(
        context.staff,
        words,
        handout.labels,
        written.emergency,
        {item.id: outline.row(item) for item in outline.items},
        hospice=written.hospice,
    )
    title = wording.phrase("staff-copy-title", language=locale_name(language))
    around = context.furniture(wording, title)
    around = replace(around, staff_mark=staff_mark(context.decision, words.wording))
    html = printer.html(
        STAFF_COPY.template,
        printer.css(STAFF_COPY.style, wording, around),
        wording,
        copy,
        around,
        phone_links=False,
        heads=(locale_name(SOURCE), own_name(language)),
    )
    laid = context.room.lay(html, one_sheet=True)
    return Paper(laid, partial(copy_faults, copy=copy, around=around))


def copy_faults(pdf: Pdf, copy: StaffCopy, around: PageFurniture) -> list[str]:
    """What is not as meant in a finished staff copy.

    The reader joins print of one height, so that lines of two languages come out mixed: words are
    looked for in any order.
    """
    printed = InAnyOrder("\n".join(page.text for page in read_back(pdf.data).pages))
    return [
        *inspect_parts(pdf, copy.language, (Part(1, around, LEAST_PRINT, "rtl", ()),)),
        *(
            f"the staff copy lacks: {line.plain}"
            for line in copy.lines()
            if printed.lacking(line.plain)
        ),
    ]


STAFF_COPY: Kind = PaperKind(
    "staff-copy{language}.pdf",
    "the nurse",
    "English and the family's language row by row, with the pages of the family's handout, to "
    "point at.",
    Shown.PAPER,
    make_staff_copy,
    MadeIn.NOT_STAFF,
    "staff-copy.html.j2",
    "staff-copy.css",
)
