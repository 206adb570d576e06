"""The handout's words on a phone: one file that needs no other."""

from __future__ import annotations

from dataclasses import replace

from plainleaf.packet.papers.handout import HANDOUT, Manuscript, manuscript
from plainleaf.packet.papers.paper_context import Kind, PaperContext
from plainleaf.packet.papers.paper_kind import MadeIn, PaperKind, Shown
from plainleaf.printing.html import is_finder


def make_phone_page(context: PaperContext, language: str) -> bytes:
    """The page in one language."""
    return phone_html(manuscript(context, language)).encode()


def phone_html(written: Manuscript) -> str:
    """A handout on the phone: page one, the finder, then all else in its order."""
    pages = written.words.pages
    first = (*pages[:1], *(page for page in pages[1:] if is_finder(page)))
    rest = tuple(page for page in pages if page not in first)
    words = replace(written.words, pages=(*first, *rest))
    return replace(written, words=words).html(PHONE_PAGE.style, phone_links=True)


PHONE_PAGE: Kind = PaperKind(
    "handout{language}.html",
    "the family",
    "The whole packet on a phone, one file: what is printed and what is printed on request.",
    Shown.SCREEN,
    make_phone_page,
    MadeIn.READERS,
    HANDOUT.template,
    "screen.css",
)
