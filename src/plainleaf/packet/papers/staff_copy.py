"""The staff copy: English beside the family's language, row by row, so that staff can point.

A row holds one statement in both languages, with the number that its step has in the handout and
the page of the family's handout on which it stands (row TR-16 of the print reference).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from plainleaf.compose.word import (
    WordedPacket,
    WordedSection,
    WordedStatement,
    Wording,
    Words,
    wording_of,
)
from plainleaf.inputs.catalog import SOURCE
from plainleaf.packet.papers.handout import Handout
from plainleaf.packet.papers.paper import Paper, PressRoom, furniture, staff_mark
from plainleaf.printing.check import Part, check_parts, read_back
from plainleaf.printing.check.text_match import InAnyOrder
from plainleaf.printing.html import BADGES, PageFurniture, groups
from plainleaf.printing.renderer.layout import Pdf
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.languages import locale_name, own_name

# The print of the staff copy in points: both languages beside each other, at arm's length.
LEAST_PRINT = 12.0


@dataclass(frozen=True)
class CopyRow:
    """One statement, or one row of a table, in both languages.

    `number`: of a step, else empty; `label`: what a box says before its words, such as CALL NOW.
    """

    page: int
    number: str
    english: tuple[Words, ...]
    family: tuple[Words, ...]
    label: tuple[Words, Words] | None = None


@dataclass(frozen=True)
class Facing:
    """One section in both languages; `topic`: the title of the topic that it begins."""

    id: str
    topic: tuple[Words, Words] | None
    page: int
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
        statement.id: f"{first + at}."
        for kind, first, items in groups(section)
        if kind == "step"
        for at, statement in enumerate(items)
    }


def _rows(
    pair: tuple[WordedStatement, WordedStatement],
    anchors: Mapping[str, int],
    number: str,
    label: tuple[Words, Words] | None,
) -> Iterator[CopyRow]:
    english, family = pair
    page = anchors[english.id]
    if english.words is not None and family.words is not None:
        yield CopyRow(page, number, (english.words,), (family.words,), label)
    if english.block is not None and family.block is not None:
        rows = zip(english.block.rows, family.block.rows, strict=True)
        for at, (one, other) in enumerate(rows, start=1):
            cells = [tuple(line for cell in row for line in cell) for row in (one, other)]
            if any(cells):
                # A table may run over pages; a list has no rows of its own.
                its = anchors.get(f"{english.block.name}-{at}", page)
                yield CopyRow(its, "", cells[0], cells[1])


def _labels(wordings: tuple[Wording, Wording]) -> dict[str, tuple[Words, Words]]:
    """Kind of statement → its label in both languages."""
    return {
        kind: (wordings[0].phrase(f"badge-{badge}"), wordings[1].phrase(f"badge-{badge}"))
        for kind, badge in BADGES.items()
    }


def staff_copy(english: WordedPacket, handout: Handout, wording: Wording) -> StaffCopy:
    """Both languages, statement by statement.

    Args:
        english: The same packet in the language of staff.
        handout: The family's handout, with its page numbers.
        wording: Words phrases in the language of staff.
    """
    family, anchors = handout.words, handout.laid.anchors
    labels = _labels((wording, handout.wording))
    parts = []
    for module, other in zip(english.modules, family.modules, strict=True):
        topic: tuple[Words, Words] | None = (module.title, other.title)
        for section, its in zip(module.sections, other.sections, strict=True):
            numbers = _numbers(section)
            pairs = zip(section.statements, its.statements, strict=True)
            rows = tuple(
                row
                for pair in pairs
                for row in _rows(
                    pair, anchors, numbers.get(pair[0].id, ""), labels.get(pair[0].kind)
                )
            )
            heading = (section.heading, its.heading)
            parts.append(Facing(section.id, topic, anchors[section.id], heading, rows))
            topic = None
    return StaffCopy(SOURCE, "ltr", family, tuple(parts))


def lay_staff_copy(
    decision: Decision, room: PressRoom, english: WordedPacket, handout: Handout, version: str
) -> Paper:
    """The copy for staff of a handout in another language, laid out.

    Raises:
        RenderError: The pages cannot be made.
    """
    tag, wording = handout.words.language, wording_of(decision)
    copy = staff_copy(english, handout, wording)
    title = wording.phrase("staff-copy-title", language=locale_name(tag))
    around = furniture(decision, wording, title, version)
    around = replace(around, staff_mark=staff_mark(decision, handout.wording))
    html = room.printer.html(
        "staff-copy.html.j2",
        room.printer.css("staff-copy.css", wording, around),
        wording,
        copy,
        around,
        phone_links=False,
        heads=(locale_name(SOURCE), own_name(tag)),
    )

    return Paper(
        f"staff-copy.{tag}.pdf",
        room.lay(html, one_sheet=True),
        lambda pdf: copy_faults(pdf, copy, around),
    )


def copy_faults(pdf: Pdf, copy: StaffCopy, around: PageFurniture) -> list[str]:
    """What is not as meant in a finished staff copy.

    The reader joins print of one height, so that lines of two languages come out mixed: words are
    looked for in any order.
    """
    found = InAnyOrder("\n".join(page.text for page in read_back(pdf.data).pages))
    return [
        *check_parts(pdf, copy.language, (Part(1, around, LEAST_PRINT, "rtl", ()),)),
        *(
            f"the staff copy lacks: {line.plain}"
            for line in copy.lines()
            if found.lacking(line.plain)
        ),
    ]
