"""Where every text of a packet stands in the print, and what was torn.

The print between heads and feet is one long text without spaces; labels of pictures, which are
painted apart, are left out. Each text of the packet is
looked for in it, in order; so it is known on which page and line each of its letters stands.
Lines: row LP-07 of the print reference. Headings, steps, lonely lines: row LP-14.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from plainleaf.compose.word import (
    WordedBlock,
    WordedPage,
    WordedPages,
    WordedStatement,
    Words,
    kept,
)
from plainleaf.printing.html import bands, prints_heading
from plainleaf.printing.inspection.read_pdf import MARKER, PageText, Print
from plainleaf.printing.inspection.text_match import squeezed
from plainleaf.printing.inspection.untidy import Untidy

# Paragraphs that run over a page leave so many lines on each.
LEAST_KEPT = 2
# A value of more letters than this fits on no line of a table, and may break.
LONGEST_VALUE = 30
# So few letters stand inside other words: they are looked for as a run of print of their own.
_SHORT = 3
# A row of a table is kept on one page if it has at most so many lines.
MOST_KEPT = 12


@dataclass(frozen=True)
class Spot:
    """A line of print: its page and its baseline."""

    page: int
    baseline: float

    def same_line(self, other: Spot) -> bool:
        """Whether two spots are on one line."""
        return self.page == other.page and abs(self.baseline - other.baseline) < 1


class Layer:
    """The words between heads and feet as one text, and where each letter stands."""

    def __init__(self, pages: Sequence[PageText]) -> None:
        runs = [
            (number, run)
            for number, page in enumerate(pages, start=1)
            for run in page.inner
            if run.role != "Figure" and not MARKER.fullmatch(run.text)
        ]
        self._runs: list[tuple[int, Print]] = runs
        self._starts: list[int] = []
        parts: list[str] = []
        length = 0
        for _, run in runs:
            self._starts.append(length)
            parts.append(squeezed(run.text))
            length += len(parts[-1])
        self.text = "".join(parts)
        self._begun = {*self._starts, length}

    def find(self, wanted: str, start: int) -> int:
        """The position of a text from another on, or -1; of few letters, first where they stand
        alone.
        """
        if len(wanted) > _SHORT:
            return self.text.find(wanted, start)
        at = self.text.find(wanted, start)
        while at >= 0 and not self._alone(at, at + len(wanted)):
            at = self.text.find(wanted, at + 1)
        return at if at >= 0 else self.text.find(wanted, start)

    def _alone(self, start: int, end: int) -> bool:
        """Whether a run of print begins and ends there."""
        return all(place in self._begun for place in (start, end))

    def page_start(self, page: int) -> int:
        """The position of the first letter of a page or a later one."""
        pages = [number for number, _ in self._runs]
        place = bisect_left(pages, page)
        return self._starts[place] if place < len(pages) else len(self.text)

    def spot(self, place: int) -> Spot:
        """Where the letter at a position stands."""
        number, run = self._runs[bisect_right(self._starts, place) - 1]
        return Spot(number, run.baseline)

    def lines(self, start: int, end: int) -> list[Spot]:
        """The lines on which a stretch of the text stands, in order."""
        first, last = (bisect_right(self._starts, place) - 1 for place in (start, end - 1))
        spots: list[Spot] = []
        for number, run in self._runs[first : last + 1]:
            here = Spot(number, run.baseline)
            if not spots or not spots[-1].same_line(here):
                spots.append(here)
        return spots


@dataclass(frozen=True)
class PrintedText:
    """One text of the packet in the print; `what` names it in a message."""

    what: str
    words: Words
    start: int

    @property
    def end(self) -> int:
        """The position after its last letter."""
        return self.start + len(squeezed(str(self.words)))


class Finder:
    """Looks for texts in order; what is missing is written down."""

    def __init__(self, layer: Layer) -> None:
        self.layer = layer
        self._at = 0
        self.faults: list[str] = []
        self.found: list[PrintedText] = []

    def find(self, what: str, words: Words, missing: str) -> PrintedText | None:
        """The next place of a text, else its first; none where it has no letters."""
        wanted = squeezed(str(words))
        if not wanted:
            return None
        start = self.layer.find(wanted, self._at)
        if start < 0:
            start = self.layer.find(wanted, 0)
        if start < 0:
            self.faults.append(missing)
            return None
        self._at = start + len(wanted)
        self.found.append(PrintedText(what, words, start))
        return self.found[-1]

    def go_to(self, page: int) -> None:
        """Go on from a page, or from where it is if that is later."""
        self._at = max(self._at, self.layer.page_start(page))

    def pages(self, match: PrintedText) -> tuple[int, int]:
        """First and last page of a text."""
        spots = self.layer.lines(match.start, match.end)
        return spots[0].page, spots[-1].page


def _broken(layer: Layer, match: PrintedText) -> Iterator[str]:
    """Values of a text that stand on two lines and should not."""
    place = match.start
    for run in match.words.runs:
        end = place + len(squeezed(run.text))
        for piece in kept(run):
            length = len(squeezed(piece))
            spots = layer.lines(place, place + length) if length else []
            if len(spots) > 1 and length <= LONGEST_VALUE:
                yield (
                    f"page {spots[0].page}: a value of the kind '{run.kind}' in {match.what} "
                    "is broken over two lines"
                )
            place += length
        place = end


def _lonely(layer: Layer, match: PrintedText, kind: str) -> Iterator[str]:
    """Steps and boxes that run over a page; paragraphs that leave a line alone."""
    spots = layer.lines(match.start, match.end)
    first, last = spots[0].page, spots[-1].page
    if first == last:
        return
    if kind != "say":
        yield Untidy(f"pages {first} and {last}: {match.what} is split")
        return
    for page in (first, last):
        if sum(spot.page == page for spot in spots) < LEAST_KEPT:
            yield Untidy(f"page {page}: one line of {match.what} stands alone")


class TextPlaces:
    """A packet looked for in the print."""

    def __init__(
        self, packet: WordedPages, pages: Sequence[PageText], anchors: Mapping[str, int]
    ) -> None:
        self._finder = Finder(Layer(pages))
        self._layer = self._finder.layer
        self._faults: list[str] = []
        for module in packet.pages:
            # The list of contents holds the titles too.
            self._finder.go_to(anchors.get(module.id, 1))
            self._module(module)

    def faults(self) -> list[str]:
        """Everything that is missing or torn."""
        broken = [fault for match in self._finder.found for fault in _broken(self._layer, match)]
        return [*self._finder.faults, *self._faults, *broken]

    def _heading(self, what: str, words: Words) -> PrintedText | None:
        return self._finder.find(what, words, f"{what} is not in the print as it was worded")

    def _keep_with(self, heading: PrintedText | None, first: PrintedText | None) -> None:
        """A heading stands on the page of what it heads."""
        if heading is None or first is None:
            return
        page = self._finder.pages(heading)[1]
        if self._finder.pages(first)[0] != page:
            alone = f"page {page}: {heading.what} stands alone at the foot"
            self._faults.append(Untidy(alone))

    def _module(self, module: WordedPage) -> None:
        title = self._heading(f"the title of '{module.id}'", module.title)
        for number, section in enumerate(bands(module)):
            heading = None
            if prints_heading(module, section):
                heading = self._heading(f"the heading of '{section.id}'", section.heading)
            if number == 0:
                self._keep_with(title, heading)
            firsts = [self._statement(statement) for statement in section.statements]
            self._keep_with(heading, firsts[0] if firsts else None)

    def _statement(self, statement: WordedStatement) -> PrintedText | None:
        """Finds a statement; gives its first text in the print."""
        if statement.block is not None:
            return self._block(statement.id, statement.block)
        what = f"the statement '{statement.id}'"
        assert statement.words is not None
        match = self._heading(what, statement.words)
        if match is not None:
            self._faults += _lonely(self._layer, match, statement.kind)
        return match

    def _block(self, identity: str, block: WordedBlock) -> PrintedText | None:
        what = f"the table '{identity}'"
        first: PrintedText | None = None
        if block.look not in ("card", "contacts", "plan", "list"):
            for number, words in enumerate(block.head, start=1):
                match = self._finder.find(what, words, f"{what} lacks heading {number}")
                first = first or match
        for row, cells in enumerate(block.rows, start=1):
            match = self._row(what, row, cells)
            first = first or match
        return first

    def _row(self, what: str, row: int, cells: tuple[tuple[Words, ...], ...]) -> PrintedText | None:
        first: PrintedText | None = None
        pages: set[int] = set()
        longest = 0
        for column, lines in enumerate(cells, start=1):
            height = 0
            for words in lines:
                lacks = f"{what} lacks row {row}, column {column}, as it was worded"
                match = self._finder.find(what, words, lacks)
                if match is not None:
                    spots = self._layer.lines(match.start, match.end)
                    pages |= {spot.page for spot in spots}
                    height += len(spots)
                    first = first or match
            longest = max(longest, height)
        if len(pages) > 1 and longest <= MOST_KEPT:
            self._faults.append(Untidy(f"page {min(pages)}: row {row} of {what} is split"))
        return first


def missing_texts(texts: Sequence[tuple[str, Words]], pages: Sequence[PageText]) -> list[str]:
    """Texts that are not in the print, and values in them that are broken over two lines.

    Args:
        texts: What each is, for the message, with its words.
    """
    finder = Finder(Layer(pages))
    for what, words in texts:
        finder.find(what, words, f"{what} is not in the print as it was worded")
    broken = [fault for match in finder.found for fault in _broken(finder.layer, match)]
    return [*finder.faults, *broken]
