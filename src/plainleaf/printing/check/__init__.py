"""Reads the finished PDF back and measures what was printed.

If anything here fails, no file is delivered. `reading` reads a PDF into runs of print and shapes;
`pages`, `contrast` and `glyphs` measure those; `places` finds every text of a packet in the print
and says where it stands and whether it was torn; `documents` puts them together for each document.
"""

from plainleaf.printing.check.documents import (
    LARGE_PRINT,
    LONGEST_ALT,
    STAFF_PRINT,
    check_handout,
    check_pages,
    check_sheet,
    check_words,
    first_page_complete,
)
from plainleaf.printing.check.read_pdf import PageText, Reading, read_back
from plainleaf.printing.check.sections import Part, check_parts

__all__ = [
    "LARGE_PRINT",
    "LONGEST_ALT",
    "STAFF_PRINT",
    "PageText",
    "Part",
    "Reading",
    "check_handout",
    "check_pages",
    "check_parts",
    "check_sheet",
    "check_words",
    "first_page_complete",
    "read_back",
]
