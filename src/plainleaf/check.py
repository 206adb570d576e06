"""Reads the finished PDF back and compares it with what was meant.

If anything here fails, no file is delivered: print sizes, fonts, tags, language, every statement
and table cell present in the text layer, page one complete on its page, no nearly empty page.
"""

from __future__ import annotations

import ctypes
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from io import BytesIO
from typing import Any, Protocol

import pypdf
import pypdfium2
from pypdfium2 import raw

from plainleaf.fonts import FAMILIES
from plainleaf.found import Found, found_in, squeezed
from plainleaf.render import PageFurniture
from plainleaf.typeset import Pdf
from plainleaf.word import WordedPacket, WordedPicture

# Large print: at least 18 points on every run (rows LP-01 of the print reference; ACB, UKAAF).
LARGE_PRINT = 18.0
# The nurse's sheet: nothing below 10 points.
STAFF_PRINT = 10.0
# No printer reaches closer to the edge of the paper: a quarter of an inch (row PR-03).
UNPRINTABLE = 18.0
# What the reader gives for a hyphen at the end of a line; nothing here is ever split by one.
_LINE_END_HYPHEN = "\x02"
# What is read out in place of a picture stays short (row PI-08).
LONGEST_ALT = 150
# A page with fewer letters than this besides its furniture is nearly empty.
LEAST_LETTERS = 12


@dataclass(frozen=True)
class PageText:
    """One page read back: its text, the print sizes and fonts on it.

    `edge`: points between the outermost print and the edge of the paper.
    """

    text: str
    edge: float
    sizes: frozenset[float]
    fonts: frozenset[tuple[str, bool]]


@dataclass(frozen=True)
class Reading:
    """A PDF read back: language, whether it is tagged, title, pages."""

    language: str
    tagged: bool
    title: str
    pages: tuple[PageText, ...]


def _string(call: Any, *arguments: Any) -> bytes:
    """The bytes that a reader function writes into a buffer of the size it asks for."""
    length = call(*arguments, None, 0)
    buffer = ctypes.create_string_buffer(length)
    call(*arguments, ctypes.cast(buffer, call.argtypes[len(arguments)]), length)
    return buffer.raw[:length]


def _size(text_object: Any) -> float:
    """Effective size in points: the font size times the scale of the text and of the page."""
    size = ctypes.c_float()
    raw.FPDFTextObj_GetFontSize(text_object.raw, size)
    matrix = text_object.get_matrix()
    return round(float(size.value) * math.hypot(matrix.c, matrix.d), 2)


def _font(text_object: Any) -> tuple[str, bool]:
    font = raw.FPDFTextObj_GetFont(text_object.raw)
    name = _string(raw.FPDFFont_GetBaseFontName, font).rstrip(b"\0").decode("latin-1")
    return name.split("+")[-1], raw.FPDFFont_GetIsEmbedded(font) == 1


def _edge(page: Any, text_page: Any) -> float:
    width, height = page.get_size()
    room = [width]
    for number in range(text_page.count_rects()):
        left, bottom, right, top = text_page.get_rect(number)
        room += [left, bottom, width - right, height - top]
    return float(min(room))


def _read_page(page: Any) -> PageText:
    objects = list(page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]))
    text_page = page.get_textpage()
    text = text_page.get_text_bounded().replace(_LINE_END_HYPHEN, "-")
    return PageText(
        text,
        _edge(page, text_page),
        frozenset(_size(o) for o in objects),
        frozenset(_font(o) for o in objects),
    )


def read_back(data: bytes) -> Reading:
    """A finished PDF as it reads."""
    outline = pypdf.PdfReader(BytesIO(data))
    root: Any = outline.trailer["/Root"]
    document = pypdfium2.PdfDocument(data)
    try:
        pages = tuple(_read_page(page) for page in document)
    finally:
        document.close()
    title = outline.metadata.title if outline.metadata is not None else None
    return Reading(str(root.get("/Lang", "")), "/StructTreeRoot" in root, str(title or ""), pages)


def document_faults(reading: Reading, language: str, furniture: PageFurniture) -> Iterator[str]:
    """What is wrong with language, tags, title or fonts."""
    if reading.language != language:
        yield f"the document's language is '{reading.language}', not '{language}'"
    if not reading.tagged:
        yield "the document has no tags"
    if reading.title != furniture.title:
        yield "the document's title is not the one that was meant"
    ours = tuple(family.replace(" ", "") for family in FAMILIES)
    for name, embedded in sorted(set().union(*(page.fonts for page in reading.pages))):
        if not re.sub("[ -]", "", name).startswith(ours):
            yield f"the font {name} is not ours"
        if not embedded:
            yield f"the font {name} is not embedded"


