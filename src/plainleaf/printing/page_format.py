"""How the family's pages are set: paper, print size, sides, margins, room for head and foot."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf

from plainleaf.compose.draw.letters import PRINT, text_width, wrap
from plainleaf.printing.furniture import PageFurniture

# 18 points and above is large print (ACB, UKAAF; row LP-01).
LARGE_PRINT = PRINT
# Width and height of paper in points (row PR-01).
_WIDTHS = {"letter": 612.0, "A4": 595.28}
_HEIGHTS = {"letter": 792.0, "A4": 841.89}
# What is left free above the title and below the foot of a page, in points: past what no printer
# reaches (row PR-03).
TOP, BOTTOM = 30.0, 21.5
# Rule and room above the foot, in points, and its lines, in print sizes (`print.css`).
_ABOVE_FOOT, _FOOT_LEADING = 7.5, 1.1
# The fonts of paper are our own: widths are as measured, but for the room between two letters.
_ON_PAPER = 1.02
# From one line of print to the next, in print sizes (`print.css`).
LEADING = 1.2
# Margins beside the text: so that a line holds at most 60 letters at 18 points and 70 at 14
# (row LP-05), and long words keep their room in larger print.
_SIDE = {14: 82.0, 18: 61.0, 22: 50.0, 28: 50.0}
# The outer margin of a page with a binding edge is never less.
_LEAST_SIDE = 40.0
# What stands above a page that runs on has this part of a line, its number the rest (`print.css`).
_BESIDE_NUMBER = 0.8
# The times of the day, in print sizes; what stands after them in their cell, and a box to tick with
# its margin, in points; the part of a line that they never pass, in percent (`print.css`).
_CLOCK, _CELL_END, _BOX, _MOST_FOR_TIMES = 1.222, 6.0, 30.0, 48.0
# A page number of three digits, in front of the version.
_NUMBER = "Page 888 of 888. "


@dataclass(frozen=True)
class Format:
    """How pages are set.

    Attributes:
        paper: `letter` or `A4`.
        size: Print size of the family's pages in points, one of `terms.PRINT_SIZES`.
        two_sided: Printed on both sides of a sheet, turned over its long edge.
        binding: Least margin on the binding edge in points; for two-sided pages.
    """

    paper: str = "letter"
    size: int = 18
    two_sided: bool = False
    binding: float = 72.0

    @property
    def large(self) -> bool:
        """Whether print is larger than the drawings and page one were made for."""
        return self.size > LARGE_PRINT

    @property
    def margins(self) -> tuple[float, float]:
        """On the binding edge and opposite, in points; the text is as wide either way."""
        side = _SIDE[self.size]
        if not self.two_sided:
            return side, side
        inner = max(self.binding, side)
        return inner, max(2 * side - inner, _LEAST_SIDE)

    @property
    def text_width(self) -> float:
        """Width of a line in points."""
        return _WIDTHS[self.paper] - sum(self.margins)

    @property
    def page_lines(self) -> float:
        """Lines of print on a page below its title, which takes two, and above a foot of three."""
        return (_HEIGHTS[self.paper] - TOP - BOTTOM - 5.6 * self.size) / (LEADING * self.size)

    def _lines(self, text: str, *, bold: bool = False, part: float = 1.0) -> int:
        """Lines that a text takes.

        Args:
            part: How much of the width of a line there is.
        """
        return _lines_in(part * self.text_width, text, self.size, bold=bold)

    def staff_head(self, furniture: PageFurniture, size: float, sides: float) -> int:
        """Lines of the head of a paper for staff.

        Args:
            size: Its print size in points; `sides`: both margins beside the text, in points.
        """
        return _lines_in(_WIDTHS[self.paper] - sides, furniture.head, size, bold=True)

    def staff_foot(self, furniture: PageFurniture, size: float, sides: float) -> int:
        """Lines of its foot: whom it is for, then page and version. As `staff_head`."""
        width, numbered = _WIDTHS[self.paper] - sides, _NUMBER + furniture.version
        return sum(_lines_in(width, text, size) for text in (furniture.identity, numbered))

    def staff_foot_in_one(self, furniture: PageFurniture, size: float, sides: float) -> int:
        """Lines of a foot that holds the head too, in one run. As `staff_head`."""
        run = f"{furniture.head} {furniture.identity} {_NUMBER}{furniture.version}"
        return _lines_in(_WIDTHS[self.paper] - sides, run, size, bold=True)

    def clock_column(self, times: Iterable[str], *, boxes: bool) -> float:
        """Percent of a line for the times of the day, so that the widest word of them fits.

        Args:
            times: What is kept together of them, in large bold print.
            boxes: Whether a box to tick stands beside some of them.
        """
        size = _CLOCK * self.size
        widest = max(
            (text_width(time, bold=True, size=size, room=1.02) for time in times), default=0
        )
        needed = widest + _CELL_END + (_BOX if boxes else 0)
        usual = min(25 * self.size / LARGE_PRINT, 32)
        return max(usual, min(100 * needed / self.text_width, _MOST_FOR_TIMES))

    def head_lines(self, marks: str) -> int:
        """Lines of the head of a page."""
        return self._lines(marks, bold=True)

    def foot_lines(self, identity: str, version: str) -> int:
        """Lines of the foot: whom it is for, then page and version; in one run in large print."""
        if self.large:
            return self._lines(f"{identity} {_NUMBER}{version}")
        return self._lines(identity) + self._lines(_NUMBER + version)

    def height_above(self, texts: Iterable[object]) -> float:
        """Points that lines take above a page that runs on, beside its number."""
        lines = (self._lines(str(text), bold=True, part=_BESIDE_NUMBER) for text in texts)
        return 1.1 * self.size * sum(lines)

    def margin_of_foot(self, furniture: PageFurniture) -> float:
        """Points below the words of a page whose foot runs on."""
        return BOTTOM + _ABOVE_FOOT + _FOOT_LEADING * self.size * self._foot_in_one(furniture)

    def _foot_in_one(self, furniture: PageFurniture) -> int:
        """Lines of a foot whose parts run on, one after the other, its mark in bold."""
        marked = furniture.head.split()
        plain = f"{furniture.identity} {furniture.version}".split()
        words = [(word, True) for word in marked] + [(word, False) for word in plain]
        lines, used = 0, inf
        for word, bold in words:
            wide = text_width(f"{word} ", bold=bold, size=self.size, room=_ON_PAPER)
            used += wide
            if used > self.text_width:
                lines, used = lines + 1 + int(wide // self.text_width), wide % self.text_width
        return lines


def _lines_in(points: float, text: str, size: float, *, bold: bool = False) -> int:
    """Lines of a text in print of a size, in lines so wide; a word longer than one is broken."""
    width = points * PRINT / size
    pieces = wrap(text, width, bold=bold)
    return sum(1 + int(text_width(piece, bold=bold) // width) for piece in pieces)
