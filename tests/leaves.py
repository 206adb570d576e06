"""Every leaf of a patient file as data, what it should change, and other values for it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from single_changes import REMOVE

from plainleaf.vocabulary.patient_file import (
    FORMAT_1,
    FORMAT_2,
    Block,
    Count,
    Either,
    Flag,
    ListOf,
    MapOf,
    Scalar,
    Shape,
    Text,
    Word,
)
from plainleaf.vocabulary.patient_file.shapes import Key

Place = tuple[Any, ...]
# Of a list of words, so many others are tried.
_OTHER_WORDS = 3
_DATE = re.compile(r"(\d{4}-\d{2}-\d{2})(.*)")
_CLOCK = re.compile(r"(?<![\d:])(\d{2}):(\d{2})(?![\d:])")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_SIGNER = re.compile(r".+, [A-Za-z]+")


@dataclass(frozen=True)
class Leaf:
    """One value of a file: where it stands, its key, and which papers its table says it changes."""

    place: Place
    shape: Shape
    value: Any
    changes: str

    @property
    def key(self) -> str:
        """Such as `medicines[2].between`."""
        return "".join(f"[{p}]" if isinstance(p, int) else f".{p}" for p in self.place).lstrip(".")

    @property
    def pattern(self) -> str:
        """Its key without the numbers of lists and the limits of a scale."""
        return re.sub(r"\.scale\..*", ".scale.*", re.sub(r"\[\d+\]", "[]", self.key))


def leaves(data: Any) -> Iterator[Leaf]:
    """Every leaf of a file, in file order."""
    table = FORMAT_2 if "format" in data else FORMAT_1
    yield from _in_block(table.root, data, (), "")


def _in_block(block: Block, data: Any, place: Place, changes: str) -> Iterator[Leaf]:
    keys = {key.name: key for key in block.keys}
    for name, value in data.items():
        key: Key = keys[name]
        yield from _in(key.holds, value, (*place, name), key.changes or changes)


def _in(shape: Shape, value: Any, place: Place, changes: str) -> Iterator[Leaf]:
    if isinstance(shape, Either):
        shape = _chosen(shape, value)
    if isinstance(shape, Block):
        yield from _in_block(shape, value, place, changes)
    elif isinstance(shape, MapOf):
        for name, inner in value.items():
            yield from _in(shape.item, inner, (*place, name), changes)
    elif isinstance(shape, ListOf) and isinstance(value, list):
        for number, inner in enumerate(value):
            yield from _in(shape.item, inner, (*place, number), changes)
    else:
        yield Leaf(place, shape, value, changes)


def _chosen(shape: Either, value: Any) -> Shape:
    """The choice that a value is written as: a list, a block, or the first text that fits."""
    kinds = {list: (ListOf,), dict: (Block, MapOf)}.get(type(value), ())
    for choice in shape.choices:
        if isinstance(choice, Either):
            choice = _chosen(choice, value)
        if isinstance(choice, kinds) if kinds else _fits(choice, value):
            return choice
    raise AssertionError(f"no choice of {shape} fits {value!r}")


def _fits(shape: Shape, value: str) -> bool:
    if isinstance(shape, Scalar):
        return re.fullmatch(shape.pattern, value.strip()) is not None
    if isinstance(shape, Word):
        return value in shape.words
    return isinstance(shape, Text | Count | Flag)


# --- other values ----------------------------------------------------------------------------


def others(leaf: Leaf) -> Iterator[Any]:
    """Other values for a leaf, by its kind."""
    if isinstance(leaf.shape, Flag):
        yield REMOVE
    elif isinstance(leaf.shape, Word):
        words = leaf.shape.words
        here = words.index(leaf.value) if leaf.value in words else 0
        yield from [w for w in (*words[here + 1 :], *words[:here]) if w != leaf.value][
            :_OTHER_WORDS
        ]
    elif isinstance(leaf.shape, Count):
        yield from (str(int(leaf.value) + step) for step in (-1, 1))
    else:
        yield from dict.fromkeys(new for new in _other_texts(leaf.value) if new != leaf.value)


def _other_texts(text: str) -> Iterator[str]:
    dated = _DATE.fullmatch(text)
    if dated:
        day = date.fromisoformat(dated[1])
        yield from (f"{day + timedelta(days=step)}{dated[2]}" for step in (1, -1, 8))
    if _CLOCK.search(text):
        for minutes in (60, 15, -30):
            yield _CLOCK.sub(lambda m, by=minutes: _later(m, by), text)  # type: ignore[misc]
    elif not dated and _NUMBER.search(text):
        yield _NUMBER.sub(lambda m: f"{float(m[0]) * 2:g}", text)
        yield from (
            f"{text[: m.start()]}{float(m[0]) + 1:g}{text[m.end() :]}"
            for m in _NUMBER.finditer(text)
        )
    elif _SIGNER.fullmatch(text):
        yield f"Z. Vesely, {text.rpartition(', ')[2]}"
        yield f"Z. Vesely, {'MD' if not text.endswith('MD') else 'NP'}"
    elif not dated:
        yield f"{text}x"
        yield f"Other {text}"


def _later(match: re.Match[str], by: int) -> str:
    minute = (int(match[1]) * 60 + int(match[2]) + by) % 1440
    return f"{minute // 60:02}:{minute % 60:02}"
