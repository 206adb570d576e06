"""What is meant bold is printed bold.

Where the bold font is missing or damaged, the renderer takes the regular one without a word, and a
reader of the file finds every word; only the names of the fonts tell.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from plainleaf.compose.word import WordedPages
from plainleaf.printing.html import prints_heading
from plainleaf.printing.inspection.find_texts_rtl import loose
from plainleaf.printing.inspection.read_pdf import PageText
from plainleaf.printing.inspection.text_match import TextSearch, found_in

_BOLD = "-Bold"


def _searched(pages: Sequence[PageText], direction: str) -> TextSearch:
    if direction == "rtl":
        return loose(pages)
    return found_in("".join(run.text for page in pages for run in page.prints), direction)


def _bold(page: PageText) -> PageText:
    """A page with nothing but its bold print."""
    return replace(page, prints=tuple(run for run in page.prints if run.font[0].endswith(_BOLD)))


def not_in_bold(
    texts: Iterable[tuple[str, str]], pages: Sequence[PageText], direction: str
) -> Iterator[str]:
    """Texts that stand on some pages and not in bold, each by what it is called."""
    printed = _searched(pages, direction)
    bold = _searched([_bold(page) for page in pages], direction)
    for name, text in texts:
        if printed.holds(text) and not bold.holds(text):
            yield f"{name} is not printed in bold"


def heading_faults(
    packet: WordedPages, pages: Sequence[PageText], anchors: Mapping[str, int]
) -> Iterator[str]:
    """Headings of a handout that stand on the page of their anchor and not in bold."""
    headings: dict[int, list[tuple[str, str]]] = {}
    for module in packet.pages:
        named = [(module.id, module.title)]
        named += [(s.id, s.heading) for s in module.sections if prints_heading(module, s)]
        for identity, words in named:
            of_page = headings.setdefault(anchors.get(identity, 0), [])
            of_page.append((f"the heading of '{identity}'", str(words)))
    for number, page in enumerate(pages, start=1):
        for fault in not_in_bold(headings.get(number, ()), [page], packet.direction):
            yield f"page {number}: {fault}"
