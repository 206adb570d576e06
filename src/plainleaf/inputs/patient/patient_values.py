"""The frozen values of one patient file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time

from plainleaf.inputs.patient.order_values import (
    Additive,
    Check,
    DoseStep,
    Drainage,
    FeedingStops,
    FeedStep,
    LowSugar,
    Recipe,
    Resting,
    Session,
    Settled,
    SettledOutcome,
    Venting,
    WordedOrder,
)
from plainleaf.inputs.patient.people_values import (
    Accepted,
    Contacts,
    Interpreter,
    Learner,
    Person,
    Visit,
)
from plainleaf.vocabulary.doses import Dose
from plainleaf.vocabulary.patient_file.scalars_2 import Mix, Portion
from plainleaf.vocabulary.quantities import Quantity
from plainleaf.vocabulary.written import LATER, Written


@dataclass(frozen=True, repr=False)
class Order(Written):
    """Something a licensed person settled: who and when; `who` may do it, where some may.

    Format 2 may leave open who ordered it and when: the prescriber of the order set did.
    """

    by: str
    on: date
    who: tuple[str, ...] = field(default=(), metadata=LATER)


@dataclass(frozen=True)
class PositionCheck:
    """How the place of a tube was checked after it was put in."""

    by: str
    how: str
    on: date


@dataclass(frozen=True, repr=False)
class Tube(Written):
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
    held_after_stitches: str | None = field(default=None, metadata=LATER)
    outside_length: Quantity | None = field(default=None, metadata=LATER)
    resting: Resting | None = field(default=None, metadata=LATER)
    not_healed_until: date | None = field(default=None, metadata=LATER)


@dataclass(frozen=True, repr=False)
class Formula(Written):
    """A ready formula or one mixed at home; `entry`: its name in the formulary or in the file."""

    name: str
    energy: Quantity
    water: Quantity
    container: Quantity | None
    system: str
    recipe: Recipe | None = field(default=None, metadata=LATER)
    entry: str | None = field(default=None, metadata=LATER)


@dataclass(frozen=True, repr=False)
class Feed(Written):
    """One feeding order: by syringe or gravity at set times, or one pump run a day.

    `held_minutes`: how long medicines hold this pump run; not in the file, `facts/holds.py` works
    it out. `cartons`: what `amount` was written in. `over` is the most of a range and
    `over_least` the least. `begins` and `ends` are both included. `step`: on one day, the number
    of the step that holds.
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
    cartons: Portion | None = field(default=None, metadata=LATER)
    over_least: Quantity | None = field(default=None, metadata=LATER)
    days: tuple[str, ...] = field(default=(), metadata=LATER)
    begins: date | None = field(default=None, metadata=LATER)
    ends: date | None = field(default=None, metadata=LATER)
    steps: tuple[FeedStep, ...] = field(default=(), metadata=LATER)
    step_only_if: tuple[str, ...] = field(default=(), metadata=LATER)
    otherwise: str | None = field(default=None, metadata=LATER)
    step: int | None = field(default=None, compare=False, metadata=LATER)


@dataclass(frozen=True, repr=False)
class ExtraWater(Written):
    """Ordered water besides the flushes."""

    amount: Quantity
    times: tuple[time, ...]
    through: str
    amount_least: Quantity | None = field(default=None, metadata=LATER)
    why: str | None = field(default=None, metadata=LATER)


@dataclass(frozen=True, repr=False)
class Water(Written):
    """Flush and water orders; a missing order stays None.

    Of a range the key holds the most and `…_least` the least. `extras` holds all extra water of
    format 2, `extra` the first of it.
    """

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
    before_feed_least: Quantity | None = field(default=None, metadata=LATER)
    after_feed_least: Quantity | None = field(default=None, metadata=LATER)
    medicine_least: Quantity | None = field(default=None, metadata=LATER)
    through: str | None = field(default=None, metadata=LATER)
    extras: tuple[ExtraWater, ...] = field(default=(), metadata=LATER)


@dataclass(frozen=True, repr=False)
class Medicine(Written):
    """One medicine of the list; `through` None means that it stays out of the tube.

    `tied`: before, with or after each feed. A medicine of format 2 has a `dose`, a `scale` or
    `steps`; with the latter two `dose` is None. `begins` and `ends` are both included. `step`: on
    one day, the number of the step that holds.
    """

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
    strength: str | None = field(default=None, metadata=LATER)
    route: str | None = field(default=None, metadata=LATER)
    site: str | None = field(default=None, metadata=LATER)
    scale: Mapping[str, str] | None = field(default=None, metadata=LATER)
    steps: tuple[DoseStep, ...] = field(default=(), metadata=LATER)
    tied: str | None = field(default=None, metadata=LATER)
    days: tuple[str, ...] = field(default=(), metadata=LATER)
    every: Quantity | None = field(default=None, metadata=LATER)
    next: date | None = field(default=None, metadata=LATER)
    begins: date | None = field(default=None, metadata=LATER)
    ends: date | None = field(default=None, metadata=LATER)
    reasons: tuple[str, ...] = field(default=(), metadata=LATER)
    after: Quantity | None = field(default=None, metadata=LATER)
    between: Quantity | None = field(default=None, metadata=LATER)
    mix: Mix | None = field(default=None, metadata=LATER)
    sit_up: Quantity | None = field(default=None, metadata=LATER)
    away_from: tuple[str, ...] = field(default=(), metadata=LATER)
    away_by: Quantity | None = field(default=None, metadata=LATER)
    gloves: bool = field(default=False, metadata=LATER)
    wait: Quantity | None = field(default=None, metadata=LATER)
    keep_away: tuple[str, ...] = field(default=(), metadata=LATER)
    step: int | None = field(default=None, compare=False, metadata=LATER)


@dataclass(frozen=True, repr=False)
class Patient(Written):
    """Everything the packet needs to know about one person.

    `formulas`: those of the file and what their recipes take, by the name that a recipe calls
    them. `whole_days`: keys of `dates` that were written without a time. `outcomes`: the lines of
    `settled` that do settle something; none before it is decided. `typed`: the keys of all that
    is written in a file of format 2. What a format does not ask is None or empty.
    """

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
    format: int = field(default=1, metadata=LATER)
    formulas: Mapping[str, Formula] | None = field(default=None, metadata=LATER)
    additives: tuple[Additive, ...] = field(default=(), metadata=LATER)
    drainage: Drainage | None = field(default=None, metadata=LATER)
    venting: Venting | None = field(default=None, metadata=LATER)
    watch: tuple[Check, ...] = field(default=(), metadata=LATER)
    low_sugar: LowSugar | None = field(default=None, metadata=LATER)
    feeding_stops: FeedingStops | None = field(default=None, metadata=LATER)
    whole_days: frozenset[str] = field(default=frozenset(), metadata=LATER)
    overrides: Mapping[str, object] | None = field(default=None, metadata=LATER)
    orders: tuple[WordedOrder, ...] = field(default=(), metadata=LATER)
    sessions: tuple[Session, ...] = field(default=(), metadata=LATER)
    ordered: Order | None = field(default=None, metadata=LATER)
    settled: tuple[Settled, ...] = field(default=(), metadata=LATER)
    outcomes: tuple[SettledOutcome, ...] = field(default=(), metadata=LATER)
    typed: tuple[str, ...] = field(default=(), compare=False, metadata=LATER)
