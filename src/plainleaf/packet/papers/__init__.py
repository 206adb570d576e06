"""The documents of a packet, one file each.

A paper takes the case and its words, is laid out on the room, and knows what must hold of the
finished PDF. What papers share stands in `room`.
"""

from plainleaf.packet.papers.calendar import reminders_file
from plainleaf.packet.papers.card import lay_card
from plainleaf.packet.papers.handout import (
    Handout,
    Manuscript,
    cautions_of,
    lay_handout,
    manuscript,
)
from plainleaf.packet.papers.paper import Paper, PressRoom
from plainleaf.packet.papers.sheet_outline import outline_for
from plainleaf.packet.papers.staff_copy import lay_staff_copy
from plainleaf.packet.papers.teach_back import lay_teach_back, page_numbers

__all__ = [
    "Handout",
    "Manuscript",
    "Paper",
    "PressRoom",
    "cautions_of",
    "lay_card",
    "lay_handout",
    "lay_staff_copy",
    "lay_teach_back",
    "manuscript",
    "outline_for",
    "page_numbers",
    "reminders_file",
]
