"""Reads a patient file whole: every block, with every fault at once."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

from plainleaf.inputs.patient.medicines import read_medicine
from plainleaf.inputs.patient.orders import read_feed, read_tube, read_water
from plainleaf.inputs.patient.records import (
    Accepted,
    Contact,
    Contacts,
    Interpreter,
    Learner,
    Patient,
    Person,
    Visit,
)
from plainleaf.inputs.patient.values import (
    amount_of,
    block,
    each,
    language_tag,
    maybe,
    must,
    numbered,
    phone_of,
    texts,
)
from plainleaf.inputs.strict_yaml import (
    Node,
    Reader,
    Unreadable,
    parse,
    read_date,
    read_moment,
    read_text,
)
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.errors import Fault, PatientError

# First-days dates that an order may set in place of the policy.
ORDERED_DATES = (
    "first_dressing_off",
    "shower_from",
    "bath_from",
    "swim_from",
    "lift_until",
    "eat_from",
)


def load_patient(path: Path) -> Patient:
    """The patient file at a path.

    Raises:
        PatientError: With every fault found, in file order.
    """
    try:
        root = parse(read_text(path), path.name)
    except Unreadable as error:
        raise PatientError([error.fault]) from error
    return read_patient(root)


def read_patient(root: Node) -> Patient:
    """A patient from the nodes of a file.

    Raises:
        PatientError: With every fault found, in file order.
    """
    faults: list[Fault] = []
    reader = Reader(root, faults)
    patient = _patient(reader, root.file)
    reader.close()
    if faults:
        raise PatientError(sorted(faults, key=lambda fault: fault.line))
    return patient


def _patient(reader: Reader, file: str) -> Patient:
    lines = reader.get("other_lines")
    tube = block(reader, "tube", read_tube)
    prepared_by, prepared_on = block(reader, "prepared", _prepared)
    return Patient(
        file=file,
        person=block(reader, "patient", _person),
        learners=tuple(each(reader, "learners", _learner, required=True)),
        interpreter=maybe(reader, "interpreter", _interpreter),
        other_lines=None if lines is None else texts(reader, "other_lines"),
        tube=tube,
        feeding=tuple(numbered(reader, "feeding", read_feed)),
        water=block(reader, "water", read_water),
        medicines=tuple(numbered(reader, "medicines", read_medicine)),
        if_feeding_stops=reader.text("if_feeding_stops"),
        contacts=block(reader, "contacts", _contacts),
        visits=tuple(each(reader, "visits", _visit)),
        dates=maybe(reader, "dates", _dates) or {},
        prepared_by=prepared_by,
        prepared_on=prepared_on,
        accepted=tuple(each(reader, "accepted", _accepted)),
    )


def _person(reader: Reader) -> Person:
    return Person(
        name=must(reader.text("name", required=True, longest=80)),
        born=must(reader.convert("born", read_date, required=True)),
        record_number=must(reader.text("record_number", required=True, longest=40)),
        weight=amount_of(reader, "weight", "weight"),
        height=amount_of(reader, "height", "length"),
        conditions=frozenset(reader.words("conditions", terms.CONDITIONS)),
        by_mouth=must(reader.choice("by_mouth", terms.BY_MOUTH, required=True)),
        language=language_tag(reader, "language"),
        print_size=int((reader.choice("print_size", terms.PRINT_SIZES) or "18 pt").split()[0]),
    )


def _learner(reader: Reader) -> Learner:
    return Learner(
        name=must(reader.text("name", required=True, longest=80)),
        relation=must(reader.text("relation", required=True, longest=40)),
        language=language_tag(reader, "language"),
        hands_on=reader.flag("hands_on"),
        needs=reader.words("needs", terms.LEARNER_NEEDS),
        phone=phone_of(reader, required=False),
    )


def _interpreter(reader: Reader) -> Interpreter:
    return Interpreter(
        language=language_tag(reader, "language"),
        mode=must(reader.choice("mode", terms.INTERPRETER_MODES, required=True)),
        id=must(reader.text("id", required=True, longest=40)),
    )


def _contact(reader: Reader, *, named: bool = True) -> Contact:
    return Contact(
        name=reader.text("name", required=named, longest=80),
        phone=must(phone_of(reader)),
        hours=reader.text("hours", longest=80),
    )


def _contacts(reader: Reader) -> Contacts:
    return Contacts(
        clinic=block(reader, "clinic", _contact),
        after_hours=block(reader, "after_hours", _contact),
        emergency=block(reader, "emergency", lambda r: _contact(r, named=False)),
        supplies=maybe(reader, "supplies", _contact),
        others=tuple(each(reader, "others", _contact)),
    )


def _visit(reader: Reader) -> Visit:
    return Visit(
        what=must(reader.text("what", required=True, longest=80)),
        when=must(reader.convert("when", read_moment, required=True)),
        where=reader.text("where", longest=80),
    )


def _dates(reader: Reader) -> Mapping[str, datetime]:
    found = {key: reader.convert(key, read_moment) for key in ORDERED_DATES}
    return {key: moment for key, moment in found.items() if moment is not None}


def _prepared(reader: Reader) -> tuple[str, datetime]:
    return (
        must(reader.text("by", required=True, longest=80)),
        must(reader.convert("on", read_moment, required=True)),
    )


def _accepted(reader: Reader) -> Accepted:
    return Accepted(
        finding=must(reader.text("finding", required=True, longest=60)),
        by=must(reader.text("by", required=True, longest=80)),
        reason=must(reader.text("reason", required=True)),
        on=must(reader.convert("on", read_date, required=True)),
        about=reader.text("about", longest=80),
    )
