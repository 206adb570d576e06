"""What must hold of every document and every page of it, whatever they say."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterator, Sequence

from plainleaf.printing.fonts import FAMILIES
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.inspection.read_pdf import PageText, Reading, opened
from plainleaf.printing.inspection.text_match import found_in, squeezed
from plainleaf.printing.inspection.untidy import Untidy
from plainleaf.printing.inspection.weights import not_in_bold

# No printer reaches closer to the edge of the paper: a quarter of an inch (row PR-03).
UNPRINTABLE = 18.0
# A page with fewer letters than this besides its furniture is nearly empty, whichever it is.
LEAST_LETTERS = 12
# A page is nearly empty if its print, that of drawings too, is less high than three lines: less
# than the least that a paragraph leaves behind when it runs over (orphans, widows). In print sizes:
# two lines take less, three take more.
LEAST_HEIGHT = 2.5
# A page is full if its print is as high as this part of the highest one.
_FULL = 0.7
# Two lines of print, one over the other, are so many print sizes apart at least: less, and letters
# of one run into those of the other.
_LEADING = 0.75


def document_faults(reading: Reading, language: str, furniture: PageFurniture) -> Iterator[str]:
    """Language, tags, title and fonts of a document."""
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


def _lacks_furniture(page: PageText, furniture: PageFurniture, direction: str) -> bool:
    """Whether the head or the foot is not on a page."""
    matched = found_in(page.text, direction)
    return not all(matched.holds(line) for line in furniture.lines)


def _letters(page: PageText, furniture: PageFurniture) -> int:
    """Letters on a page besides its usual head and foot."""
    rest = squeezed(page.text)
    for line in furniture.lines:
        rest = rest.replace(squeezed(line), "")
    return len(rest)


def _height(page: PageText) -> float:
    """Points from the lowest to the highest print between head and foot."""
    highest = max((run.box[3] for run in page.inner), default=0.0)
    lowest = min((run.box[1] for run in page.inner), default=0.0)
    return highest - lowest


def _may_be_short(pages: Sequence[PageText]) -> Iterator[bool]:
    """Whether each page may be short: the last, and one before a page that is full.

    What is kept whole, such as a picture with its steps, may be too high for the rest of a page.
    """
    heights = [_height(page) for page in pages]
    full = _FULL * max(heights, default=0.0)
    yield from (height >= full for height in heights[1:])
    yield True


def _overprinted(page: PageText) -> bool:
    """Whether two lines of print stand one over the other."""
    # A mark on a letter may be a run of its own.
    runs = [
        run
        for run in page.inner
        if any(unicodedata.category(c)[0] != "M" for c in run.text.strip())
    ]
    prints = sorted(runs, key=lambda run: run.baseline)
    for number, run in enumerate(prints):
        for other in prints[number + 1 :]:
            size = min(run.size, other.size)
            apart = other.baseline - run.baseline
            if apart >= _LEADING * size:
                break
            wide = min(run.box[2], other.box[2]) - max(run.box[0], other.box[0])
            if wide > 0.2 * size and apart > 0.1 * size:
                return True
            # On one line nothing stands on anything either.
            if wide > 0.5 * size:
                return True
    return False


def lonely_headings(pages: Sequence[PageText]) -> Iterator[str]:
    """Pages whose lowest print is a heading: larger than most of the print by a fifth."""
    sizes = Counter(run.size for page in pages for run in page.inner)
    usual = max(sizes, key=sizes.__getitem__, default=0.0)
    for number, page in enumerate(pages, start=1):
        lowest = min(page.inner, key=lambda run: run.baseline, default=None)
        if lowest is not None and lowest.size > 1.2 * usual:
            yield Untidy(f"page {number}: a heading stands alone at the foot")


def page_faults(
    pages: Sequence[PageText],
    furniture: PageFurniture,
    direction: str,
    least: float,
    may_end: frozenset[int],
    first: int = 1,
    titled: bool = True,
) -> Iterator[str]:
    """Sizes, edges, bold title, head and foot, missing letters and empty pages.

    Args:
        direction: `ltr` or `rtl`, that of the print.
        least: Least effective size of print in points.
        may_end: Pages that may be short because a new page had to begin after them.
        first: Number of the first of the pages.
        titled: The title of the document is printed.
    """
    if titled:
        yield from not_in_bold([("the title", furniture.title)], pages, direction)
    for number, (page, short) in enumerate(zip(pages, _may_be_short(pages), strict=True), first):
        for size in sorted(page.sizes):
            if 0 < size < least - 0.01:
                yield f"page {number} holds print of {size:g} points; {least:g} is the least"
        if page.unreadable:
            letters = " ".join(f"U+{ord(letter):04X}" for letter in sorted(page.unreadable))
            yield f"page {number} holds letters that its font cannot print: {letters}"
        if _lacks_furniture(page, furniture, direction):
            yield f"page {number} lacks its head or foot"
        low = _height(page) < LEAST_HEIGHT * least and not (short or number in may_end)
        if _letters(page, furniture) < LEAST_LETTERS or low:
            yield Untidy(f"page {number} is nearly empty")
        if _overprinted(page):
            yield f"page {number} holds print over other print"


def edge_faults(data: bytes, pages: Sequence[PageText]) -> Iterator[str]:
    """Print, lines or shapes where no printer reaches.

    A drawing may reach beyond what is shown of it; so a page with one is painted to see.
    """
    with opened(data) as document:
        for number, page in enumerate(pages, start=1):
            prints = min((_room(mark.box, page) for mark in page.prints), default=page.width)
            shapes = min((_room(mark.box, page) for mark in page.shapes), default=page.width)
            if prints < UNPRINTABLE - 0.01:
                yield f"page {number} holds print {prints:.0f} points from the edge of the paper"
            elif shapes < UNPRINTABLE - 0.01 and not _clean_edge(document[number - 1]):
                yield f"page {number} holds a line or shape that no printer can reach"


def _room(box: tuple[float, float, float, float], page: PageText) -> float:
    left_edge, bottom, right, top = box
    return min(left_edge, bottom, page.width - right, page.height - top)


def _clean_edge(page: object) -> bool:
    """Whether the outermost quarter inch of a page is white when it is painted."""
    picture = page.render(grayscale=True)  # type: ignore[attr-defined]
    width, height, stride = picture.width, picture.height, picture.stride
    rows = [bytes(picture.buffer[row * stride : row * stride + width]) for row in range(height)]
    deep = int(UNPRINTABLE)
    edges = [*rows[:deep], *rows[-deep:], *(row[:deep] + row[-deep:] for row in rows)]
    return all(min(part) == 255 for part in edges)
