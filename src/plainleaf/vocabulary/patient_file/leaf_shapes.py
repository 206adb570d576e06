"""The shape of every leaf of a table: what one value may hold, by its key without numbers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache

from plainleaf.vocabulary.patient_file.shapes import (
    Block,
    Either,
    ListOf,
    MapOf,
    Shape,
    Table,
    Word,
)

# In a key, for any name that stands there.
ANY = "*"


@cache
def leaf_shapes(table: Table) -> Mapping[str, tuple[Shape, ...]]:
    """Key → the shapes that its value may have; names that are free stand as `*`.

    >>> from plainleaf.vocabulary.patient_file import FORMAT_2
    >>> leaf_shapes(FORMAT_2)["tube.turn_daily"]
    (Flag(may_deny=False),)
    """
    shapes: dict[str, tuple[Shape, ...]] = {}
    for key, shape in _below(table.root, ""):
        shapes[key] = (*shapes.get(key, ()), shape)
    return shapes


def _below(shape: Shape, key: str) -> Iterator[tuple[str, Shape]]:
    if isinstance(shape, Block):
        for inner in shape.keys:
            yield from _below(inner.holds, f"{key}.{inner.name}".lstrip("."))
    elif isinstance(shape, Either):
        for choice in shape.choices:
            yield from _below(choice, key)
    elif isinstance(shape, ListOf):
        yield from _below(shape.item, key)
    elif isinstance(shape, MapOf):
        names = shape.name.words if isinstance(shape.name, Word) else (ANY,)
        for name in names:
            yield from _below(shape.item, f"{key}.{name}")
    else:
        yield key, shape
