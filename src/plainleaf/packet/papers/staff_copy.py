"""The staff copy: English beside the family's language, row by row, so that staff can point.

A row holds one statement in both languages, with the number that its step has in the handout and
the page of the family's handout on which it stands (row TR-16 of the print reference).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial

from plainleaf.compose.word import (
    WordedPacket,
    WordedSection,
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
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.html import BADGES, groups
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
    """One section in both languages; `topic`: the title of the topic that it begins."""

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
    *,
    hospice: bool = False,
) -> StaffCopy:
    """Both languages, statement by statement.

    Args:
        english: The packet in the language of staff; `other`: the same in the family's.
        pages: Anchor → page of the family's handout; what is not printed has none.
        emergency: The number of the highest tier; `hospice`: it is the hospice's.
    """
    family = other.packet
    labels = _labels((english.wording, other.wording), emergency, hospice=hospice)
    parts = []
    for page, its_page in zip(english.packet.pages, family.pages, strict=True):
        topic: tuple[Words, Words] | None = (page.title, its_page.title)
        if page.id not in pages:
            continue
        for section, its in zip(page.sections, its_page.sections, strict=True):
            numbers = _numbers(section)
            pairs = zip(section.statements, its.statements, strict=True)
            rows = tuple(
                row
                for pair in pairs
                for row in _rows(pair, pages, numbers.get(pair[0].id, ""), labels.get(pair[0].kind))
            )
            heading = (section.heading, its.heading)
            parts.append(Facing(section.id, topic, pages[section.id], heading, rows))
            topic = None
    return StaffCopy(SOURCE, "ltr", family, tuple(parts))


def make_staff_copy(context: PaperContext, language: str) -> Paper:
    """The copy for staff of a handout in another language.

    Raises:
        RenderError: The pages of the handout cannot be made.
    """
    words, wording, printer = context.words[language], context.staff.wording, context.room.printer
    handout = context.paper(HANDOUT, language)
    assert isinstance(handout, Handout)
    written = handout.manuscript
    copy = staff_copy(
        context.staff, words, handout.labels, written.emergency, hospice=written.hospice
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
