"""The table of the patient file: every key once, with what it holds, means and changes.

From it come the reader, the JSON Schema, the starter file and the reference of keys.
"""

from plainleaf.vocabulary.patient_file.format_1 import AS_NEEDED, FORMAT_1, METHOD_KEYS
from plainleaf.vocabulary.patient_file.scalars import listed
from plainleaf.vocabulary.patient_file.shapes import (
    Block,
    Count,
    Either,
    Flag,
    Group,
    Key,
    ListOf,
    Rule,
    Scalar,
    Shape,
    Table,
    Text,
    When,
    Word,
)

__all__ = [
    "AS_NEEDED", "FORMAT_1", "METHOD_KEYS",
    "Block", "Count", "Either", "Flag", "Group", "Key", "ListOf", "Rule", "Scalar", "Shape",
    "Table", "Text", "When", "Word", "listed",
]  # fmt: skip