def page_faults(
    pages: tuple[PageText, ...],
    furniture: PageFurniture,
    least: float,
    direction: str = "ltr",
    first: int = 1,
) -> Iterator[str]:
    """What is wrong with print sizes, margins, heads and feet; `first` numbers the pages."""
    around = [squeezed(text) for text in furniture.lines]
    for number, page in enumerate(pages, start=first):
        for size in sorted(page.sizes):
            if 0 < size < least - 0.01:
                yield f"page {number} holds print of {size:g} points; {least:g} is the least"
        if page.edge < UNPRINTABLE - 0.01:
            yield f"page {number} holds print {page.edge:.0f} points from the edge of the paper"
        found = found_in(page.text, direction)
        if not all(found.holds(text) for text in furniture.lines):
            yield f"page {number} lacks its head or foot"
        rest = squeezed(page.text)
        for text in around:
            rest = rest.replace(text, "")
        if len(rest) < LEAST_LETTERS:
            yield f"page {number} is nearly empty"


def _missing_words(packet: WordedPacket, body: Found) -> Iterator[str]:
    for identity, statement in packet.statements().items():
        if statement.words is not None:
            if not body.holds(str(statement.words)):
                yield f"the statement '{identity}' is not in the print as it was worded"
            if statement.picture is not None:
                yield from _picture_faults(identity, statement.picture, body)
            continue
        assert statement.block is not None
        for row in statement.block.rows:
            for cell in row:
                for line in cell:
                    if not body.holds(str(line)):
                        yield f"the table '{identity}' lacks: {line}"


def _picture_faults(identity: str, picture: WordedPicture, body: Found) -> Iterator[str]:
    """Every word of its labels is printed, and what is read out in its place is short.

    The reader joins print of one height, so that lines of two labels may come out mixed.
    """
    if len(picture.alt.plain) > LONGEST_ALT:
        yield f"'{identity}': what is read out has more than {LONGEST_ALT} letters"
    for _, lines in picture.labels:
        for line in lines:
            if not all(body.holds(word) for word in str(line).split()):
                yield f"the picture '{identity}' lacks: {line}"


def printed_body(
    pages: tuple[PageText, ...], furniture: PageFurniture, direction: str = "ltr"
) -> Found:
    """All pages in order, without heads and feet where text may run over a page break."""
    if direction == "rtl":
        return found_in("\n".join(page.text for page in pages), direction)
    around = [squeezed(text) for text in furniture.lines]
    whole = ""
    for page in pages:
        text = squeezed(page.text)
        for part in around:
            text = text.replace(part, "")
        whole += re.sub(r"Page\d+of\d+", "", text)
    return found_in(whole, direction)


class Paged(Protocol):
    """Anything that knows on which page its anchors stand."""

    @property
    def anchors(self) -> Mapping[str, int]: ...


def first_page_complete(pdf: Paged, packet: WordedPacket, *, split: bool = False) -> bool:
    """Whether the first topic stands where it can be hung.

    Args:
        split: In print above 18 points: its emergencies stand on page one, and the phones that
            follow them on page two at the latest; else all of it stands on page one.
    """
    sections = packet.modules[0].sections
    if not split:
        return pdf.anchors.get(sections[-1].statements[-1].id) == 1
    ends = {section.level: section.statements[-1].id for section in sections}
    return pdf.anchors.get(ends["now"]) == 1 and pdf.anchors.get(ends[None], 9) <= 2


def check_handout(
    pdf: Pdf,
    packet: WordedPacket,
    furniture: PageFurniture,
    *,
    least: float = LARGE_PRINT,
    split: bool = False,
) -> list[str]:
    """Everything that is not as meant in a handout; empty when it may go out.

    Args:
        least: Least effective print size in points.
        split: As in `first_page_complete`.
    """
    reading = read_back(pdf.data)
    faults = [
        *document_faults(reading, packet.language, furniture),
        *page_faults(reading.pages, furniture, least, packet.direction),
        *_missing_words(packet, printed_body(reading.pages, furniture, packet.direction)),
    ]
    if not first_page_complete(pdf, packet, split=split):
        faults.append(
            f"page one does not hold all of '{packet.modules[0].id}': shorten names, hours or "
            "phones of the contacts, or take contacts.others out"
        )
    if pdf.anchors.get(packet.modules[1].id) == 1:
        faults.append("page one does not stand alone")
    return faults


class Said(Protocol):
    """A paper that can say every line that must stand in its print."""

    @property
    def language(self) -> str: ...

    @property
    def direction(self) -> str: ...

    def lines(self) -> Iterator[str]: ...


def check_words(
    pdf: Pdf,
    said: Said,
    furniture: PageFurniture,
    *,
    least: float = LARGE_PRINT,
    most_pages: int = 1,
) -> list[str]:
    """Everything that is not as meant in a short paper, such as the tube card."""
    reading = read_back(pdf.data)
    body = printed_body(reading.pages, furniture, said.direction)
    return [
        *document_faults(reading, said.language, furniture),
        *page_faults(reading.pages, furniture, least, said.direction),
        *(f"the print lacks: {line}" for line in said.lines() if not body.holds(line)),
        *([f"more than {most_pages} pages"] if len(reading.pages) > most_pages else []),
    ]


def check_sheet(pdf: Pdf, furniture: PageFurniture) -> list[str]:
    """Everything that is not as meant in a teach-back sheet."""
    reading = read_back(pdf.data)
    return [
        *document_faults(reading, "en", furniture),
        *page_faults(reading.pages, furniture, STAFF_PRINT),
    ]
