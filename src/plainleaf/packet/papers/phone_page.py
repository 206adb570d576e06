"""The handout's words on a phone: one file that needs no other."""

from __future__ import annotations

from plainleaf.packet.papers.handout import HANDOUT, Manuscript, manuscript
from plainleaf.packet.papers.paper_context import Kind, PaperContext
from plainleaf.packet.papers.paper_kind import MadeIn, PaperKind, Shown


def make_phone_page(context: PaperContext, language: str) -> bytes:
    """The page in one language."""
    return phone_html(manuscript(context, language)).encode()


def phone_html(written: Manuscript) -> str:
    """A handout's words as a page for the phone."""
    return written.html(PHONE_PAGE.style, phone_links=True)


PHONE_PAGE: Kind = PaperKind(
    "handout{language}.html",
    "the family",
    "The same words on a phone, one file.",
    Shown.SCREEN,
    make_phone_page,
    MadeIn.READERS,
    HANDOUT.template,
    "screen.css",
)
