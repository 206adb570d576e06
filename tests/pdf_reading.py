"""Reads a PDF back by other programs than the one that made it: text, letters, tags, form fields.

Text comes from two readers that know nothing of each other; letters with size and place from a
third. Nothing here uses the project's own read-back check.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, NamedTuple

import pdfplumber
import pypdf
import pypdfium2
from disk_cache import digest_of, from_disk, libraries


def squeezed(text: str) -> str:
    """A text without spaces, so that line and page breaks do not matter."""
    return re.sub(r"\s+", "", text)


@cache
def _readers() -> str:
    """Digest of what reads here."""
    return digest_of(Path(__file__).read_bytes(), libraries())


def _by_pypdf(data: bytes) -> Iterator[str]:
    for page in document(data).pages:
        yield page.extract_text()


def _by_pdfium(data: bytes) -> Iterator[str]:
    pdf = pypdfium2.PdfDocument(data)
    try:
        for page in pdf:
            # This reader gives a control character for a hyphen at the end of a line.
            yield page.get_textpage().get_text_bounded().replace("\x02", "-")
    finally:
        pdf.close()


READERS: dict[str, Callable[[bytes], Iterator[str]]] = {"pypdf": _by_pypdf, "pdfium": _by_pdfium}


@cache
def document(data: bytes) -> Any:
    """The document's objects."""
    return pypdf.PdfReader(io.BytesIO(data))


@cache
def texts(data: bytes, reader: str = "pdfium") -> tuple[str, ...]:
    """The text of every page, as a reader gives it."""
    key = digest_of("texts", reader, data, _readers())
    return from_disk(key, lambda: tuple(READERS[reader](data)))


@cache
def pages(data: bytes, reader: str = "pdfium") -> tuple[str, ...]:
    """The text of every page, without spaces."""
    return tuple(squeezed(text) for text in texts(data, reader))


@dataclass(frozen=True)
class Body:
    """All pages as one text without heads and feet, and the page that each letter stands on."""

    text: str
    starts: tuple[int, ...]

    def pages_of(self, words: str) -> list[int]:
        """The pages on which a text begins, counted from 1."""
        wanted = squeezed(words)
        found = [match.start() for match in re.finditer(re.escape(wanted), self.text)]
        return [max(n for n, start in enumerate(self.starts, 1) if start <= at) for at in found]

    def __contains__(self, words: str) -> bool:
        return squeezed(words) in self.text


@cache
def body(data: bytes, around: tuple[tuple[str, ...], ...], reader: str = "pdfium") -> Body:
    """The pages joined, without the texts that stand around each of them."""
    text, starts = "", []
    for page, parts in zip(pages(data, reader), around, strict=True):
        starts.append(len(text))
        rest = page
        for part in parts:
            rest = rest.replace(squeezed(part), "", 1)
        text += rest
    return Body(text, tuple(starts))


class Letter(NamedTuple):
    """One printed letter; `mark` is its number in the page's marked content, or None."""

    page: int
    mark: int | None
    tag: str | None
    text: str
    size: float
    left: float
    right: float
    top: float
    bottom: float


class Shape(NamedTuple):
    """The box of a line, rectangle or curve on a page."""

    left: float
    right: float
    top: float
    bottom: float


class Sheet(NamedTuple):
    """The letters and shapes of a page and the page's size in points."""

    width: float
    height: float
    letters: tuple[Letter, ...]
    shapes: tuple[Shape, ...]


# The letters of a packet take much room; those of the last files that were read are at hand.
@lru_cache(maxsize=12)
def sheets(data: bytes) -> tuple[Sheet, ...]:
    """Every page with its letters and shapes."""
    return from_disk(digest_of("sheets", data, _readers()), lambda: _sheets(data))


def _sheets(data: bytes) -> tuple[Sheet, ...]:
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        return tuple(
            Sheet(
                float(page.width),
                float(page.height),
                tuple(
                    Letter(
                        number, char["mcid"], char["tag"], char["text"], float(char["size"]),
                        char["x0"], char["x1"], char["top"], char["bottom"],
                    )
                    for char in page.chars
                ),
                tuple(
                    Shape(shape["x0"], shape["x1"], shape["top"], shape["bottom"])
                    for shape in (*page.rects, *page.lines, *page.curves)
                ),
            )
            for number, page in enumerate(pdf.pages)
        )  # fmt: skip


@dataclass(frozen=True)
class Tag:
    """One element of the tag tree; `marks` are its own (page, number) pairs."""

    kind: str
    kids: tuple[Tag, ...]
    marks: tuple[tuple[int, int], ...]
    entries: Mapping[str, Any]

    def every(self) -> Iterator[Tag]:
        """This element and all below it, in reading order."""
        yield self
        for kid in self.kids:
            yield from kid.every()


def _tag(element: Any, page_numbers: Mapping[int, int]) -> Tag:
    raw = element.get("/K", [])
    kids, marks = [], []
    for item in raw if isinstance(raw, list) else [raw]:
        kid = item.get_object() if hasattr(item, "get_object") else item
        if isinstance(kid, int):
            marks.append((page_numbers[element.raw_get("/Pg").idnum], kid))
        elif kid.get("/Type") != "/OBJR":
            kids.append(_tag(kid, page_numbers))
    return Tag(str(element.get("/S", "")), tuple(kids), tuple(marks), element)


@cache
def tag_tree(data: bytes) -> Tag:
    """The tag tree from its root."""
    pdf = document(data)
    numbers = {page.indirect_reference.idnum: n for n, page in enumerate(pdf.pages)}
    return _tag(pdf.trailer["/Root"]["/StructTreeRoot"], numbers)


@cache
def marked_text(data: bytes) -> Mapping[tuple[int, int], str]:
    """(page, number) → the words of that marked content; page furniture is left out."""
    found: dict[tuple[int, int], str] = {}
    for sheet in sheets(data):
        for letter in sheet.letters:
            if letter.mark is not None:
                key = (letter.page, letter.mark)
                found[key] = found.get(key, "") + letter.text
    return found


def tag_text(data: bytes, tag: Tag) -> str:
    """The words below an element, in reading order, without spaces."""
    words = marked_text(data)
    return squeezed("".join(words.get(mark, "") for one in tag.every() for mark in one.marks))


def outline(data: bytes) -> list[tuple[int, str, int]]:
    """Bookmarks as (level, title without spaces, page counted from 1)."""
    pdf = document(data)

    def flat(entries: Any, level: int) -> Iterator[tuple[int, str, int]]:
        for entry in entries:
            if isinstance(entry, list):
                yield from flat(entry, level + 1)
            else:
                page = pdf.get_destination_page_number(entry) + 1
                yield level, squeezed(str(entry.title)), page

    return list(flat(pdf.outline, 1))


def fields(data: bytes) -> list[Any]:
    """Every form field of a document."""
    form = document(data).trailer["/Root"].get("/AcroForm", {"/Fields": []})
    return [field.get_object() for field in form["/Fields"]]


def fonts(data: bytes) -> list[Any]:
    """Every font that a page or the form of a document names."""
    pdf = document(data)
    shelves = [page["/Resources"] for page in pdf.pages]
    form = pdf.trailer["/Root"].get("/AcroForm")
    shelves += [] if form is None else [form["/DR"]]
    found = {}
    for shelf in shelves:
        for font in shelf.get_object().get("/Font", {}).values():
            found[font.get_object()["/BaseFont"]] = font.get_object()
    return list(found.values())
