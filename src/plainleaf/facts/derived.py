"""The frozen values that the facts stage hands on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from decimal import Decimal

from plainleaf.facts.medicine_names import KnownMedicine
from plainleaf.inputs.content import MedicineRow, WordEntry
from plainleaf.inputs.patient import Dose, Feed, Medicine, Patient
from plainleaf.inputs.patient.order_values import Additive, Check
from plainleaf.inputs.setting_values import Range
from plainleaf.vocabulary.patient_file.scalars_2 import Mix
from plainleaf.vocabulary.quantities import Quantity


@dataclass(frozen=True)
class Phrase:
    """Words of the phrase file with values for its slots; no language yet."""

    id: str
    values: tuple[tuple[str, Value], ...] = ()


@dataclass(frozen=True)
class TextByLanguage:
    """What somebody wrote in several languages: tag and text of each."""

    texts: tuple[tuple[str, str], ...]

    def text(self, language: str) -> str:
        """The text in a language; where there is none, the first."""
        have = dict(self.texts)
        return have.get(language) or have.get(language.split("-")[0]) or self.texts[0][1]


# What a slot may hold.
SlotValue = Quantity | Range | Dose | date | datetime | time | int | str | Phrase | TextByLanguage


@dataclass(frozen=True)
class Typed:
    """A value with the kind that says how it is worded (`volume`, `clock`, `text` …)."""

    kind: str
    value: SlotValue


Value = Typed | Phrase


@dataclass(frozen=True)
class Presence:
    """Who of the learners may do a thing and is there, on some days of the week; may be nobody."""

    days: tuple[str, ...]
    names: tuple[str, ...]


@dataclass(frozen=True)
class Event:
    """One thing to do at one time of the day.

    `kind`: flush, feed, pump-start, pump-pause, pump-hold, pump-resume, pump-stop, medicine or
    extra-water; of format 2 also additive, refill, set-change, drain-open, drain-close, vent and
    check. `why` (flush): before-feed, after-feed, medicine, additive, every, daily; (pump-resume)
    medicine or additive where it ends a pause for one; (extra-water) flush or drink; (vent, and a
    medicine or a check tied to a feed) the words of the order; (drain-close, drain-open) feed
    where a feed through the draining port asks for it.
    `minute` counts from midnight of the printed day and may pass 1440 for the next morning.

    Of format 2: `amount` is the most of a range and `least` its least; `mix` what a dose is mixed
    in; `order` the key in the file, such as `medicines[2]`; `duty` what somebody must be allowed
    to do for it, and `who` those who are; `drained`: its water runs out again and is not counted;
    `begun_before`: it belongs to what began on the day before; `timed` False: at no set time of
    that day.
    """

    minute: int
    kind: str
    through: str
    amount: Quantity | None = None
    why: str = ""
    feed: Feed | None = None
    medicine: Medicine | None = None
    least: Quantity | None = None
    mix: Mix | None = None
    additive: Additive | None = None
    check: Check | None = None
    order: str = ""
    duty: str = ""
    who: tuple[Presence, ...] = ()
    drained: bool = False
    begun_before: bool = False
    timed: bool = True

    @property
    def at(self) -> time:
        """Time of day."""
        return time(self.minute % 1440 // 60, self.minute % 60)


_NONE = Quantity(Decimal(0), "mL")


@dataclass(frozen=True)
class Totals:
    """What one printed day adds up to; volumes in mL and energy in kcal, exact.

    `energy` is None when home-blended food makes it unknown. Food by mouth is not counted.
    `water` is the sum of the water in formula, `flush`, `extra_water`, `mixing`, `juice` and
    `drink`; what a port drains again stands in `drained` and in no other sum.
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
    mixing: Quantity = _NONE
    juice: Quantity = _NONE
    drink: Quantity = _NONE
    drained: Quantity = _NONE

    @property
    def flush_and_extra(self) -> Quantity:
        """All plain water by the clock: flushes and extra water, whatever it is for."""
        return self.flush + self.extra_water


@dataclass(frozen=True)
class WeekdayPlan:
    """The whole day of a weekday on which something is added to the ordinary day of a plan."""

    day: str
    events: tuple[Event, ...]
    totals: Totals


