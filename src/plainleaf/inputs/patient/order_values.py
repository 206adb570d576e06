"""The frozen records of what only format 2 of a patient file says.

A field is named for its key, but for words that say little alone: `lasts` is `for`, `begins` and
`ends` are `from` and `until` (both included), `on` is `date`, `mix` is `in`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time

from plainleaf.vocabulary.doses import Dose
from plainleaf.vocabulary.patient_file.scalars_2 import Amounts, Ingredient, Mix, Portion
from plainleaf.vocabulary.quantities import Quantity


@dataclass(frozen=True)
class RecipePart:
    """So much of something that goes into a recipe; `of` may be the entry of another formula."""

    amount: Ingredient
    of: str


@dataclass(frozen=True)
class Recipe:
    """How a formula is mixed, and how long it keeps."""

    take: tuple[RecipePart, ...]
    makes: Quantity
    fridge: Quantity
    breast_milk_fridge: Quantity | None
    hang: Quantity
    by: str
    on: date


@dataclass(frozen=True)
class FeedStep:
    """What changes in one step of a feeding; without `lasts` it goes on."""

    lasts: Quantity | None
    rate: Quantity | None
    amount: Quantity | Portion | None
    runs_for: Quantity | None
    starts: time | None
    times: tuple[time, ...]


@dataclass(frozen=True)
class DoseStep:
    """What changes in one step of a medicine; without `lasts` it goes on."""

    dose: Dose
    lasts: Quantity | None
    times: tuple[time, ...]


@dataclass(frozen=True)
class Resting:
    """Who says when a resting port is used, and what starts that call."""

    ask: tuple[str, ...]
    call_if: tuple[str, ...]
    by: str | None


@dataclass(frozen=True)
class Additive:
    """A powder or fiber given apart from the formula."""

    kind: str
    name: str
    amount: Dose
    mix: Mix
    energy: Quantity | None
    through: str
    place: str
    flush_before: Amounts | None
    flush_after: Amounts | None
    times: tuple[time, ...]
    days: tuple[str, ...]
    begins: date | None
    ends: date | None


@dataclass(frozen=True)
class Drainage:
    """The draining port; `times` empty means all the time."""

    through: str
    into: str
    times: tuple[time, ...]
    lasts: Quantity | None
    may_close: Mapping[str, Quantity]
    open_if: tuple[str, ...]
    empty_at: str | Quantity
    change_bag: Quantity
    record: str
    call_over: Quantity
    call_none: Quantity | None
    by: str | None
    on: date | None


@dataclass(frozen=True)
class Venting:
    """Letting air out."""

    through: str
    how: str
    when: tuple[str, ...]
    lasts: Quantity
    by: str | None
    on: date | None


@dataclass(frozen=True)
class Check:
    """What is measured at home, when, and at which limit somebody is called.

    `tied`: before, with or after each feed. `call`: a key of the contacts.
    """

    what: str
    times: tuple[time, ...]
    tied: str | None
    days: tuple[str, ...]
    every: Quantity | None
    next: date | None
    begins: date | None
    ends: date | None
    call_below: Quantity | None
    call_above: Quantity | None
    call_down: Quantity | None
    call_up: Quantity | None
    call_none_for: Quantity | None
    call: str


@dataclass(frozen=True)
class LowSugar:
    """The plan for low blood sugar; `give` as it was ordered, such as `120 mL apple juice`."""

    below: Quantity
    give: str
    route: str
    recheck: Quantity
    tries: int
    then_call: str
    by: str | None
    on: date | None


@dataclass(frozen=True)
class FeedingStops:
    """The plan when feeding is off; `hold` names medicines of the list."""

    after: Quantity
    check: tuple[str, ...]
    hold: tuple[str, ...]
    call: str
    by: str | None
    on: date | None


@dataclass(frozen=True)
class WordedOrder:
    """An order in words: language tag to text."""

    topic: str
    by: str | None
    on: date | None
    say: Mapping[str, str]


@dataclass(frozen=True)
class Session:
    """A teaching session: when, how long, which learners and topics."""

    at: datetime
    lasts: Quantity
    who: tuple[str, ...]
    topics: tuple[str, ...]


@dataclass(frozen=True)
class Decided:
    """One line of what was decided; `fields` holds what its outcome asks, by key."""

    finding: str
    about: tuple[str, ...]
    code: str | None
    do: str
    note: str | None
    fields: Mapping[str, object]


@dataclass(frozen=True)
class SettledOutcome:
    """What was decided of one finding and settles it, by whom, and what it is about.

    `about`: names that the finding is called by (a medicine, a duty, a key, the first day of a
    plan), all that its line settles; `medicines`: numbers of the medicines among them.
    """

    finding: str
    do: str
    fields: Mapping[str, object]
    about: tuple[str, ...]
    medicines: tuple[int, ...]
    by: str
    other: str | None
    on: date


@dataclass(frozen=True)
class Settled:
    """What one person, or two together, decided on a day."""

    by: str
    other: str | None
    on: date
    decided: tuple[Decided, ...]
