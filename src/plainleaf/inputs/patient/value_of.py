"""Makes a record from the values of a block, field by field."""

from __future__ import annotations

from dataclasses import fields
from typing import Any, TypeVar

from plainleaf.inputs.patient.read_shapes import Values

R = TypeVar("R")

# Key → the field that holds it, where a key is no good name of a field.
FIELDS = {
    "for": "reason",
    "date": "on",
    "from": "begins",
    "until": "ends",
    "in": "mix",
    "with": "other",
}


def value_of(kind: type[R], values: Values, **others: Any) -> R:
    """A record whose fields are the keys of a block; None is as empty as the field's type allows.

    A flag that was not written is false, and a list that was not written has no items, unless
    the field itself tells missing from empty.
    """
    named = {FIELDS.get(key, key): value for key, value in values.items()} | others
    empty = {field.name: _empty(str(field.type)) for field in fields(kind)}  # type: ignore[arg-type]
    return kind(**{name: empty[name] if value is None else value for name, value in named.items()})


def _empty(written: str) -> object:
    """What stands for a key that was not written in a field of a type."""
    if written == "bool":
        return False
    return () if written.startswith("tuple[") and not written.endswith("| None") else None
