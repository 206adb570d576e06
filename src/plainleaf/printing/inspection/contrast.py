"""Contrast of print against what is really behind it, and of lines and shapes against paper.

A run that stands on plain paper is measured by its colour. A run that a shape touches is painted
three times: its letters alone, the page without any print, and the page as it is. So the colour
behind each dot of its letters is known, and whether something was painted over them.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from typing import Any

from pypdfium2 import raw

from plainleaf.printing.inspection.read_pdf import Box, Color, PageText, Print, Shape, opened

# Print: AAA for every size (row LP-17). Lines and shapes that carry meaning: 3 (row LP-18).
LEAST_PRINT = 7.0
LEAST_SHAPE = 3.0
# A tint is told from paper by a fifth of its lightness (row LP-20); what is thinner is a line.
LIGHTEST_TINT = 0.8
_THIN = 8.0
# Height of a band in points: about a line of print.
_BAND = 24.0
PAPER = (255, 255, 255)
# Dots a point in the painted pages, and the share of a run's dots that may fall short: a thin
# line that ends at a letter touches a few.
_SCALE = 2
_FEW = 0.05

Rgb = tuple[int, int, int]


def luminance(color: Sequence[int]) -> float:
    """Relative luminance of an 8-bit colour, 0 to 1 (WCAG 2).

    >>> round(luminance((255, 255, 255)), 4), round(luminance((0x76, 0x76, 0x76)), 4)
    (1.0, 0.1812)
    """
    parts = [value / 255 for value in color[:3]]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def ratio(first: Sequence[int], other: Sequence[int]) -> float:
    """Contrast of two colours, 1 to 21 (WCAG 2).

    >>> round(ratio((0, 0, 0), (255, 255, 255)), 4)
    21.0
    """
    lighter, darker = sorted((luminance(first), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def over(color: Color, behind: Rgb) -> Rgb:
    """A colour that lets some of what is behind it through."""
    part = color[3] / 255
    red, green, blue = (
        round(part * c + (1 - part) * b) for c, b in zip(color[:3], behind, strict=True)
    )
    return (red, green, blue)


def _bars(shape: Shape) -> Sequence[Box]:
    """The parts of a shape that are painted: all of its box, or the sides of a frame."""
    if shape.hole is None:
        return (shape.box,)
    (left_edge, bottom, right, top), hole = shape.box, shape.hole
    sides = (
        (left_edge, bottom, hole[0], top),
        (hole[2], bottom, right, top),
        (left_edge, bottom, right, hole[1]),
        (left_edge, hole[3], right, top),
    )
    return [box for box in sides if box[2] - box[0] > 0.01 and box[3] - box[1] > 0.01]


def _bands(box: Box) -> range:
    """The bands of the page that a box reaches into."""
    return range(int(box[1] // _BAND), int(box[3] // _BAND) + 1)


def _touched(page: PageText) -> list[Print]:
    """Runs of print that a shape touches, before or after them.

    The outermost point of a run's box is hardly inked. Bars are kept by band of the page, so that
    each run is compared with what is painted near it only.
    """
    bars: defaultdict[int, list[Box]] = defaultdict(list)
    for bar in (bar for shape in page.shapes for bar in _bars(shape)):
        for band in _bands(bar):
            bars[band].append(bar)

    def on_a_bar(box: Box) -> bool:
        ink = (box[0] + 1, box[1] + 1, box[2] - 1, box[3] - 1)
        return any(
            ink[0] < bar[2] and bar[0] < ink[2] and ink[1] < bar[3] and bar[1] < ink[3]
            for band in _bands(box)
            for bar in bars.get(band, ())
        )

    return [run for run in page.prints if run.text.strip() and on_a_bar(run.box)]


def _shape_faults(number: int, page: PageText) -> Iterator[str]:
    for shape in page.shapes:
        left_edge, bottom, right, top = shape.box
        wide = min(right - left_edge, top - bottom) > _THIN and shape.hole is None
        for color, tint in ((shape.stroke, False), (shape.fill, wide)):
            seen = None if color is None else over(color, PAPER)
            if seen is None or seen == PAPER or ratio(seen, PAPER) >= LEAST_SHAPE:
                continue
            if not (tint and luminance(seen) <= LIGHTEST_TINT):
                yield (
                    f"page {number} holds a line or shape with a contrast of "
                    f"{ratio(seen, PAPER):.2f}; {LEAST_SHAPE:g} is the least"
                )


class _Painted:
    """One page painted three times, over its width from the lowest to the highest of some boxes.

    Each picture is rows of dots from the top.
    """

    def __init__(self, page: Any, boxes: Sequence[Box]) -> None:
        things = [(thing, thing.type == raw.FPDF_PAGEOBJ_TEXT) for thing in page.get_objects()]
        height = page.get_size()[1]
        most = int(height) - 1  # of what is beside the paper, a strip at its edge is painted
        below = min(max(int(min(box[1] for box in boxes)) - 1, 0), most)
        above = min(max(int(height - max(box[3] for box in boxes)) - 1, 0), most - below)
        self.top = height - above
        self._crop = (0, below, 0, above)
        self.whole = self._paint(page)
        for thing, is_text in things:
            raw.FPDFPageObj_SetIsActive(thing.raw, not is_text)
        self.behind = self._paint(page)
        for thing, is_text in things:
            raw.FPDFPageObj_SetIsActive(thing.raw, is_text)
            if is_text:
                raw.FPDFPageObj_SetFillColor(thing.raw, 0, 0, 0, 255)
        self.letters = self._paint(page)

    def _paint(self, page: Any) -> Any:
        return page.render(scale=_SCALE, crop=self._crop, rev_byteorder=True, maybe_alpha=False)

    def dots(self, box: Box) -> Counter[tuple[int, Rgb, Rgb]]:
        """How often each (letter's dot, colour behind, colour seen) stands in a box."""
        first_column, right = int(box[0] * _SCALE), int(box[2] * _SCALE) + 1
        first, last = (int((self.top - y) * _SCALE) for y in (box[3], box[1]))
        dots: Counter[tuple[int, Rgb, Rgb]] = Counter()
        for row in range(max(first, 0), min(last + 1, self.whole.height)):
            parts = [self._row(picture, row, first_column, right) for picture in
                     (self.letters, self.behind, self.whole)]  # fmt: skip
            dots.update(
                (ink[0], under, seen)
                for ink, under, seen in zip(*parts, strict=True)
                if ink[0] < 128
            )
        return dots

    def _row(self, picture: Any, row: int, first_column: int, right: int) -> Iterator[Rgb]:
        offset = row * picture.stride
        part = bytes(picture.buffer[offset + first_column * 3 : offset + right * 3])
        return zip(part[0::3], part[1::3], part[2::3], strict=True)


def _run_faults(number: int, run: Print, painted: _Painted) -> Iterator[str]:
    """Faults of one run on a painted page."""
    dots = painted.dots(run.box)
    weak = Counter[str]()
    for (_, behind, seen), count in dots.items():
        if ratio(over(run.color, behind), behind) < LEAST_PRINT:
            weak["low"] += count
        elif ratio(seen, behind) < LEAST_SHAPE:
            weak["covered"] += count
    if weak["low"] > _FEW * dots.total():
        worst = min(ratio(over(run.color, behind), behind) for _, behind, _ in dots)
        yield (
            f"page {number} holds print with a contrast of {worst:.2f} against what is behind it; "
            f"{LEAST_PRINT:g} is the least"
        )
    if weak["covered"] > _FEW * dots.total():
        yield f"page {number} holds print that something is painted over"


def _plain_faults(number: int, page: PageText, touched: Sequence[Print]) -> Iterator[str]:
    """Faults of the runs that stand on plain paper."""
    apart = {run.order for run in touched}
    colors = {run.color for run in page.prints if run.text.strip() and run.order not in apart}
    for color in sorted(colors):
        contrast = ratio(over(color, PAPER), PAPER)
        if contrast < LEAST_PRINT:
            yield (
                f"page {number} holds print with a contrast of {contrast:.2f} against the paper; "
                f"{LEAST_PRINT:g} is the least"
            )


def contrast_faults(data: bytes, pages: Sequence[PageText]) -> Iterator[str]:
    """Print and shapes that stand out too little.

    Args:
        data: The PDF that `pages` were read from.
    """
    with opened(data) as document:
        for number, read in enumerate(pages, start=1):
            touched = _touched(read)
            faults = [*_shape_faults(number, read), *_plain_faults(number, read, touched)]
            if touched:
                painted = _Painted(document[number - 1], [run.box for run in touched])
                faults += [fault for run in touched for fault in _run_faults(number, run, painted)]
            yield from dict.fromkeys(faults)
