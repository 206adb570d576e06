"""The same for scripts from the right, which no reader gives back letter by letter in order.

Words are compared by their letters, whatever their order in the word, and looked for on the pages
where the statement stands by its anchors.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from plainleaf.check.reading import MARKER, PageText, Print
from plainleaf.word import WordedPacket, WordedStatement, Words

# Runs of one line further apart than this, in print sizes, stand in two cells of a table; nearer
# ones have their spaces in their text.
_GAP = 0.5


def _letters(text: str) -> str:
    """A text without marks on letters and without marks of direction."""
    return "".join(c for c in text if unicodedata.category(c) not in ("Mn", "Cf"))


def tokens(text: str) -> Counter[str]:
    """Every word and number of a text, its letters sorted.

    >>> sorted(tokens("60 mL, at no"))
    ['06', 'Lm', 'at', 'no']
    """
    return Counter("".join(sorted(word)) for word in re.findall(r"\w+", _letters(text)))


def _line(runs: Sequence[Print]) -> str:
    """A line of print from the right, its words whole."""
    text, before = "", None
    for one in sorted(runs, key=lambda run: -run.box[2]):
        apart = before is not None and before.box[0] - one.box[2] > _GAP * one.size
        text += (" " if apart else "") + one.text
        before = one
    return text


def _lines(page: PageText) -> Iterator[str]:
    """The lines of a page, heads and feet too."""
    lines: dict[float, list[Print]] = {}
    for one in page.prints:
        if _letters(one.text).strip() and not MARKER.fullmatch(one.text):
            near = next((y for y in lines if abs(y - one.baseline) < 1), one.baseline)
            lines.setdefault(near, []).append(one)
    return map(_line, lines.values())


@dataclass(frozen=True)
class LoosePage:
    """The words of a page, its lines without spaces, and the words of each of its runs."""

    words: Counter[str]
    lines: tuple[str, ...]
    runs: tuple[Counter[str], ...]


def loose(page: PageText) -> LoosePage:
    """A page for comparing by words."""
    words = Counter[str]()
    lines = list(_lines(page))
    for line in lines:
        words += tokens(line)
    squeezed = tuple("".join(re.findall(r"\w", _letters(line))) for line in lines)
    return LoosePage(words, squeezed, tuple(tokens(one.text) for one in page.inner))


def _within(word: str, lines: Iterable[str]) -> bool:
    """Whether a word stands in a line; the reader may put spaces into one, or none before it."""
    long = len(word)
    return any(
        "".join(sorted(line[at : at + long])) == word
        for line in lines
        for at in range(len(line) - long + 1)
    )


def lacks(text: str, pages: Sequence[LoosePage]) -> bool:
    """Whether any word of a text is on none of some pages."""
    have = Counter[str]()
    for page in pages:
        have += page.words
    missing = tokens(text) - have
    return any(not _within(word, (line for page in pages for line in page.lines))
               for word in missing)  # fmt: skip


def _texts(statement: WordedStatement) -> Iterator[Words]:
    if statement.words is not None:
        yield statement.words
    if statement.block is not None:
        yield from (line for row in statement.block.rows for cell in row for line in cell)


def _broken(words: Words, pages: Sequence[LoosePage]) -> Iterator[str]:
    """Kinds of values in Latin letters and figures that are not whole in one run of print."""
    for run in words.runs:
        latin = _letters(run.text).replace("\u00a0", " ").isascii()
        if run.kind in ("", "text", "volume", "weight", "temperature") or not latin:
            continue
        if not any(tokens(run.text) <= printed for page in pages for printed in page.runs):
            yield run.kind


def loose_faults(
    packet: WordedPacket, pages: Sequence[PageText], anchors: Mapping[str, int]
) -> Iterator[str]:
    """Statements whose words are missing, values that are torn, headings at the foot."""
    read = [loose(page) for page in pages]
    statements = list(packet.statements().values())
    starts = [anchors.get(one.id, 1) for one in statements]
    ends = [*(max(start, 1) for start in starts[1:]), len(pages)]
    for one, start, end in zip(statements, starts, ends, strict=True):
        there = read[start - 1 : max(end, start)]
        if any(lacks(str(words), there) for words in _texts(one)):
            yield f"the statement '{one.id}' is not in the print as it was worded"
        for kind in dict.fromkeys(k for words in _texts(one) for k in _broken(words, there)):
            yield f"page {start}: a value of the kind '{kind}' in '{one.id}' is broken"
    for module in packet.modules:
        for section in module.sections:
            page = anchors.get(section.id)
            if section.statements and anchors.get(section.statements[0].id) != page:
                yield f"page {page}: the heading of '{section.id}' stands alone at the foot"
