"""The JSON Schema of the patient file, made from its table.

Draft 2020-12. It says all that can be said of one key, and the rules between the keys of a
block; sums, bounds of amounts and the calendar are the reader's alone. Whatever the reader takes
passes the schema.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from plainleaf.inputs.signed_schema import signed_schema
from plainleaf.vocabulary.patient_file import (
    Block,
    Count,
    Either,
    Flag,
    Group,
    Key,
    ListOf,
    MapOf,
    Rule,
    Scalar,
    Shape,
    SignedBy,
    Table,
    Text,
    When,
    Word,
)

DIALECT = "https://json-schema.org/draft/2020-12/schema"
# The file's name in the first line of a starter; editors look for it beside the patient file.
SCHEMA_FILE = "patient.schema.json"
Schema = dict[str, Any]

# Nothing that cannot be seen, no blank of the starter file, and something besides spaces.
_SOMETHING = r"^(?!\s*<[^<>]+>\s*$)(?=[\s\S]*\S)"
_HIDDEN = "\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff"


def schema_of(table: Table) -> Schema:
    """The schema of a format, as data that JSON can hold."""
    return {
        "$schema": DIALECT,
        "$id": f"urn:plainleaf:patient-file:{table.format}",
        "title": f"plainleaf patient file, format {table.format}",
        **_block(table.root, table),
    }


def _block(block: Block, table: Table) -> Schema:
    schema: Schema = {
        "type": "object",
        "properties": {key.name: _key(key, table) for key in block.keys},
        "additionalProperties": False,
    }
    required = [key.name for key in block.keys if key.required]
    if required:
        schema["required"] = required
    rules = [
        signed_schema(rule.settled_by) if isinstance(rule, SignedBy) else _rule(rule, block)
        for rule in block.rules
    ]
    return schema | ({"allOf": rules} if rules else {})


def _key(key: Key, table: Table) -> Schema:
    schema = _shape(key.holds, table)
    if table.empty_is_absent and not key.required:
        schema = {"anyOf": [schema, {"type": "null"}]}
    return {"description": key.means, **schema}


# --- shapes -----------------------------------------------------------------------------------


def _shape(shape: Shape, table: Table) -> Schema:
    return _MAKE[type(shape)](shape, table)


def _scalar(shape: Any, table: Table) -> Schema:
    space = "" if shape.exact else r"\s*"
    schema: Schema = {"type": "string", "pattern": f"^{space}(?:{shape.pattern}){space}$"}
    if shape.digits:
        schema |= {"type": ["string", "integer"], "minimum": 100}
    return schema | {"examples": [shape.example.strip('"')]}


def _text(shape: Any, table: Table) -> Schema:
    refused = _HIDDEN if shape.marks else rf"{_HIDDEN}\n<>"
    pattern = f"{_SOMETHING}[^{refused}]*$"
    return {"type": ["string", "number"], "pattern": pattern, "maxLength": shape.longest}


def _word(shape: Any, table: Table) -> Schema:
    numbers = [int(word) for word in shape.words if word.isdigit()]
    return {"enum": [*numbers, *shape.words]}


def _flag(shape: Any, table: Table) -> Schema:
    return {"type": "boolean"} if shape.may_deny else {"enum": [True, "true"]}


def _count(shape: Any, table: Table) -> Schema:
    digits = "|".join(str(number) for number in range(shape.low, shape.high + 1))
    return {
        "anyOf": [
            {"type": "integer", "minimum": shape.low, "maximum": shape.high},
            {"type": "string", "pattern": f"^(?:{digits})$"},
        ]
    }


def _list(shape: Any, table: Table) -> Schema:
    schema: Schema = {"type": "array", "items": _shape(shape.item, table)}
    if shape.least:
        schema["minItems"] = shape.least
    return schema | ({"uniqueItems": True} if shape.once else {})


def _map(shape: Any, table: Table) -> Schema:
    schema: Schema = {
        "type": "object",
        "propertyNames": _shape(shape.name, table),
        "additionalProperties": _shape(shape.item, table),
    }
    return schema | ({"minProperties": shape.least} if shape.least else {})


def _either(shape: Any, table: Table) -> Schema:
    return {"anyOf": [_shape(choice, table) for choice in shape.choices]}


_MAKE: Mapping[type, Callable[[Any, Table], Schema]] = {
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


# --- rules ------------------------------------------------------------------------------------


def _rule(rule: Rule, block: Block) -> Schema:
    parts = [_written(key, block) for key in rule.needs]
    parts += [{"not": _written(key, block)} for key in rule.refuses]
    if rule.any_of:
        parts.append({"anyOf": [_written(key, block) for key in rule.any_of]})
    if rule.one_of:
        parts.append({"oneOf": [_group(group, block) for group in rule.one_of]})
    parts += [{"properties": {key: {"enum": list(words)}}} for key, words in rule.among]
    then = _all(parts)
    return {"if": _all([_when(w, block) for w in rule.when]), "then": then} if rule.when else then


def _all(parts: list[Schema]) -> Schema:
    return parts[0] if len(parts) == 1 else {"allOf": parts}


def _group(group: Group, block: Block) -> Schema:
    parts = [_written(key, block) for key in group.needs]
    parts += [{"not": _written(key, block)} for key in group.refuses]
    return _all(parts)


def _when(when: When, block: Block) -> Schema:
    schema = _written(when.key, block)
    if when.words:
        holds = {"enum": list(when.words)}
        either = {"anyOf": [holds, {"type": "array", "contains": holds}]}
        schema = _at(when.key, either)
    return {"not": schema} if when.is_not else schema


def _written(key: str, block: Block) -> Schema:
    """That a key is written; a flag is written where it says true."""
    flag = isinstance(_shape_of(key, block), Flag)
    value = {"enum": [True, "true"]} if flag else {"not": _EMPTY}
    return _at(key, value)


_EMPTY = {"type": "null"}


def _at(key: str, value: Schema) -> Schema:
    """That a value stands under a key, which may be dotted."""
    first, _, below = key.partition(".")
    inner = _at(below, value) if below else value
    return {"properties": {first: inner}, "required": [first]}


def _shape_of(key: str, block: Block) -> Shape:
    first, _, below = key.partition(".")
    shape = next(k.holds for k in block.keys if k.name == first)
    return _shape_of(below, shape) if below and isinstance(shape, Block) else shape
