"""The same for scripts from the right, which no reader gives back letter by letter in order.

Statements are looked for word by word (`found.py`) on the pages where they stand by their anchors.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from plainleaf.compose.word import WordedPages, WordedStatement, Words, kept
from plainleaf.compose.word.bidi import without_isolates
from plainleaf.compose.word.numbers import NBSP
from plainleaf.printing.html import bands, prints_heading
from plainleaf.printing.inspection.read_pdf import MARKER, PageText, Print
from plainleaf.printing.inspection.text_match import TextSearch, found_in, pieces
from plainleaf.printing.inspection.untidy import Untidy

# Runs of one line further apart than this, in print sizes, stand in two cells of a table; nearer
# ones have their spaces in their text.
_GAP = 0.5


def _line(runs: Sequence[Print]) -> str:
    """A line of print from the right. A vowel mark is a run of its own and tears its word."""
    text, before = "", None
    for piece in sorted(runs, key=lambda run: -run.box[2]):
        apart = before is not None and before.box[0] - piece.box[2] > _GAP * piece.size
        text += (" " if apart else "") + piece.text
        before = piece
    return text


def lines_of(page: PageText) -> Iterator[str]:
    """The lines of a page, heads and feet too, each as it stands on the paper."""
    lines: dict[float, list[Print]] = {}
    for run in page.prints:
        if without_isolates(run.text).strip() and not MARKER.fullmatch(run.text):
            near = next((y for y in lines if abs(y - run.baseline) < 1), run.baseline)
            lines.setdefault(near, []).append(run)
    return map(_line, lines.values())


def loose(pages: Sequence[PageText]) -> TextSearch:
    """Some pages, to be asked for words in any order."""
    return found_in("\n".join(line for page in pages for line in lines_of(page)), "rtl")


def missing_words(texts: Sequence[tuple[str, Words]], pages: Sequence[PageText]) -> Iterator[str]:
    """Texts of which a word is not in the print; as `places.missing_texts`."""
    print_out = loose(pages)
    for what, words in texts:
        if not print_out.holds(str(words)):
            yield f"{what} is not in the print as it was worded"


def _texts(statement: WordedStatement) -> Iterator[Words]:
    if statement.words is not None:
        yield statement.words
    if statement.block is not None:
        yield from (line for row in statement.block.rows for cell in row for line in cell)


def _broken(words: Words, pages: Sequence[PageText]) -> Iterator[str]:
    """Kinds of values in Latin letters and figures that are not whole in one run of print."""
    for run in words.runs:
        texts = (without_isolates(piece).replace(NBSP, " ") for piece in kept(run))
        for wanted in (pieces(text) for text in texts if text.isascii()):
            if not any(wanted <= pieces(piece.text) for page in pages for piece in page.inner):
                yield run.kind


def loose_faults(
    packet: WordedPages, pages: Sequence[PageText], anchors: Mapping[str, int]
) -> Iterator[str]:
    """Statements whose words are missing, values that are torn, headings at the foot."""
    printed = (section for page in packet.pages for section in bands(page))
    statements = [statement for section in printed for statement in section.statements]
    starts = [anchors.get(statement.id, 1) for statement in statements]
    ends = [*starts[1:], len(pages)]
    for statement, start, end in zip(statements, starts, ends, strict=True):
        there = pages[start - 1 : max(end, start)]
        print_out = loose(there)
        if not all(print_out.holds(str(words)) for words in _texts(statement)):
            yield f"the statement '{statement.id}' is not in the print as it was worded"
        for kind in dict.fromkeys(k for words in _texts(statement) for k in _broken(words, there)):
            yield f"page {start}: a value of the kind '{kind}' in '{statement.id}' is broken"
    for module in packet.pages:
        for section in (s for s in bands(module) if prints_heading(module, s)):
            page = anchors.get(section.id)
            if section.statements and anchors.get(section.statements[0].id) != page:
                alone = f"page {page}: the heading of '{section.id}' stands alone at the foot"
                yield Untidy(alone)
