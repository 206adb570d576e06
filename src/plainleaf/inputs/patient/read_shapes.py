"""Reads nodes by the table of the patient file: each value as its shape says, each fault noted.

A block comes back as a mapping of its keys to values; a key that was not written is None, an
absent list too. Where a fault was noted the value is None or lacks an item, and the caller makes
no record of it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from plainleaf.inputs.patient.rules_between_keys import note_broken_rules
from plainleaf.inputs.strict_yaml import Node, Reader
from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.patient_file import (
    FORMAT_1,
    Block,
    Count,
    Either,
    Flag,
    ListOf,
    MapOf,
    Scalar,
    Shape,
    Table,
    Text,
    Word,
    foreign_keys,
)

# A block: key → value, every key of the table present.
Values = Mapping[str, Any]
# What to write instead of a key of the other format.
_OTHER = {
    1: "It is of format 2: write format: 2 first, as plainleaf upgrade does, or take it out.",
    2: "It is of format 1: take it out, or see plainleaf upgrade.",
}
# A blank of a starter file that nobody filled in.
_BLANK = re.compile("<[^<>]+>")
# The vowel marks of Arabic, each of which a print holds apart from its word.
_VOWELS = re.compile("[\u064b-\u065f\u0670]")


@dataclass
class TableReader(Reader):
    """A reader of one format: what is empty there, and which keys are of the other format."""

    table: Table = FORMAT_1

    def under(self, node: Node, key: str) -> TableReader:
        """A reader of the mapping under a key."""
        return TableReader(node, self.faults, self.name(key), table=self.table)

    def alone(self, node: Node, key: str) -> TableReader:
        """A reader in which a node stands under a key, as an item of a list does."""
        whole = Node({key: node}, node.file, node.line)
        return TableReader(whole, self.faults, self.where, table=self.table)

    def written(self, key: str, required: bool) -> Node | None:
        """The node of a key; a key without a value is noted where it is not the same as none."""
        node = self.mapping.get(key)
        if node is None or node.value is not None or self.table.empty_is_absent:
            return self.get(key, required=required)
        self.get(key)
        self.note(node, f"{self.name(key)} is empty.", "Write it, or leave the line out.")
        return None

    def note_foreign(self, block: Block) -> None:
        """Note every key that is old, or of the other format, with what to write instead."""
        foreign = foreign_keys(self.table.format)
        own = {key.name for key in block.keys}
        for key, node in self.mapping.items():
            if key not in own and (key in block.instead or key in foreign):
                self.get(key)  # asked for, so that it is no unknown key
                wrong = f"{self.name(key)} is no key of format {self.table.format}."
                self.note(node, wrong, block.instead.get(key, _OTHER[self.table.format]))


def read_values(reader: TableReader, block: Block) -> Values:
    """The values of a block, with its rules checked and its unknown keys noted."""
    values = {}
    for key in block.keys:
        node = reader.written(key.name, key.required)
        values[key.name] = None if node is None else read_shape(reader, key.name, key.holds)
    note_broken_rules(reader, block, values)
    reader.note_foreign(block)
    reader.close()
    return values


def read_shape(reader: TableReader, key: str, shape: Shape) -> Any:
    """The value under a key that is written, or None with a fault noted."""
    node = reader.mapping[key]
    if isinstance(node.value, str) and _BLANK.fullmatch(node.value.strip()):
        reader.note(node, f"{reader.name(key)}: '{node.value}' is still a blank.", "Fill it in.")
        return None
    return _READ[type(shape)](reader, key, shape)


def _scalar(reader: TableReader, key: str, shape: Any) -> object:
    node = reader.mapping[key]
    text = reader.text(key) if isinstance(node.value, str) else reader.scalar(key)
    if text is None:
        return None
    try:
        value: object = shape.read(text)
        if shape.exact and not re.fullmatch(shape.pattern, str(node.value)):
            shown = shape.example.strip('"')
            raise UnitError(f"'{node.value}' is no {shape.name}.", f"Write it as in {shown}.")
    except UnitError as error:
        colon = "" if error.wrong.startswith("is ") else ":"
        reader.note(node, f"{reader.name(key)}{colon} {error.wrong}", error.instead)
        return None
    return value


def _text(reader: TableReader, key: str, shape: Any) -> str | None:
    text = reader.text(key, longest=shape.longest)
    node = reader.mapping[key]
    if text is not None and not shape.vowels and _VOWELS.search(text):
        wrong = f"{reader.name(key)} holds vowel marks, which not every page can print."
        reader.note(node, wrong, "Write it without them.")
        return None
    if text is None or shape.marks or not re.search("[<>\n]", str(node.value)):
        return text
    reader.note(node, f"{reader.name(key)} holds <, > or two lines.", "Write words in one line.")
    return None


def _word(reader: TableReader, key: str, shape: Any) -> str | None:
    return reader.choice(key, shape.words)


def _flag(reader: TableReader, key: str, shape: Any) -> bool:
    if shape.may_deny:
        return reader.flag(key)
    if reader.scalar(key) not in ("true", None):
        reader.note(
            reader.mapping[key],
            f"{reader.name(key)}: '{reader.mapping[key].value}'.",
            "Write true, or leave the line out.",
        )
    return True


def _count(reader: TableReader, key: str, shape: Any) -> int | None:
    return reader.count(key, low=shape.low, high=shape.high)


def _block(reader: TableReader, key: str, shape: Any) -> Values:
    return read_values(reader.under(reader.mapping[key], key), shape)


def _map(reader: TableReader, key: str, shape: Any) -> Values:
    inner = reader.under(reader.mapping[key], key)
    values = {}
    for name, node in inner.mapping.items():
        named = inner.alone(Node(name, node.file, node.line), name)
        read_shape(named, name, shape.name)
        if inner.written(name, required=True) is not None:
            values[name] = read_shape(inner, name, shape.item)
    if len(inner.mapping) < shape.least:
        reader.note(inner.node, f"{reader.name(key)} holds too little.",
                    f"Write at least {shape.least}.")  # fmt: skip
    return values


def _list(reader: TableReader, key: str, shape: Any) -> tuple[object, ...]:
    nodes = reader.items(key)
    if shape.least > len(nodes) and isinstance(reader.mapping[key].value, tuple):
        wrong, instead = shape.empty
        reader.note(reader.mapping[key], f"{reader.name(key)} {wrong}", instead)
    numbered = isinstance(shape.item, Block)
    values: list[Any] = []
    for number, node in enumerate(nodes):
        value = _item(reader, f"{key}[{number}]" if numbered else key, node, shape.item)
        if shape.once and value is not None and value in values:
            shown = node.value if isinstance(shape.item, Scalar) else f"'{node.value}'"
            reader.note(node, f"{reader.name(key)}: {shown} stands twice.", "Keep one.")
        elif value is not None:
            values.append(value)
    return tuple(sorted(values) if shape.ordered else values)


def _item(reader: TableReader, name: str, node: Node, shape: Shape) -> Any:
    """One item of a list, read as if it stood under a key of this name."""
    alone = reader.alone(node, name)
    if node.value is None:
        alone.note(node, f"{alone.name(name)} holds an empty line.", "Write it, or take it out.")
        return None
    return read_shape(alone, name, shape)


def _either(reader: TableReader, key: str, shape: Any) -> object:
    """The shape that fits the way the value is written; a word of a list before another text."""
    node = reader.mapping[key]
    fitting = [choice for choice in shape.choices if _fits(node, choice)]
    if fitting:
        return read_shape(reader, key, fitting[0])
    shown = f": '{node.value}'." if isinstance(node.value, str) else " cannot stand so."
    reader.note(node, f"{reader.name(key)}{shown}", shape.instead)
    return None


def _fits(node: Node, shape: Shape) -> bool:
    if isinstance(shape, Word):
        return isinstance(node.value, str) and node.value in shape.words
    if isinstance(shape, ListOf):
        return isinstance(node.value, tuple)
    if isinstance(shape, Block | MapOf):
        return isinstance(node.value, Mapping)
    return isinstance(node.value, str)


_READ: Mapping[type, Callable[[TableReader, str, Any], Any]] = {
    Scalar: _scalar,
    Text: _text,
    Word: _word,
    Flag: _flag,
    Count: _count,
    ListOf: _list,
    MapOf: _map,
    Either: _either,
    Block: _block,
}