@dataclass(frozen=True)
class Recurring:
    """What comes every so many days and on no fixed weekday of a plan.

    `due`: the first moment in the plan; `every` from then on. `events`: what is done then, as if
    nothing else were.
    """

    order: str
    due: datetime
    every: Quantity
    events: tuple[Event, ...]


@dataclass(frozen=True)
class AsNeededWater:
    """Water that one as-needed dose with its flushes adds; it is in no sum."""

    medicine: Medicine
    water: Quantity


@dataclass(frozen=True)
class DayPlan:
    """The days from `first` to `last` (both included; None goes on), which are all alike.

    `orders`: the file with each feeding and medicine as it is in these days: the step that holds,
    and a pump feeding by dose as one run for each dose. `changed`: keys of what begins, ends or
    changes on the first day. `carried`: what is still to do on the first day for what began on the
    day before. `starts`: the first minute of a printed day. `events` and `totals` are those of the
    ordinary day, without what is only for some days; `fullest` and `emptiest` the totals with the
    most and the least water of all days.
    """

    first: date
    last: date | None
    orders: Patient
    changed: tuple[str, ...]
    events: tuple[Event, ...]
    totals: Totals
    weekdays: tuple[WeekdayPlan, ...]
    recurring: tuple[Recurring, ...]
    as_needed: tuple[AsNeededWater, ...]
    fullest: Totals
    emptiest: Totals
    carried: tuple[Event, ...] = ()
    starts: int = 0


@dataclass(frozen=True)
class TimelineEntry:
    """Something that begins, may begin or is due at a moment counted from placement.

    `every`: what comes again after that time, until it `ends`.
    """

    id: str
    starts: datetime
    ends: datetime | None
    past: bool
    whole_day: bool
    text: Value | None = None
    every: Quantity | None = None


@dataclass(frozen=True)
class Supply:
    """One line of the monthly list: what, how many, and what one day uses.

    `unit`: what `count` counts where it is no piece, such as `mL` or `g`. `left_over`: what is
    thrown away in the whole time. `count` 0: it is used, and nothing settles how much of it.
    """

    id: str
    count: int
    name: str | None = None
    size: Quantity | None = None
    a_day: int | None = None
    left_over: Quantity | None = None
    energy: Quantity | None = None
    unit: str = ""


@dataclass(frozen=True)
class MedicineFacts:
    """What the rules may ask of one medicine: fact name → answer.

    `entries`: fact → what set it off, words of a form or a row of the table; `known`: more of it.
    """

    medicine: Medicine
    answers: Mapping[str, str | None]
    entries: Mapping[str, WordEntry | MedicineRow]
    known: KnownMedicine = field(compare=False)


@dataclass(frozen=True)
class CheckedPart:
    """What a check says of one thing, where it says the same of several.

    `keys`: patient-file keys of that thing; `beside`: those of other things that were looked at
    for it. `about`: what a decision calls it, where that is not told by its keys: a duty, the
    first day of a plan.
    """

    keys: tuple[str, ...]
    details: Mapping[str, str]
    beside: tuple[str, ...] = ()
    about: str = ""


@dataclass(frozen=True)
class Checked:
    """What a named check says of one patient.

    `answer` None: a value it needs is missing. `details`: words for the message's slots, such as
    `planned` → `894 mL`. `concerns`: patient-file keys it is about. `parts`: the same apart for
    each thing, where there are several.
    """

    answer: bool | None
    details: Mapping[str, str]
    concerns: tuple[str, ...]
    parts: tuple[CheckedPart, ...] = ()


@dataclass(frozen=True)
class Facts:
    """Everything derived from one patient and one policy.

    `answers`: fact name → answer word, None where unknown. `values`: slot name → value, only for
    those that have one. `plans`: in order of their days, never empty; `events` and `totals` are
    those of the first.
    """

    answers: Mapping[str, str | None]
    values: Mapping[str, Typed]
    events: tuple[Event, ...]
    totals: Totals
    plans: tuple[DayPlan, ...]
    timeline: tuple[TimelineEntry, ...]
    supplies: tuple[Supply, ...]
    medicines: tuple[MedicineFacts, ...]
    checks: Mapping[str, Checked]
