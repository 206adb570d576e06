"""What translators work with: catalogs taken from the English, brought up to date, and counted.

`locales.py` reads the words of a packet; nothing here is needed for that.
"""

from plainleaf.authoring.translation.extract import extract_yaml, template
from plainleaf.authoring.translation.messages import English, Messages, english_messages
from plainleaf.authoring.translation.pofile import Entry, PoFile, read_po_file
from plainleaf.authoring.translation.status import STATES, Row, rows, state_of
from plainleaf.authoring.translation.update import updated

__all__ = [
    "STATES",
    "English",
    "Entry",
    "Messages",
    "PoFile",
    "Row",
    "english_messages",
    "extract_yaml",
    "read_po_file",
    "rows",
    "state_of",
    "template",
    "updated",
]
