"""Strict reading of YAML: every value keeps its line, every scalar stays the text it was.

Nothing is resolved for the writer: `08:00`, `1.0`, `2026-03-04` and `no` arrive as text, and
the loaders decide what they mean. Duplicate keys, aliases, tags and several documents are
refused, so that a file means what it shows.
"""

from plainleaf.inputs.files import Unreadable
from plainleaf.inputs.strict_yaml.nodes import Node, digest_of, parse, read_text
from plainleaf.inputs.strict_yaml.reader import LONGEST_TEXT, Reader
from plainleaf.vocabulary.dates import read_clock, read_date, read_moment

__all__ = [
    "LONGEST_TEXT",
    "Node",
    "Reader",
    "Unreadable",
    "digest_of",
    "parse",
    "read_clock",
    "read_date",
    "read_moment",
    "read_text",
]
