"""A finished PDF as it reads: runs of print and shapes of every page, by PDFium.

Another program than the one that wrote the file. All places are in points from the bottom left.
"""

from __future__ import annotations

import ctypes
import math
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import pypdfium2
from pypdfium2 import raw

from plainleaf.printing.inspection.glyphs import Fonts, is_empty_box, string_of

# What the reader gives for a hyphen at the end of a line; nothing here is ever split by one.
_LINE_END_HYPHENS = str.maketrans({"\x02": "-", "\ufffe": "-"})
# The number or the sign of a list item, which is painted apart from its words.
MARKER = re.compile(r"\s*(\d{1,2}\.|[•◦])\s*")

Box = tuple[float, float, float, float]
Color = tuple[int, int, int, int]


@dataclass(frozen=True)
class Print:
    """One run of print: a piece of one line in one font.

    `box`: left, bottom, right, top of its ink. `size`: effective, in points. `color`: red, green,
    blue, opacity, each to 255. `order`: its turn in painting. `role`: `Artifact` for heads and
    feet, `Figure` inside a picture, else as the page has it marked.
    """

    text: str
    box: Box
    baseline: float
    size: float
    font: tuple[str, bool]
    color: Color
    order: int
    role: str


@dataclass(frozen=True)
class Shape:
    """A line, box or filled shape; `hole`: the box that a frame leaves free inside it."""

    box: Box
    hole: Box | None
    fill: Color | None
    stroke: Color | None
    order: int


@dataclass(frozen=True)
class PageText:
    """One page read back.

    `text`: as the reader orders it. `unreadable`: letters that print as empty boxes.
    """

    width: float
    height: float
    text: str
    prints: tuple[Print, ...]
    shapes: tuple[Shape, ...]
    unreadable: frozenset[str]

    @cached_property
    def inner(self) -> tuple[Print, ...]:
        """The print between head and foot."""
        return tuple(run for run in self.prints if run.role != "Artifact" and run.text.strip())

    @property
    def sizes(self) -> frozenset[float]:
        """Every effective print size on the page."""
        return frozenset(run.size for run in self.prints)

    @property
    def fonts(self) -> frozenset[tuple[str, bool]]:
        """Every font with whether it is embedded."""
        return frozenset(run.font for run in self.prints)

    @property
    def edge(self) -> float:
        """Points between the outermost print or shape and the edge of the paper."""
        room = [self.width]
        boxes = [mark.box for mark in self.prints] + [mark.box for mark in self.shapes]
        for left_edge, bottom, right, top in boxes:
            room += [left_edge, bottom, self.width - right, self.height - top]
        return min(room)


@dataclass(frozen=True)
class Reading:
    """A PDF read back: language, whether it is tagged, title, pages."""

    language: str
    tagged: bool
    title: str
    pages: tuple[PageText, ...]


