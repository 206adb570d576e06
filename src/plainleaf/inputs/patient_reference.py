"""The reference of the patient file's keys, as Markdown made from the table."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.inputs.key_words import due, example_of, holds
from plainleaf.vocabulary.patient_file import Block, Either, Key, ListOf, Shape, Table

_HEAD = "| key | holds | due | means | example | changes |\n| --- | --- | --- | --- | --- | --- |"


def reference_of(table: Table) -> str:
    """Every key of a format: one table for the file, one for each block of it."""
    parts = [f"# The patient file, format {table.format}", *_parts(table.root, "")]
    return "\n\n".join(parts) + "\n"


def _parts(block: Block, path: str) -> Iterator[str]:
    rows = [_row(key, block, path) for key in block.keys]
    yield "\n".join([f"## {path or 'The file'}\n", _HEAD, *rows])
    for key in block.keys:
        for inner, mark in _blocks(key.holds):
            yield from _parts(inner, _path(path, key) + mark)


def _blocks(shape: Shape, mark: str = "") -> Iterator[tuple[Block, str]]:
    """The blocks that a shape holds, with the mark of a list on their path."""
    if isinstance(shape, Block):
        yield shape, mark
    elif isinstance(shape, ListOf):
        yield from _blocks(shape.item, "[]")
    elif isinstance(shape, Either):
        for choice in shape.choices:
            yield from _blocks(choice)


def _path(path: str, key: Key) -> str:
    return f"{path}.{key.name}" if path else key.name


def _row(key: Key, block: Block, path: str) -> str:
    example = "–" if any(_blocks(key.holds)) else f"`{example_of(key)}`"
    cells = (f"`{key.name}`", holds(key.holds), due(key, block) or "–", key.means, example,
             key.changes or "–")  # fmt: skip
    return f"| {' | '.join(cells)} |"
