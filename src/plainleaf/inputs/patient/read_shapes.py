"""Reads nodes by the table of the patient file: each value as its shape says, each fault noted.

A block comes back as a mapping of its keys to values; a key that was not written is None, an
absent list too. Where a fault was noted the value is None or lacks an item, and the caller makes
no record of it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from plainleaf.inputs.patient.check_rules import check_rules
from plainleaf.inputs.strict_yaml import Node, Reader
from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.patient_file import (
    Block,
    Count,
    Either,
    Flag,
    ListOf,
    Scalar,
    Shape,
    Text,
    Word,
)

# A block: key → value, every key of the table present.
Values = Mapping[str, Any]


def read_values(reader: Reader, block: Block) -> Values:
    """The values of a block, with its rules checked and its unknown keys noted."""
    values = {}
    for key in block.keys:
        node = reader.get(key.name, required=key.required)
        values[key.name] = None if node is None else _READ[type(key.holds)](
            reader, key.name, key.holds
        )  # fmt: skip
    check_rules(reader, block, values)
    reader.close()
    return values


def _scalar(reader: Reader, key: str, shape: Any) -> object:
    node = reader.mapping[key]
    text = reader.text(key) if isinstance(node.value, str) else reader.scalar(key)
    if text is None:
        return None
    try:
        return shape.read(text)
    except UnitError as error:
        colon = "" if error.wrong.startswith("is ") else ":"
        reader.note(node, f"{reader.name(key)}{colon} {error.wrong}", error.instead)
        return None


def _text(reader: Reader, key: str, shape: Any) -> str | None:
    return reader.text(key, longest=shape.longest)


def _word(reader: Reader, key: str, shape: Any) -> str | None:
    return reader.choice(key, shape.words)


def _flag(reader: Reader, key: str, shape: Any) -> bool:
    return reader.flag(key)


def _count(reader: Reader, key: str, shape: Any) -> int | None:
    return reader.count(key, low=shape.low, high=shape.high)


def _block(reader: Reader, key: str, shape: Any) -> Values:
    return read_values(Reader(reader.mapping[key], reader.faults, reader.name(key)), shape)


def _list(reader: Reader, key: str, shape: Any) -> tuple[object, ...]:
    nodes = reader.items(key)
    if shape.least and reader.mapping[key].value == ():
        wrong, instead = shape.empty
        reader.note(reader.mapping[key], f"{reader.name(key)} {wrong}", instead)
    numbered = isinstance(shape.item, Block)
    values = []
    for number, node in enumerate(nodes):
        name = f"{key}[{number}]" if numbered else key
        value = _item(reader, name, node, shape.item)
        if shape.once and value is not None and value in values:
            shown = node.value if isinstance(shape.item, Scalar) else f"'{node.value}'"
            reader.note(node, f"{reader.name(key)}: {shown} stands twice.", "Keep one.")
        elif value is not None:
            values.append(value)
    return tuple(sorted(values) if shape.ordered else values)


def _item(reader: Reader, name: str, node: Node, shape: Shape) -> Any:
    """One item of a list, read as if it stood under a key of this name."""
    alone = Reader(Node({name: node}, node.file, node.line), reader.faults, reader.where)
    if node.value is None:
        alone.note(node, f"{alone.name(name)} holds an empty line.", "Write it, or take it out.")
        return None
    return _READ[type(shape)](alone, name, shape)


def _either(reader: Reader, key: str, shape: Any) -> object:
    """The shape that fits the way the value is written; of texts, the first that takes it."""
    node = reader.mapping[key]
    fitting = [choice for choice in shape.choices if _fits(node, choice)]
    if len(fitting) == 1:
        return _READ[type(fitting[0])](reader, key, fitting[0])
    shown = f": '{node.value}'." if isinstance(node.value, str) else " cannot stand so."
    reader.note(node, f"{reader.name(key)}{shown}", shape.instead)
    return None


def _fits(node: Node, shape: Shape) -> bool:
    if isinstance(shape, Word):
        return isinstance(node.value, str) and node.value in shape.words
    if isinstance(shape, ListOf):
        return isinstance(node.value, tuple)
    if isinstance(shape, Block):
        return isinstance(node.value, Mapping)
    return isinstance(node.value, str)


_READ: Mapping[type, Callable[[Reader, str, Any], Any]] = {
    Scalar: _scalar,
    Text: _text,
    Word: _word,
    Flag: _flag,
    Count: _count,
    ListOf: _list,
    Either: _either,
    Block: _block,
}
