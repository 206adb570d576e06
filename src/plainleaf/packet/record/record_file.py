"""Reads and writes a record: what is written can be read, and what cannot be read is one line.

A record says its format. A newer one, or a key that this program does not know, is refused with
what to do: a record that is read in part would be taken for the whole.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Generic, TypeVar

from pydantic import ValidationError
from pydantic.json_schema import models_json_schema
from pydantic_core import ErrorDetails

from plainleaf.inputs.files import LARGEST_RECORD, Unreadable, read_json
from plainleaf.packet.record.bounds import RecordPart
from plainleaf.vocabulary.errors import RecordError

Record = TypeVar("Record", bound=RecordPart)
# So many places are named in a message, each so long.
_MOST_NAMED, _LONGEST_PLACE = 5, 80


@dataclass(frozen=True)
class RecordKind(Generic[Record]):
    """A kind of record.

    `formats`: format number → its shape, the newest last. `told_by`: the key that every one has,
    and no other file. `again`: how to get one that this program can read.
    """

    file: str
    formats: Mapping[int, type[Record]]
    told_by: str
    again: str

    def read(self, path: Path) -> tuple[bytes, Record]:
        """A record as it lies there, and as data.

        Raises:
            RecordError: It cannot be read, is no such record, or is of another program.
        """
        try:
            raw, data = read_json(path, LARGEST_RECORD)
        except Unreadable as error:
            raise RecordError(error.naming(f"Name a {self.file}.")) from error
        if not isinstance(data, dict) or self.told_by not in data:
            raise RecordError(f"{path}: is no {self.file}. Name one.")
        # A file without a format lacks other keys too, and they are named together.
        shape = self._shape(data.get("format", min(self.formats)))
        if shape is None:
            raise RecordError(f"{path}: {self._other_format}")
        try:
            return raw, shape.model_validate_json(raw)
        except ValidationError as error:
            raise RecordError(f"{path}: {self._fault(error)}") from error

    def of(self, data: Mapping[str, Any]) -> Record:
        """Data as a record, held to the same bounds as what comes from a file.

        Raises:
            RecordError: A value lies outside its bounds.
        """
        try:
            return self.formats[data["format"]].model_validate_json(json.dumps(data))
        except ValidationError as error:
            first = error.errors(include_url=False)[0]
            raise RecordError(f"{self.file}: cannot be written: {_said_of(first)}.") from error

    def schema(self) -> dict[str, Any]:
        """The JSON Schema of every format, one of which a file must fit."""
        shapes = list(self.formats.values())
        _, parts = models_json_schema([(shape, "validation") for shape in shapes], by_alias=True)
        return {
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            "title": self.file,
            "anyOf": [{"$ref": f"#/$defs/{shape.__name__}"} for shape in shapes],
            **parts,
        }

    def _shape(self, number: object) -> type[Record] | None:
        return self.formats.get(number) if type(number) is int else None

    @property
    def _other_format(self) -> str:
        numbers = ", ".join(map(str, self.formats))
        return (
            f"is of another format than this plainleaf reads ({numbers}). Use the plainleaf that "
            f"wrote it, or {self.again}."
        )

    def _fault(self, error: ValidationError) -> str:
        faults = error.errors(include_url=False)
        if any(_is_format(fault) for fault in faults):
            return self._other_format
        extra = _places(faults, "extra_forbidden")
        if extra:
            return (
                f"holds what this plainleaf does not know: {extra}. Use the newer plainleaf that "
                f"wrote it, or {self.again}."
            )
        missing = _places(faults, "missing")
        if missing:
            return f"lacks {missing}: an older program wrote it, or it was cut. {self._again}."
        fault = _said_of(faults[0])
        return f"is not a whole {self.file}: {fault}. Name the right file, or {self.again}."

    @property
    def _again(self) -> str:
        return self.again[0].upper() + self.again[1:]


def _is_format(fault: ErrorDetails) -> bool:
    return fault["loc"][-1:] == ("format",) and fault["type"] == "literal_error"


def _places(faults: Sequence[ErrorDetails], kind: str) -> str:
    """Where faults of a kind lie; empty without one."""
    places = list(dict.fromkeys(_place(fault) for fault in faults if fault["type"] == kind))
    more = f" and {len(places) - _MOST_NAMED} more" if len(places) > _MOST_NAMED else ""
    return ", ".join(places[:_MOST_NAMED]) + more


def _place(fault: ErrorDetails) -> str:
    place = ".".join(map(str, fault["loc"]))[:_LONGEST_PLACE]
    return "".join(letter if letter.isprintable() else "?" for letter in place)


def _said_of(fault: ErrorDetails) -> str:
    """One fault: where and what; never the value, which may be the patient's."""
    what = fault["msg"].removeprefix("Value error, ").replace("\n", " ")
    return f"{_place(fault)} {what[0].lower()}{what[1:]}" if fault["loc"] else what


def record_data(record: RecordPart) -> dict[str, Any]:
    """A record as plain data, with the keys that it was made with."""
    return record.model_dump(mode="json", by_alias=True, exclude_unset=True)


def record_bytes(record: RecordPart) -> bytes:
    """A record as the bytes of its file."""
    return (json.dumps(record_data(record), ensure_ascii=False, indent=1) + "\n").encode()
