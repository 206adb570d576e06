"""One patient's file, read strictly into a frozen record.

The keys and their meaning are the project's contract (README, "The patient file"). What a file
cannot say is not guessed: a required key that is missing is a fault with its line.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import TypeVar, cast

from plainleaf import terms
from plainleaf.errors import Fault, PatientError, UnitError
from plainleaf.quantities import Quantity, read_number, read_quantity
from plainleaf.reading import (
    Node,
    Reader,
    Unreadable,
    parse,
    read_clock,
    read_date,
    read_moment,
    read_text,
)

T = TypeVar("T")

# Nobody flushes more often at home; common practice, no source.
LEAST_BETWEEN_FLUSHES = Quantity(Decimal(30), "min")

AS_NEEDED = "as needed"
# Units a dose may be counted in; volumes are mL only (row `med-unit`).
DOSE_UNITS = (
    "mL", "mg", "mcg", "g", "unit", "units", "tablet", "tablets", "capsule", "capsules",
    "packet", "packets", "puff", "puffs", "drop", "drops", "patch", "patches", "spray", "sprays",
    "suppository", "half tablet",
)  # fmt: skip
_DOSE_REFUSED = {
    "cc": "Write mL.",
    "ml": "Write mL with a capital L.",
    "ML": "Write mL.",
    "tsp": "Write mL; household spoons are not a measure.",
    "teaspoon": "Write mL; household spoons are not a measure.",
    "teaspoons": "Write mL; household spoons are not a measure.",
    "tbsp": "Write mL; household spoons are not a measure.",
    "tablespoon": "Write mL; household spoons are not a measure.",
    "U": "Write units.",
    "u": "Write units.",
    "IU": "Write units.",
    "oz": "Write mL.",
    "µg": "Write mcg.",
    "μg": "Write mcg.",
    "ug": "Write mcg.",
}


@dataclass(frozen=True)
class Person:
    """Who goes home: name, two identifiers and what changes the teaching."""

    name: str
    born: date
    record_number: str
    weight: Quantity | None
    height: Quantity | None
    conditions: frozenset[str]
    by_mouth: str
    language: str


@dataclass(frozen=True)
class Learner:
    """One person who is taught and signs."""

    name: str
    relation: str
    language: str
    hands_on: bool
    needs: tuple[str, ...]
    phone: str | None


@dataclass(frozen=True)
class Interpreter:
    """How the words were carried across."""

    language: str
    mode: str
    id: str


@dataclass(frozen=True)
class Order:
    """Something a licensed person settled: who and when."""

    by: str
    on: date


@dataclass(frozen=True)
class PositionCheck:
    """How the place of a tube was checked after it was put in."""

    by: str
    how: str
    on: date


@dataclass(frozen=True)
class Tube:
    """The tube as it lies, with the orders that belong to it."""

    kind: str
    build: str
    held_by: str
    placed: datetime
    opening_made: date | None
    placed_by: str
    size: Quantity
    length: Quantity | None
    mark_at_skin: Quantity | None
    skin_buttons: int
    balloon_fill: Quantity | None
    balloon_port_color: str | None
    ports: Mapping[str, tuple[str, ...]]
    turn_daily: bool
    push_in_weekly: bool
    opening_healed: Order | None
    may_put_back: Order | None
    position_checked: PositionCheck | None


@dataclass(frozen=True)
class Formula:
    """A ready formula or one mixed at home."""

    name: str
    energy: Quantity
    water: Quantity
    container: Quantity | None
    system: str


@dataclass(frozen=True)
class Feed:
    """One feeding order: by syringe or gravity at set times, or one pump run a day."""

    number: int
    method: str
    through: str
    blended: bool
    formula: Formula | None
    amount: Quantity | None
    over: Quantity | None
    times: tuple[time, ...]
    rate: Quantity | None
    starts: time | None
    runs_for: Quantity | None
    daily_total: Quantity | None
    ordered_by: str | None


@dataclass(frozen=True)
class ExtraWater:
    """Ordered water besides the flushes."""

    amount: Quantity
    times: tuple[time, ...]
    through: str


@dataclass(frozen=True)
class Water:
    """Flush and water orders; a missing order stays None."""

    before_feed: Quantity | None
    after_feed: Quantity | None
    medicine: Quantity | None
    daily: Quantity | None
    every: Quantity | None
    each: Quantity | None
    starts: time | None
    extra: ExtraWater | None
    unclog: Quantity | None
    by: str | None
    goal: Quantity | None
    limit: Quantity | None


@dataclass(frozen=True)
class Dose:
    """A dose as written: a number and its unit."""

    value: Decimal
    unit: str


@dataclass(frozen=True)
class Medicine:
    """One medicine of the list; `through` None means that it stays out of the tube."""

    number: int
    name: str
    form: str
    dose: Dose
    times: tuple[time, ...]
    as_needed: bool
    through: str | None
    crush: str | None
    prepare: str | None
    reason: str | None
    at_most: str | None


@dataclass(frozen=True)
class Contact:
    """Whom to call; `hours` as the clinic says them."""

    name: str | None
    phone: str
    hours: str | None


@dataclass(frozen=True)
class Contacts:
    """All numbers of the packet; three are always there."""

    clinic: Contact
    after_hours: Contact
    emergency: Contact
    supplies: Contact | None
    others: tuple[Contact, ...]


@dataclass(frozen=True)
class Visit:
    """A visit with its time."""

    what: str
    when: datetime
    where: str | None


@dataclass(frozen=True)
class Accepted:
    """A finding that a licensed person looked at."""

    finding: str
    by: str
    reason: str
    on: date
    about: str | None


@dataclass(frozen=True)
class Patient:
    """Everything the packet needs to know about one person."""

    file: str
    person: Person
    learners: tuple[Learner, ...]
    interpreter: Interpreter | None
    other_lines: tuple[str, ...] | None
    tube: Tube
    feeding: tuple[Feed, ...]
    water: Water
    medicines: tuple[Medicine, ...]
    if_feeding_stops: str | None
    contacts: Contacts
    visits: tuple[Visit, ...]
    dates: Mapping[str, datetime]
    prepared_by: str
    prepared_on: datetime
    accepted: tuple[Accepted, ...]


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
    tube = _block(reader, "tube", _tube)
    prepared_by, prepared_on = _block(reader, "prepared", _prepared)
    return Patient(
        file=file,
        person=_block(reader, "patient", _person),
        learners=tuple(_each(reader, "learners", _learner, required=True)),
        interpreter=_maybe(reader, "interpreter", _interpreter),
        other_lines=None if lines is None else _texts(reader, "other_lines"),
        tube=tube,
        feeding=tuple(_numbered(reader, "feeding", _feed)),
        water=_block(reader, "water", _water),
        medicines=tuple(_numbered(reader, "medicines", _medicine)),
        if_feeding_stops=reader.text("if_feeding_stops"),
        contacts=_block(reader, "contacts", _contacts),
        visits=tuple(_each(reader, "visits", _visit)),
        dates=_maybe(reader, "dates", _dates) or {},
        prepared_by=prepared_by,
        prepared_on=prepared_on,
        accepted=tuple(_each(reader, "accepted", _accepted)),
    )


def _must(value: T | None) -> T:
    """A required value. When it is None its fault is noted, and no record leaves with faults."""
    return cast(T, value)


def _block(reader: Reader, key: str, how: Callable[[Reader], T]) -> T:
    child = reader.child(key, required=True)
    if child is None:  # noted; read on with an empty block whose own faults would only repeat it
        return how(Reader(Node({}, reader.node.file, reader.node.line), [], key))
    result = how(child)
    child.close()
    return result


def _maybe(reader: Reader, key: str, how: Callable[[Reader], T]) -> T | None:
    return _block(reader, key, how) if reader.get(key) is not None else None


def _each(
    reader: Reader, key: str, how: Callable[[Reader], T], *, required: bool = False
) -> Iterator[T]:
    for child in reader.children(key, required=required):
        yield how(child)
        child.close()


def _numbered(reader: Reader, key: str, how: Callable[[Reader, int], T]) -> Iterator[T]:
    for number, child in enumerate(reader.children(key)):
        yield how(child, number)
        child.close()


def _texts(reader: Reader, key: str) -> tuple[str, ...]:
    found = []
    for node in reader.items(key):
        inner = Reader(Node({key: node}, node.file, node.line), reader.faults, reader.where)
        text = inner.text(key, longest=60)
        if text is not None:
            found.append(text)
    return tuple(found)


def _amount(reader: Reader, key: str, kind: str, *, required: bool = False) -> Quantity | None:
    """A positive amount of one kind."""
    quantity = reader.convert(key, lambda text: read_quantity(text, kind), required=required)
    if quantity is not None and quantity.value <= 0:
        reader.note(
            reader.mapping[key], f"{reader.name(key)} is zero.", "Leave it out if there is none."
        )
        return None
    return quantity


def _times(reader: Reader, key: str, *, required: bool = False) -> tuple[time, ...]:
    """Clock times in clock order, each once."""
    found: list[time] = []
    for node in reader.items(key, required=required):
        if not isinstance(node.value, str):
            reader.note(node, f"{reader.name(key)} holds a list in a list.")
            continue
        try:
            clock = read_clock(node.value)
        except UnitError as error:
            reader.note(node, f"{reader.name(key)}: {error.wrong}", error.instead)
            continue
        if clock in found:
            reader.note(node, f"{reader.name(key)}: {node.value} stands twice.", "Keep one.")
        found.append(clock)
    return tuple(sorted(set(found)))


_TAG = re.compile(r"[a-z]{2,3}(-[A-Z][a-z]{3})?(-[A-Z]{2})?")


def _language(reader: Reader, key: str) -> str:
    """A BCP 47 tag: language, perhaps script and region."""
    tag = reader.text(key, required=True)
    if tag is not None and not _TAG.fullmatch(tag):
        reader.note(
            reader.mapping[key],
            f"{reader.name(key)}: '{tag}' is not a language tag.",
            "Write en, es, ar …",
        )
    return _must(tag)


def _phone(reader: Reader, key: str = "phone", *, required: bool = True) -> str | None:
    """A number to call, with whatever words belong to it ("then press 2"); three digits or more."""
    text = reader.text(key, required=required, longest=60)
    if text is not None and len(re.findall("[0-9]", text)) < 3:
        reader.note(
            reader.mapping[key],
            f"{reader.name(key)}: '{text}' holds no phone number.",
            'Write digits, such as "+1 555 010 0142".',
        )
    return text


def _person(reader: Reader) -> Person:
    return Person(
        name=_must(reader.text("name", required=True, longest=80)),
        born=_must(reader.convert("born", read_date, required=True)),
        record_number=_must(reader.text("record_number", required=True, longest=40)),
        weight=_amount(reader, "weight", "weight"),
        height=_amount(reader, "height", "length"),
        conditions=frozenset(reader.words("conditions", terms.CONDITIONS)),
        by_mouth=_must(reader.choice("by_mouth", terms.BY_MOUTH, required=True)),
        language=_language(reader, "language"),
    )


def _learner(reader: Reader) -> Learner:
    return Learner(
        name=_must(reader.text("name", required=True, longest=80)),
        relation=_must(reader.text("relation", required=True, longest=40)),
        language=_language(reader, "language"),
        hands_on=reader.flag("hands_on"),
        needs=reader.words("needs", terms.LEARNER_NEEDS),
        phone=_phone(reader, required=False),
    )


def _interpreter(reader: Reader) -> Interpreter:
    return Interpreter(
        language=_language(reader, "language"),
        mode=_must(reader.choice("mode", terms.INTERPRETER_MODES, required=True)),
        id=_must(reader.text("id", required=True, longest=40)),
    )


def _order(reader: Reader) -> Order:
    return Order(
        by=_must(reader.text("by", required=True, longest=80)),
        on=_must(reader.convert("on", read_date, required=True)),
    )


def _position(reader: Reader) -> PositionCheck:
    return PositionCheck(
        by=_must(reader.text("by", required=True, longest=80)),
        how=_must(reader.text("how", required=True, longest=80)),
        on=_must(reader.convert("on", read_date, required=True)),
    )


def _tube(reader: Reader) -> Tube:
    kind = reader.choice("kind", terms.TUBE_KINDS, required=True)
    return Tube(
        kind=_must(kind),
        build=_must(reader.choice("build", terms.BUILDS, required=True)),
        held_by=_must(reader.choice("held_by", terms.RETENTIONS, required=True)),
        placed=_must(reader.convert("placed", read_moment, required=True)),
        opening_made=reader.convert("opening_made", read_date),
        placed_by=_must(reader.choice("placed_by", terms.PLACED_BY, required=True)),
        size=_must(_amount(reader, "size", "tube size", required=True)),
        length=_amount(reader, "length", "length"),
        mark_at_skin=_amount(reader, "mark_at_skin", "length"),
        skin_buttons=_must(reader.count("skin_buttons", low=0, high=8, required=True)),
        balloon_fill=_amount(reader, "balloon_fill", "volume"),
        balloon_port_color=reader.text("balloon_port_color", longest=30),
        ports=_ports(reader, kind),
        turn_daily=reader.flag("turn_daily"),
        push_in_weekly=reader.flag("push_in_weekly"),
        opening_healed=_maybe(reader, "opening_healed", _order),
        may_put_back=_maybe(reader, "may_put_back", _order),
        position_checked=_maybe(reader, "position_checked", _position),
    )


def _ports(reader: Reader, kind: str | None) -> Mapping[str, tuple[str, ...]]:
    block = reader.child("ports", required=True)
    if block is None:
        return {}
    allowed = terms.PORTS_OF_KIND[kind] if kind else terms.PORTS
    ports = {}
    for name in terms.PORTS:
        if block.get(name, required=name in allowed and kind is not None) is None:
            continue
        ports[name] = block.words(name, terms.PORT_USES)
        if name not in allowed:
            block.note(
                block.mapping[name],
                f"tube.ports: a {kind} has no {name} port.",
                "Check tube.kind, or take this port out.",
            )
        elif not ports[name]:
            block.note(
                block.mapping[name], f"tube.ports.{name} has no use.", "Write what it is for."
            )
    block.close()
    return ports


def _share(text: str) -> Quantity:
    quantity = read_quantity(text, "share")
    if quantity.value > 100:
        raise UnitError(f"'{text}' is more than all of it.", "Write 0 % to 100 %.")
    return quantity


def _formula(reader: Reader) -> Formula:
    return Formula(
        name=_must(reader.text("name", required=True, longest=60)),
        energy=_must(_amount(reader, "energy", "energy density", required=True)),
        water=_must(reader.convert("water", _share, required=True)),
        container=_amount(reader, "container", "volume"),
        system=_must(reader.choice("system", terms.FORMULA_SYSTEMS, required=True)),
    )


# Keys that each method needs; a key of another method is refused, so that none is dropped.
_METHOD_KEYS = {
    "syringe": ("amount", "times"),
    "gravity": ("amount", "over", "times"),
    "pump": ("rate", "starts", "runs_for"),
}


def _feed(reader: Reader, number: int) -> Feed:
    method = reader.choice("method", terms.METHODS, required=True)
    wanted = _METHOD_KEYS.get(method or "", ())
    feed = Feed(
        number=number,
        method=_must(method),
        through=_must(reader.choice("through", terms.PORTS, required=True)),
        blended=reader.flag("blended"),
        formula=_maybe(reader, "formula", _formula),
        amount=_amount(reader, "amount", "volume", required="amount" in wanted),
        over=_amount(reader, "over", "time span", required="over" in wanted),
        times=_times(reader, "times", required="times" in wanted),
        rate=_amount(reader, "rate", "rate", required="rate" in wanted),
        starts=reader.convert("starts", read_clock, required="starts" in wanted),
        runs_for=_amount(reader, "runs_for", "time span", required="runs_for" in wanted),
        daily_total=_amount(reader, "daily_total", "volume"),
        ordered_by=reader.text("ordered_by", longest=80),
    )
    _check_feed(reader, feed, wanted)
    return feed


def _check_feed(reader: Reader, feed: Feed, wanted: tuple[str, ...]) -> None:
    others = {key for keys in _METHOD_KEYS.values() for key in keys} - set(wanted) - {"over"}
    for key in sorted(others & set(reader.mapping)) if wanted else ():
        reader.note(
            reader.mapping[key], f"{reader.name(key)} does not belong to a {feed.method} feeding."
        )
    if feed.method is not None and feed.formula is None and not feed.blended:
        reader.note(
            reader.node, f"{reader.where} has no formula.", "Write formula: …, or blended: true."
        )
    if feed.formula is not None and feed.blended:
        reader.note(
            reader.node, f"{reader.where} is both formula and blended.", "Write two feedings."
        )
    if feed.runs_for is not None and feed.runs_for > Quantity(Decimal(24), "h"):
        reader.note(
            reader.mapping["runs_for"],
            f"{reader.name('runs_for')} is longer than a day.",
            "Write 24 h or less.",
        )


def _extra(reader: Reader) -> ExtraWater:
    return ExtraWater(
        amount=_must(_amount(reader, "amount", "volume", required=True)),
        times=_times(reader, "times", required=True),
        through=_must(reader.choice("through", terms.PORTS, required=True)),
    )


def _water(reader: Reader) -> Water:
    every = _amount(reader, "every", "time span")
    if every is not None and every < LEAST_BETWEEN_FLUSHES:
        wrong = f"{reader.name('every')}: {every} is too often."
        reader.note(reader.mapping["every"], wrong, f"Write {LEAST_BETWEEN_FLUSHES} or more.")
    return Water(
        before_feed=_amount(reader, "before_feed", "volume"),
        after_feed=_amount(reader, "after_feed", "volume"),
        medicine=_amount(reader, "medicine", "volume"),
        daily=_amount(reader, "daily", "volume"),
        every=every,
        each=_amount(reader, "each", "volume", required=every is not None),
        starts=reader.convert("starts", read_clock),
        extra=_maybe(reader, "extra", _extra),
        unclog=_amount(reader, "unclog", "volume"),
        by=reader.choice("by", terms.FLUSH_BY),
        goal=_amount(reader, "goal", "volume"),
        limit=_amount(reader, "limit", "volume"),
    )


def read_dose(text: str) -> Dose:
    """A dose: a number and a unit of the list.

    Raises:
        UnitError: A bare number, a household or refused unit, or no number.

    >>> read_dose("2.5 mL")
    Dose(value=Decimal('2.5'), unit='mL')
    """
    example = "Write a number and a unit, such as 5 mL, 1 tablet or 14 units."
    if text.strip() == "half tablet":
        return Dose(Decimal("0.5"), "half tablet")
    match = re.fullmatch(r"([0-9.,]*[0-9])\s*(\S.*)?", text.strip())
    if match is None:
        raise UnitError(f"'{text}' is not a dose.", example)
    value, unit = read_number(match[1]), match[2]
    if unit is None:
        raise UnitError(f"'{text}' has no unit.", example)
    if unit in _DOSE_REFUSED:
        raise UnitError(f"'{text}': the unit '{unit}' is refused.", _DOSE_REFUSED[unit])
    if unit not in DOSE_UNITS:
        raise UnitError(f"'{text}': the unit '{unit}' is not known.", example)
    if value <= 0:
        raise UnitError(f"'{text}' is zero.", example)
    return Dose(value, unit)


def _medicine(reader: Reader, number: int) -> Medicine:
    as_needed = _is_as_needed(reader)
    return Medicine(
        number=number,
        name=_must(reader.text("name", required=True, longest=60)),
        form=_must(reader.text("form", required=True, longest=60)),
        dose=_must(reader.convert("dose", read_dose, required=True)),
        times=() if as_needed else _times(reader, "times", required=True),
        as_needed=as_needed,
        through=reader.choice("through", terms.PORTS),
        crush=reader.choice("crush", ("pharmacist-approved", "never")),
        prepare=reader.text("prepare", longest=200),
        reason=reader.text("for", longest=60),
        at_most=reader.text("at_most", longest=60),
    )


def _is_as_needed(reader: Reader) -> bool:
    node = reader.get("times")
    if node is None or not isinstance(node.value, str):
        return False
    if node.value != AS_NEEDED:
        reader.note(
            node, f"{reader.name('times')}: '{node.value}'.", 'Write ["09:00"] or as needed.'
        )
    return True


def _contact(reader: Reader, *, named: bool = True) -> Contact:
    return Contact(
        name=reader.text("name", required=named, longest=80),
        phone=_must(_phone(reader)),
        hours=reader.text("hours", longest=80),
    )


def _contacts(reader: Reader) -> Contacts:
    return Contacts(
        clinic=_block(reader, "clinic", _contact),
        after_hours=_block(reader, "after_hours", _contact),
        emergency=_block(reader, "emergency", lambda r: _contact(r, named=False)),
        supplies=_maybe(reader, "supplies", _contact),
        others=tuple(_each(reader, "others", _contact)),
    )


def _visit(reader: Reader) -> Visit:
    return Visit(
        what=_must(reader.text("what", required=True, longest=80)),
        when=_must(reader.convert("when", read_moment, required=True)),
        where=reader.text("where", longest=80),
    )


def _dates(reader: Reader) -> Mapping[str, datetime]:
    found = {key: reader.convert(key, read_moment) for key in ORDERED_DATES}
    return {key: moment for key, moment in found.items() if moment is not None}


def _prepared(reader: Reader) -> tuple[str, datetime]:
    return (
        _must(reader.text("by", required=True, longest=80)),
        _must(reader.convert("on", read_moment, required=True)),
    )


def _accepted(reader: Reader) -> Accepted:
    return Accepted(
        finding=_must(reader.text("finding", required=True, longest=60)),
        by=_must(reader.text("by", required=True, longest=80)),
        reason=_must(reader.text("reason", required=True)),
        on=_must(reader.convert("on", read_date, required=True)),
        about=reader.text("about", longest=80),
    )
