"""Reads a finished PDF back whose parts differ in head, foot and least print."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plainleaf.check import document_faults, page_faults, printed_body, read_back
from plainleaf.render import PageFurniture
from plainleaf.typeset import Pdf


@dataclass(frozen=True)
class Part:
    """Pages of a document that share head, foot and least print, from page `first` on.

    `lines`: what must stand in their print.
    """

    first: int
    furniture: PageFurniture
    least: float
    direction: str
    lines: tuple[str, ...]


def check_parts(pdf: Pdf, language: str, parts: Sequence[Part]) -> list[str]:
    """Everything that is not as meant in a document of several parts; the first gives the title."""
    reading = read_back(pdf.data)
    faults = list(document_faults(reading, language, parts[0].furniture))
    ends = [part.first for part in parts[1:]] + [len(reading.pages) + 1]
    for part, end in zip(parts, ends, strict=True):
        pages = reading.pages[part.first - 1 : end - 1]
        faults += page_faults(pages, part.furniture, part.least, part.direction, part.first)
        body = printed_body(pages, part.furniture, part.direction)
        faults += (f"the print lacks: {line}" for line in part.lines if not body.holds(line))
    return faults
