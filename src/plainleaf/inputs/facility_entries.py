"""The directory and the formulary of a facility's file."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from plainleaf.inputs.patient import Contact, Facility
from plainleaf.inputs.patient.named_entries import formula_of
from plainleaf.inputs.patient.read_shapes import TableReader, read_shape
from plainleaf.inputs.strict_yaml import Reader
from plainleaf.vocabulary.patient_file import NAMED_ENTRIES


def read_entries(reader: Reader) -> tuple[Facility, Mapping[str, date]]:
    """What a patient file may name, and the review date of each entry, by `directory.NAME` or
    `formulary.NAME`.

    Both blocks may be left out. Faults are noted; an entry with a fault is left out.
    """
    sound = len(reader.faults)
    own = TableReader(reader.node, reader.faults)
    values = {
        key.name: {} if reader.get(key.name) is None else read_shape(own, key.name, key.holds)
        for key in NAMED_ENTRIES.keys
    }
    if len(reader.faults) > sound:
        return Facility(), {}
    reviews = {
        f"{block}.{name}": entry["review_by"]
        for block, entries in values.items()
        for name, entry in entries.items()
    }
    directory = {name: _contact(entry, name) for name, entry in values["directory"].items()}
    formulary = {name: formula_of(entry, name) for name, entry in values["formulary"].items()}
    return Facility(directory, formulary), reviews


def _contact(entry: Mapping[str, Any], name: str) -> Contact:
    hours = entry["hours"]
    return Contact(
        entry["name"], entry["phone"], hours.text, open=hours, place=entry["where"], entry=name
    )
