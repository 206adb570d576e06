"""The reference of the patient file's keys, as Markdown made from the table."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.inputs.key_words import due, example_of, holds
from plainleaf.vocabulary.patient_file import Block, Key, ListOf, MapOf, Shape, Table, blocks_in

_HEAD = "| key | holds | due | means | example | changes |\n| --- | --- | --- | --- | --- | --- |"


def reference_of(table: Table) -> str:
    """Every key of a format: one table for the file, one for each block of it."""
    parts = [f"# The patient file, format {table.format}", *_parts(table.root, "")]
    return "\n\n".join(parts) + "\n"


def _parts(block: Block, path: str) -> Iterator[str]:
    rows = [_row(key, block, path) for key in block.keys]
    yield "\n".join([f"## {path or 'The file'}\n", _HEAD, *rows])
    for key in block.keys:
        for inner in blocks_in(key.holds):
            yield from _parts(inner, _path(path, key) + _mark(key.holds))


def _mark(shape: Shape) -> str:
    """What follows a key whose blocks stand in a list, or under names."""
    if isinstance(shape, MapOf):
        return ".NAME"
    return "[]" if isinstance(shape, ListOf) else ""


def _path(path: str, key: Key) -> str:
    return f"{path}.{key.name}" if path else key.name


def _row(key: Key, block: Block, path: str) -> str:
    example = "–" if any(blocks_in(key.holds)) else f"`{example_of(key)}`"
    cells = (f"`{key.name}`", holds(key.holds), due(key, block) or "–", key.means, example,
             key.changes or "–")  # fmt: skip
    return f"| {' | '.join(cells)} |"
