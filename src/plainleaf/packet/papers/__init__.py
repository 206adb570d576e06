"""The files of a packet, one module each: how it is made, and what is declared of it.

A maker takes the `PaperContext` and a language. What papers share stands in `paper`, and
`register` lists them all.
"""

from plainleaf.packet.papers.handout import HANDOUT, Handout, cautions_of, make_handout
from plainleaf.packet.papers.paper import Paper, PressRoom
from plainleaf.packet.papers.paper_context import PaperContext, open_context
from plainleaf.packet.papers.paper_kind import MadeIn, PaperKind, Shown, table
from plainleaf.packet.papers.register import PAPERS, files_for

__all__ = [
    "HANDOUT",
    "PAPERS",
    "Handout",
    "MadeIn",
    "Paper",
    "PaperContext",
    "PaperKind",
    "PressRoom",
    "Shown",
    "cautions_of",
    "files_for",
    "make_handout",
    "open_context",
    "table",
]
