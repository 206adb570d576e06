"""Reads the finished PDF back and measures what was printed.

If anything here fails, no file is delivered; what is `Untidy` is only said. `reading` reads a PDF
into runs of print and shapes; `pages`, `contrast` and `glyphs` measure those; `places` finds every
text of a packet in the print and says where it stands and whether it was torn; `documents` puts
them together for each document.
"""

from plainleaf.printing.inspection.documents import (
    LARGE_PRINT,
    LONGEST_ALT,
    STAFF_PRINT,
    emergencies_on_first_side,
    inspect_handout,
    inspect_pages,
    inspect_sheet,
    inspect_words,
)
from plainleaf.printing.inspection.read_pdf import PageText, Reading, read_back
from plainleaf.printing.inspection.sections import Part, inspect_parts
from plainleaf.printing.inspection.untidy import Untidy

__all__ = [
    "LARGE_PRINT",
    "LONGEST_ALT",
    "STAFF_PRINT",
    "PageText",
    "Part",
    "Reading",
    "Untidy",
    "emergencies_on_first_side",
    "inspect_handout",
    "inspect_pages",
    "inspect_parts",
    "inspect_sheet",
    "inspect_words",
    "read_back",
]
