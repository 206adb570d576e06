"""How the family's pages are set: paper, print size, sides, margins, room for head and foot."""

from __future__ import annotations

from dataclasses import dataclass

from plainleaf.compose.draw.letters import PRINT, text_width, wrap

# 18 points and above is large print (ACB, UKAAF; row LP-01).
LARGE_PRINT = PRINT
# Width and height of paper in points (row PR-01).
_WIDTHS = {"letter": 612.0, "A4": 595.28}
_HEIGHTS = {"letter": 792.0, "A4": 841.89}
# What head and foot of a page take besides their lines, in points.
_AROUND = 41.2 + 36.4
# From one ruled line for notes to the next, and what stands above them, in lines of print.
_RULE, _ABOVE_RULES = 1.9, 5 * 1.25
# Margins beside the text: so that a line holds at most 60 letters at 18 points and 70 at 14
# (row LP-05), and long words keep their room in larger print.
_SIDE = {14: 82.0, 18: 61.0, 22: 50.0, 28: 50.0}
# The outer margin of a page with a binding edge is never less.
_LEAST_SIDE = 40.0
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
        topics_start: Where topics begin: `anywhere`, on a new `page`, or on a `right-page`.
    """

    paper: str = "letter"
    size: int = 18
    two_sided: bool = False
    binding: float = 72.0
    topics_start: str = "anywhere"

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
        """Lines of print on a page between its usual head and foot, which take three."""
        return (_HEIGHTS[self.paper] - _AROUND - 3.3 * self.size) / (1.25 * self.size)

    def _lines(self, text: str, side: float | None, *, bold: bool = False) -> int:
        """Lines that a text takes; a word longer than a line is broken.

        Args:
            side: Margin on both sides in points, where it is another than that of most pages.
        """
        line = self.text_width if side is None else _WIDTHS[self.paper] - 2 * side
        width = line * PRINT / self.size
        pieces = wrap(text, width, bold=bold)
        return sum(1 + int(text_width(piece, bold=bold) // width) for piece in pieces)

    def head_lines(self, marks: str, side: float | None = None) -> int:
        """Lines of the head of a page; `side` as in `foot_lines`."""
        return self._lines(marks, side, bold=True)

    def foot_lines(self, identity: str, version: str, side: float | None = None) -> int:
        """Lines of the foot: whom it is for, then page and version; in one run in large print.

        Args:
            side: Margin on both sides in points, where it is another than that of most pages.
        """
        if self.large:
            return self._lines(f"{identity} {_NUMBER}{version}", side)
        return self._lines(identity, side) + self._lines(_NUMBER + version, side)

    def note_lines(self, marks: str, identity: str, version: str) -> int:
        """Ruled lines for notes that fit on the back of page one, below what it says."""
        lines = self.head_lines(marks) + self.foot_lines(identity, version)
        room = _HEIGHTS[self.paper] - _AROUND - 1.1 * self.size * lines
        return max(0, int((room / self.size - _ABOVE_RULES) / _RULE))
