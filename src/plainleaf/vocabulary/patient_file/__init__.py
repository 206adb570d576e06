"""The table of the patient file: every key once, with what it holds, means and changes.

From it come the reader, the JSON Schema, the starter file and the reference of keys.
"""

from plainleaf.vocabulary.patient_file.facility import NAMED_ENTRIES
from plainleaf.vocabulary.patient_file.format_1 import AS_NEEDED, FORMAT_1, METHOD_KEYS
from plainleaf.vocabulary.patient_file.format_2 import FORMAT_2
from plainleaf.vocabulary.patient_file.formats import TABLES, blocks_in, foreign_keys
from plainleaf.vocabulary.patient_file.scalars import listed, one_of
from plainleaf.vocabulary.patient_file.shapes import (
    Block,
    Count,
    Either,
    Flag,
    Group,
    Key,
    ListOf,
    MapOf,
    Rule,
    Scalar,
    Shape,
    SignedBy,
    Table,
    Text,
    When,
    Word,
)

__all__ = [
    "AS_NEEDED", "FORMAT_1", "FORMAT_2", "METHOD_KEYS", "NAMED_ENTRIES", "TABLES",
    "Block", "Count", "Either", "Flag", "Group", "Key", "ListOf", "MapOf", "Rule", "Scalar",
    "Shape", "SignedBy", "Table", "Text", "When", "Word",
    "blocks_in", "foreign_keys", "listed", "one_of",
]  # fmt: skip
