"""Makes the frozen records of a patient from the values of a file without faults.

Format 1; `build_records_2.py` does the same for format 2.
"""

from __future__ import annotations

from typing import TypeVar

from plainleaf.inputs.patient.patient_values import (
    ExtraWater,
    Feed,
    Formula,
    Medicine,
    Order,
    Patient,
    PositionCheck,
    Tube,
    Water,
)
from plainleaf.inputs.patient.people_values import (
    Accepted,
    Contact,
    Contacts,
    Interpreter,
    Learner,
    Person,
    Visit,
)
from plainleaf.inputs.patient.read_shapes import Values
from plainleaf.inputs.patient.value_of import value_of
from plainleaf.vocabulary.patient_file import AS_NEEDED

R = TypeVar("R")

# Points of print where the file asks for none (row LP-01: 18 is large print).
_PRINT_SIZE = "18 pt"


def patient_of(values: Values, file: str) -> Patient:
    """The record of a whole file."""
    prepared = values["prepared"]
    return Patient(
        file=file,
        person=_person(values["patient"]),
        learners=tuple(value_of(Learner, learner) for learner in values["learners"]),
        interpreter=_maybe(Interpreter, values["interpreter"]),
        other_lines=values["other_lines"],
        tube=_tube(values["tube"]),
        feeding=tuple(_feed(feed, number) for number, feed in enumerate(values["feeding"] or ())),
        water=_water(values["water"]),
        medicines=tuple(_medicine(m, number) for number, m in enumerate(values["medicines"] or ())),
        if_feeding_stops=values["if_feeding_stops"],
        contacts=_contacts(values["contacts"]),
        visits=tuple(value_of(Visit, visit) for visit in values["visits"] or ()),
        dates={key: day for key, day in (values["dates"] or {}).items() if day is not None},
        prepared_by=prepared["by"],
        prepared_on=prepared["on"],
        accepted=tuple(value_of(Accepted, line) for line in values["accepted"] or ()),
    )


def _maybe(kind: type[R], values: Values | None) -> R | None:
    return None if values is None else value_of(kind, values)


def _person(values: Values) -> Person:
    return value_of(
        Person,
        values,
        conditions=frozenset(values["conditions"] or ()),
        print_size=int((values["print_size"] or _PRINT_SIZE).split()[0]),
    )


def _tube(values: Values) -> Tube:
    return value_of(
        Tube,
        values,
        ports={port: uses for port, uses in values["ports"].items() if uses is not None},
        opening_healed=_maybe(Order, values["opening_healed"]),
        may_put_back=_maybe(Order, values["may_put_back"]),
        position_checked=_maybe(PositionCheck, values["position_checked"]),
    )


def _feed(values: Values, number: int) -> Feed:
    return value_of(
        Feed,
        values,
        number=number,
        formula=_maybe(Formula, values["formula"]),
    )


def _water(values: Values) -> Water:
    return value_of(Water, values, extra=_maybe(ExtraWater, values["extra"]))


def _medicine(values: Values, number: int) -> Medicine:
    as_needed = values["times"] == AS_NEEDED
    return value_of(
        Medicine,
        values,
        number=number,
        as_needed=as_needed,
        times=() if as_needed else values["times"],
    )


def _contacts(values: Values) -> Contacts:
    numbers = {key: _maybe(Contact, values[key]) for key in values if key != "others"}
    return value_of(
        Contacts,
        numbers,
        others=tuple(value_of(Contact, contact) for contact in values["others"] or ()),
    )