class _Reader:
    """Asks one page for its objects; the buffers are kept between the questions."""

    def __init__(self, page: Any, fonts: Fonts) -> None:
        self.page = page
        self.text_page = page.get_textpage()
        self._fonts = fonts
        self._numbers = [ctypes.c_float() for _ in range(4)]
        self._color = [ctypes.c_uint() for _ in range(4)]
        self._name = (ctypes.c_ushort * 32)()
        self._length = ctypes.c_ulong()
        self._size_of, self._matrix = ctypes.c_float(), raw.FS_MATRIX()

    def box(self, thing: Any) -> Box:
        """Left, bottom, right, top of what an object paints."""
        raw.FPDFPageObj_GetBounds(thing.raw, *self._numbers)
        left_edge, bottom, right, top = (number.value for number in self._numbers)
        return (left_edge, bottom, right, top)

    def _painted(self, call: Any, thing: Any) -> Color:
        call(thing.raw, *self._color)
        red, green, blue, opacity = (part.value for part in self._color)
        return (red, green, blue, opacity)

    def _role(self, thing: Any) -> str:
        """What an object is marked as in the page's content; nothing if it is not marked."""
        if not raw.FPDFPageObj_CountMarks(thing.raw):
            return ""
        mark = raw.FPDFPageObj_GetMark(thing.raw, 0)
        raw.FPDFPageObjMark_GetName(mark, self._name, 64, self._length)
        return bytes(self._name)[: self._length.value].decode("utf-16-le").rstrip("\0")

    def print_of(self, thing: Any, order: int) -> Print:
        """A text object."""
        words = string_of(raw.FPDFTextObj_GetText, thing.raw, self.text_page.raw)
        return Print(
            _utf16(words).translate(_LINE_END_HYPHENS),
            self.box(thing),
            thing.get_matrix().f,
            round(self._size(thing.raw), 2),
            self._fonts.of(raw.FPDFTextObj_GetFont(thing.raw)).name,
            self._painted(raw.FPDFPageObj_GetFillColor, thing),
            order,
            self._role(thing),
        )

    def shape_of(self, thing: Any, order: int) -> Shape:
        """A path object."""
        fill, stroke = ctypes.c_int(), ctypes.c_int()
        raw.FPDFPath_GetDrawMode(thing.raw, fill, stroke)
        return Shape(
            self.box(thing),
            _hole(thing) if fill.value else None,
            self._painted(raw.FPDFPageObj_GetFillColor, thing) if fill.value else None,
            self._painted(raw.FPDFPageObj_GetStrokeColor, thing) if stroke.value else None,
            order,
        )

    def unreadable(self, text: str) -> Iterator[str]:
        """Letters that are drawn as the empty box of their font; each letter is looked at once."""
        sides = [ctypes.c_double() for _ in range(4)]
        seen = set()
        for number, letter in enumerate(text):
            if letter in seen or letter.isspace():
                continue
            seen.add(letter)
            thing = raw.FPDFText_GetTextObject(self.text_page.raw, number)
            if not thing or not raw.FPDFText_GetCharBox(self.text_page.raw, number, *sides):
                continue
            empty = self._fonts.of(raw.FPDFTextObj_GetFont(thing)).empty
            left_edge, right, bottom, top = (side.value for side in sides)
            size = self._size(thing)
            drawn = ((right - left_edge) / size, (top - bottom) / size)
            if empty is not None and is_empty_box(empty, drawn):
                yield letter

    def _size(self, raw_text: Any) -> float:
        """Effective size: the font size times the scale of the text and the page."""
        raw.FPDFTextObj_GetFontSize(raw_text, self._size_of)
        raw.FPDFPageObj_GetMatrix(raw_text, self._matrix)
        return float(self._size_of.value) * math.hypot(self._matrix.c, self._matrix.d)


def _hole(thing: Any) -> Box | None:
    """The inner box of a frame that is drawn as two boxes, one in the other."""
    if raw.FPDFPath_CountSegments(thing.raw) != 10:
        return None
    x, y = ctypes.c_float(), ctypes.c_float()
    matrix = thing.get_matrix()
    corners = []
    for number in range(10):
        raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(thing.raw, number), x, y)
        corners.append(matrix.on_point(x.value, y.value))
    boxes = []
    for half in (corners[:5], corners[5:]):
        across, up = zip(*half, strict=True)
        boxes.append((min(across), min(up), max(across), max(up)))
    return min(boxes, key=lambda box: (box[2] - box[0]) * (box[3] - box[1]))


def _utf16(data: bytes) -> str:
    return data.decode("utf-16-le", "replace").rstrip("\0")


def _read_page(page: Any, fonts: Fonts) -> PageText:
    reader = _Reader(page, fonts)
    prints: list[Print] = []
    shapes: list[Shape] = []
    inside: Box | None = None
    for order, thing in enumerate(page.get_objects()):
        if thing.type == raw.FPDF_PAGEOBJ_TEXT:
            prints.append(reader.print_of(thing, order))
        elif thing.type == raw.FPDF_PAGEOBJ_FORM:
            # A drawing of its own, such as a sign: what is in it counts where the whole stands.
            inside = reader.box(thing)
        elif thing.type == raw.FPDF_PAGEOBJ_PATH:
            shape = reader.shape_of(thing, order)
            shapes.append(replace(shape, box=inside) if thing.level and inside else shape)
    text = reader.text_page.get_text_range()
    unreadable = frozenset(reader.unreadable(text))
    width, height = page.get_size()
    text = text.translate(_LINE_END_HYPHENS)
    return PageText(width, height, text, tuple(prints), tuple(shapes), unreadable)


def each_page(document: Any) -> Iterator[Any]:
    """Every page of a document, closed again after it has been looked at."""
    for number in range(len(document)):
        page = document[number]
        try:
            yield page
        finally:
            page.close()


@contextmanager
def opened(data: bytes) -> Iterator[Any]:
    """A PDF for the time of a with block."""
    document = pypdfium2.PdfDocument(data)
    try:
        yield document
    finally:
        document.close()


def read_back(data: bytes) -> Reading:
    """A finished PDF as it reads."""
    fonts = Fonts()
    with opened(data) as document:
        return Reading(
            _utf16(string_of(raw.FPDFCatalog_GetLanguage, document.raw)),
            raw.FPDFCatalog_IsTagged(document.raw) == 1,
            _utf16(string_of(raw.FPDF_GetMetaText, document.raw, b"Title")),
            tuple(_read_page(page, fonts) for page in each_page(document)),
        )
