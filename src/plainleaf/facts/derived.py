"""The frozen values that the facts stage hands on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time

from plainleaf.inputs.content import WordEntry
from plainleaf.inputs.patient import Dose, Feed, Medicine
from plainleaf.inputs.policy import Range
from plainleaf.vocabulary.quantities import Quantity


@dataclass(frozen=True)
class Phrase:
    """Words of the phrase file with values for its slots; no language yet."""

    id: str
    values: tuple[tuple[str, Value], ...] = ()


# What a slot may hold.
SlotValue = Quantity | Range | Dose | date | datetime | time | int | str | Phrase


@dataclass(frozen=True)
class Typed:
    """A value with the kind that says how it is worded (`volume`, `clock`, `text` …)."""

    kind: str
    value: SlotValue


Value = Typed | Phrase


@dataclass(frozen=True)
class Event:
    """One thing to do at one time of the day.

    `kind`: flush, feed, pump-start, pump-pause, pump-hold, pump-resume, pump-stop, medicine or
    extra-water. `why` (flush): before-feed, after-feed, medicine, every, daily; (pump-resume)
    medicine where it ends a pause for medicines.
    `minute` counts from midnight of the printed day and may pass 1440 for the next morning.
    """

    minute: int
    kind: str
    through: str
    amount: Quantity | None = None
    why: str = ""
    feed: Feed | None = None
    medicine: Medicine | None = None

    @property
    def at(self) -> time:
        """Time of day."""
        return time(self.minute % 1440 // 60, self.minute % 60)


@dataclass(frozen=True)
class Totals:
    """What one printed day adds up to; volumes in mL and energy in kcal, exact.

    `energy` is None when home-blended food makes it unknown. Food and drink by mouth is not
    counted.
    """

    formula: Quantity
    blended: Quantity
    energy: Quantity | None
    water_in_formula: Quantity
    flush: Quantity
    extra_water: Quantity
    water: Quantity
    goal: Quantity | None
    limit: Quantity | None


@dataclass(frozen=True)
class TimelineEntry:
    """Something that begins, may begin or is due at a moment counted from placement."""

    id: str
    starts: datetime
    ends: datetime | None
    past: bool
    whole_day: bool
    text: Value | None = None


@dataclass(frozen=True)
class Supply:
    """One line of the monthly list: what, how many, and what one day uses."""

    id: str
    count: int
    name: str | None = None
    size: Quantity | None = None
    a_day: int | None = None
    left_over: Quantity | None = None
    energy: Quantity | None = None


@dataclass(frozen=True)
class MedicineFacts:
    """What the rules may ask of one medicine: fact name → answer.

    `matched`: fact → the word that set it off; `entries`: fact → that entry of the list.
    """

    medicine: Medicine
    answers: Mapping[str, str | None]
    matched: Mapping[str, str]
    entries: Mapping[str, WordEntry] = field(default_factory=dict)


@dataclass(frozen=True)
class Checked:
    """What a named check says of one patient.

    `answer` None: a value it needs is missing. `details`: words for the message's slots, such as
    `planned` → `894 mL`. `concerns`: patient-file keys it is about.
    """

    answer: bool | None
    details: Mapping[str, str]
    concerns: tuple[str, ...]


@dataclass(frozen=True)
class Facts:
    """Everything derived from one patient and one policy.

    `answers`: fact name → answer word, None where unknown. `values`: slot name → value, only for
    those that have one.
    """

    answers: Mapping[str, str | None]
    values: Mapping[str, Typed]
    events: tuple[Event, ...]
    totals: Totals
    timeline: tuple[TimelineEntry, ...]
    supplies: tuple[Supply, ...]
    medicines: tuple[MedicineFacts, ...]
    checks: Mapping[str, Checked]
