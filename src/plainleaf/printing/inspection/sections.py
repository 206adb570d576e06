"""Reads a finished PDF back whose parts differ in head, foot and least print."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plainleaf.compose.word import Run, Words
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.inspection.contrast import contrast_faults
from plainleaf.printing.inspection.find_texts import missing_texts
from plainleaf.printing.inspection.find_texts_rtl import missing_words
from plainleaf.printing.inspection.pages import document_faults, edge_faults, page_faults
from plainleaf.printing.inspection.read_pdf import read_back
from plainleaf.printing.renderer.layout import Pdf


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


def inspect_parts(pdf: Pdf, language: str, parts: Sequence[Part]) -> list[str]:
    """Everything that is not as meant in a document of several parts; the first gives the title."""
    reading = read_back(pdf.data)
    faults = list(document_faults(reading, language, parts[0].furniture))
    ends = [part.first for part in parts[1:]] + [len(reading.pages) + 1]
    for part, end in zip(parts, ends, strict=True):
        pages = reading.pages[part.first - 1 : end - 1]
        # Each section begins anew, so any page may be short.
        may_end = frozenset(range(part.first, end))
        faults += page_faults(
            pages, part.furniture, part.direction, part.least, may_end, part.first
        )
        texts = [
            (f"line {number} of the part from page {part.first}", Words((Run(line),)))
            for number, line in enumerate(part.lines, start=1)
        ]
        missing = missing_words if part.direction == "rtl" else missing_texts
        faults += missing(texts, pages)
    faults += edge_faults(pdf.data, reading.pages)
    faults += contrast_faults(pdf.data, reading.pages)
    return faults
