"""The documents of a packet, one file each.

A paper takes the case and its words, is laid out on the desk, and knows what must hold of the
finished PDF. What papers share stands in `desk`.
"""

from plainleaf.papers.calendar_file import reminders_file
from plainleaf.papers.card import lay_card
from plainleaf.papers.desk import Desk, Paper, is_draft
from plainleaf.papers.handout import Handout, Manuscript, cautions_of, lay_handout, manuscript
from plainleaf.papers.outlined import outline_for
from plainleaf.papers.staff_copy import lay_staff_copy
from plainleaf.papers.teach_back import lay_teach_back, page_numbers

__all__ = [
    "Desk",
    "Handout",
    "Manuscript",
    "Paper",
    "cautions_of",
    "is_draft",
    "lay_card",
    "lay_handout",
    "lay_staff_copy",
    "lay_teach_back",
    "manuscript",
    "outline_for",
    "page_numbers",
    "reminders_file",
]
