"""The frozen records of the people of a patient file: who, whom to call, which visits."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime

from plainleaf.vocabulary.opening_hours import Hours
from plainleaf.vocabulary.quantities import Quantity
from plainleaf.vocabulary.written import LATER, Written


@dataclass(frozen=True, repr=False)
class Person(Written):
    """Who goes home: name, two identifiers and what changes the teaching.

    `print_size`: points of the family's pages. Format 2 says in `mouth` all that may pass the
    lips, and `by_mouth` is `nothing` or `unknown`; `allergies` and `conditions_recorded` tell
    nobody wrote it (None, False) from none.
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
    address: str | None = field(default=None, metadata=LATER)
    allergies: tuple[str, ...] | None = field(default=None, metadata=LATER)
    conditions_recorded: bool | None = field(default=None, metadata=LATER)
    setting: tuple[str, ...] = field(default=(), metadata=LATER)
    mouth: tuple[str, ...] = field(default=(), metadata=LATER)
    mouth_until: date | None = field(default=None, metadata=LATER)
    mouth_each: Quantity | None = field(default=None, metadata=LATER)
    mouth_by: str | None = field(default=None, metadata=LATER)
    drink: Quantity | None = field(default=None, metadata=LATER)
    thickness: str | None = field(default=None, metadata=LATER)
    weight_loss: str | None = field(default=None, metadata=LATER)
    ate_little_for: Quantity | None = field(default=None, metadata=LATER)


@dataclass(frozen=True, repr=False)
class Learner(Written):
    """One person who is taught and signs.

    Of format 2, `hands_on` is whether there are any `duties`; `there` None means always.
    """

    name: str
    relation: str
    language: str
    hands_on: bool
    needs: tuple[str, ...]
    phone: str | None
    address: str | None = field(default=None, metadata=LATER)
    duties: tuple[str, ...] | None = field(default=None, metadata=LATER)
    limit: str | None = field(default=None, metadata=LATER)
    there: Hours | None = field(default=None, metadata=LATER)


@dataclass(frozen=True)
class Interpreter:
    """How the words were carried across."""

    language: str
    mode: str
    id: str


@dataclass(frozen=True, repr=False)
class Contact(Written):
    """Whom to call; `hours` as the clinic says them; `entry`: its name in the directory."""

    name: str | None
    phone: str
    hours: str | None
    open: Hours | None = field(default=None, metadata=LATER)
    place: str | None = field(default=None, metadata=LATER)
    entry: str | None = field(default=None, metadata=LATER)


@dataclass(frozen=True, repr=False)
class Contacts(Written):
    """All numbers of the packet; three are always there."""

    clinic: Contact
    after_hours: Contact
    emergency: Contact
    supplies: Contact | None
    others: tuple[Contact, ...]
    hospice: Contact | None = field(default=None, metadata=LATER)
    home_nurse: Contact | None = field(default=None, metadata=LATER)
    dietitian: Contact | None = field(default=None, metadata=LATER)
    pharmacy: Contact | None = field(default=None, metadata=LATER)
    diabetes: Contact | None = field(default=None, metadata=LATER)
    oncology: Contact | None = field(default=None, metadata=LATER)
    first_call: str | None = field(default=None, metadata=LATER)


@dataclass(frozen=True, repr=False)
class Visit(Written):
    """A visit with its time.

    Of format 2 `what` is its kind; a date alone stands in `day`, and one that comes again in
    `every` and `begins`: `when` is None then.
    """

    what: str
    when: datetime
    where: str | None
    kind: str | None = field(default=None, metadata=LATER)
    how: str | None = field(default=None, metadata=LATER)
    day: date | None = field(default=None, metadata=LATER)
    every: Quantity | None = field(default=None, metadata=LATER)
    begins: date | None = field(default=None, metadata=LATER)
    ends: date | None = field(default=None, metadata=LATER)
    tests: tuple[str, ...] = field(default=(), metadata=LATER)
    read_by: str | None = field(default=None, metadata=LATER)
    place: Contact | None = field(default=None, metadata=LATER)


@dataclass(frozen=True)
class Accepted:
    """A finding that a licensed person looked at."""

    finding: str
    by: str
    reason: str
    on: date
    about: str | None
