"""Makes the frozen records of a patient from the values of a file without faults.

Format 1; `build_records_2.py` does the same for format 2.
"""

from __future__ import annotations

from typing import TypeVar

from plainleaf.inputs.patient.people_records import (
    Accepted,
    Contact,
    Contacts,
    Interpreter,
    Learner,
    Person,
    Visit,
)
from plainleaf.inputs.patient.read_shapes import Values
from plainleaf.inputs.patient.record_of import record_of
from plainleaf.inputs.patient.records import (
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
        learners=tuple(record_of(Learner, learner) for learner in values["learners"]),
        interpreter=_maybe(Interpreter, values["interpreter"]),
        other_lines=values["other_lines"],
        tube=_tube(values["tube"]),
        feeding=tuple(_feed(feed, number) for number, feed in enumerate(values["feeding"] or ())),
        water=_water(values["water"]),
        medicines=tuple(_medicine(m, number) for number, m in enumerate(values["medicines"] or ())),
        if_feeding_stops=values["if_feeding_stops"],
        contacts=_contacts(values["contacts"]),
        visits=tuple(record_of(Visit, visit) for visit in values["visits"] or ()),
        dates={key: day for key, day in (values["dates"] or {}).items() if day is not None},
        prepared_by=prepared["by"],
        prepared_on=prepared["on"],
        accepted=tuple(record_of(Accepted, line) for line in values["accepted"] or ()),
    )


def _maybe(kind: type[R], values: Values | None) -> R | None:
    return None if values is None else record_of(kind, values)


def _person(values: Values) -> Person:
    return record_of(
        Person,
        values,
        conditions=frozenset(values["conditions"] or ()),
        print_size=int((values["print_size"] or _PRINT_SIZE).split()[0]),
    )


def _tube(values: Values) -> Tube:
    return record_of(
        Tube,
        values,
        ports={port: uses for port, uses in values["ports"].items() if uses is not None},
        opening_healed=_maybe(Order, values["opening_healed"]),
        may_put_back=_maybe(Order, values["may_put_back"]),
        position_checked=_maybe(PositionCheck, values["position_checked"]),
    )


def _feed(values: Values, number: int) -> Feed:
    return record_of(
        Feed,
        values,
        number=number,
        formula=_maybe(Formula, values["formula"]),
    )


def _water(values: Values) -> Water:
    return record_of(Water, values, extra=_maybe(ExtraWater, values["extra"]))


def _medicine(values: Values, number: int) -> Medicine:
    as_needed = values["times"] == AS_NEEDED
    return record_of(
        Medicine,
        values,
        number=number,
        as_needed=as_needed,
        times=() if as_needed else values["times"],
    )


def _contacts(values: Values) -> Contacts:
    numbers = {key: _maybe(Contact, values[key]) for key in values if key != "others"}
    return record_of(
        Contacts,
        numbers,
        others=tuple(record_of(Contact, contact) for contact in values["others"] or ()),
    )
