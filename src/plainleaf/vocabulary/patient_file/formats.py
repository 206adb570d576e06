"""The formats of the patient file, and which keys are of one of them alone."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from plainleaf.vocabulary.patient_file.format_1 import FORMAT_1
from plainleaf.vocabulary.patient_file.format_2 import FORMAT_2
from plainleaf.vocabulary.patient_file.shapes import Block, Either, ListOf, MapOf, Shape

TABLES = {table.format: table for table in (FORMAT_1, FORMAT_2)}


def blocks_in(shape: Shape) -> Iterator[Block]:
    """The blocks that a shape may hold, without those that stand under their keys."""
    if isinstance(shape, Block):
        yield shape
    elif isinstance(shape, ListOf | MapOf):
        yield from blocks_in(shape.item)
    elif isinstance(shape, Either):
        for choice in shape.choices:
            yield from blocks_in(choice)


def _names(block: Block) -> Iterator[str]:
    for key in block.keys:
        yield key.name
        for inner in blocks_in(key.holds):
            yield from _names(inner)


@cache
def foreign_keys(number: int) -> frozenset[str]:
    """Names that are keys of another format, and nowhere in this one."""
    own = set(_names(TABLES[number].root))
    others = {n for other, table in TABLES.items() if other != number for n in _names(table.root)}
    return frozenset(others - own)
