"""The frozen records of one patient file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time

from plainleaf.vocabulary.doses import Dose
from plainleaf.vocabulary.quantities import Quantity


@dataclass(frozen=True)
class Person:
    """Who goes home: name, two identifiers and what changes the teaching.

    `print_size`: points of the family's pages.
    """

    name: str
    born: date
    record_number: str
    weight: Quantity | None
    height: Quantity | None
    conditions: frozenset[str]
    by_mouth: str
    language: str
    print_size: int


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
    """One feeding order: by syringe or gravity at set times, or one pump run a day.

    `held_minutes`: how long medicines hold this pump run; not in the file, `facts/holds.py` works
    it out.
    """

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
    held_minutes: int = 0


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
    hold_before: Quantity | None
    hold_after: Quantity | None


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
