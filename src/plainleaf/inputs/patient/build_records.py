"""Makes the frozen records of a patient from the values of a file without faults.

A block's keys are the fields of its record, but for those in `FIELDS`.
"""

from __future__ import annotations

from dataclasses import fields
from typing import Any, TypeVar

from plainleaf.inputs.patient.read_shapes import Values
from plainleaf.inputs.patient.records import (
    Accepted,
    Contact,
    Contacts,
    ExtraWater,
    Feed,
    Formula,
    Interpreter,
    Learner,
    Medicine,
    Order,
    Patient,
    Person,
    PositionCheck,
    Tube,
    Visit,
    Water,
)
from plainleaf.vocabulary.patient_file import AS_NEEDED

R = TypeVar("R")

# Key → the field that holds it, where a key is no good name of a field.
FIELDS = {"for": "reason"}
# Points of print where the file asks for none (row LP-01: 18 is large print).
_PRINT_SIZE = "18 pt"


def patient_of(values: Values, file: str) -> Patient:
    """The record of a whole file."""
    prepared = values["prepared"]
    return Patient(
        file=file,
        person=_person(values["patient"]),
        learners=tuple(_record(Learner, learner) for learner in values["learners"]),
        interpreter=_maybe(Interpreter, values["interpreter"]),
        other_lines=values["other_lines"],
        tube=_tube(values["tube"]),
        feeding=tuple(_feed(feed, number) for number, feed in enumerate(values["feeding"] or ())),
        water=_water(values["water"]),
        medicines=tuple(_medicine(m, number) for number, m in enumerate(values["medicines"] or ())),
        if_feeding_stops=values["if_feeding_stops"],
        contacts=_contacts(values["contacts"]),
        visits=tuple(_record(Visit, visit) for visit in values["visits"] or ()),
        dates={key: day for key, day in (values["dates"] or {}).items() if day is not None},
        prepared_by=prepared["by"],
        prepared_on=prepared["on"],
        accepted=tuple(_record(Accepted, line) for line in values["accepted"] or ()),
    )


def _record(kind: type[R], values: Values, **others: Any) -> R:
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


def _maybe(kind: type[R], values: Values | None) -> R | None:
    return None if values is None else _record(kind, values)


def _person(values: Values) -> Person:
    return _record(
        Person,
        values,
        conditions=frozenset(values["conditions"] or ()),
        print_size=int((values["print_size"] or _PRINT_SIZE).split()[0]),
    )


def _tube(values: Values) -> Tube:
    return _record(
        Tube,
        values,
        ports={port: uses for port, uses in values["ports"].items() if uses is not None},
        opening_healed=_maybe(Order, values["opening_healed"]),
        may_put_back=_maybe(Order, values["may_put_back"]),
        position_checked=_maybe(PositionCheck, values["position_checked"]),
    )


def _feed(values: Values, number: int) -> Feed:
    return _record(
        Feed,
        values,
        number=number,
        formula=_maybe(Formula, values["formula"]),
    )


def _water(values: Values) -> Water:
    return _record(Water, values, extra=_maybe(ExtraWater, values["extra"]))


def _medicine(values: Values, number: int) -> Medicine:
    as_needed = values["times"] == AS_NEEDED
    return _record(
        Medicine,
        values,
        number=number,
        as_needed=as_needed,
        times=() if as_needed else values["times"],
    )


def _contacts(values: Values) -> Contacts:
    numbers = {key: _maybe(Contact, values[key]) for key in values if key != "others"}
    return _record(
        Contacts,
        numbers,
        others=tuple(_record(Contact, contact) for contact in values["others"] or ()),
    )
