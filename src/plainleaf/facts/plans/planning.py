"""Cuts a packet's time into plans: days that are all alike, with their schedule and their sums."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

from plainleaf.facts.derived import (
    AsNeededWater,
    DayPlan,
    Event,
    Recurring,
    Totals,
    WeekdayPlan,
)
from plainleaf.facts.hold_windows import with_holds
from plainleaf.facts.notebook import Notebook
from plainleaf.facts.noted_views import noted_patient
from plainleaf.facts.plans.coverage import changing_days, orders_on
from plainleaf.facts.plans.day_orders import DayOrders
from plainleaf.facts.plans.day_sums import day_totals, water_of
from plainleaf.facts.plans.medicine_rounds import dose_event, doses_with_flushes
from plainleaf.facts.plans.presence import Attendance
from plainleaf.facts.plans.printed_day import day_events, first_minute
from plainleaf.facts.plans.some_days import (
    Recurs,
    differing_dates,
    first_due,
    has_some_days,
    is_weekly,
    on_date,
    on_weekday,
    ordinary,
    recurring_of,
    weekday_of,
    weekdays_between,
)
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.policy import Policy

_A_DAY = timedelta(days=1)


def only_plan(
    patient: Patient, events: tuple[Event, ...], totals: Totals, policy: Policy
) -> DayPlan:
    """The one plan of a file in which every day is alike."""
    first, begun = patient.prepared_on.date(), tuple(e for e in events if e.begun_before)
    return DayPlan(
        first, None, patient, (), events, totals, (), (), (), totals, totals, begun,
        first_minute(policy),
    )  # fmt: skip


class Planner:
    """Works out the plans of one file under one facility's settings."""

    def __init__(self, source: Patient, policy: Policy, notebook: Notebook | None = None) -> None:
        self.source, self.policy, self.notebook = source, policy, notebook
        # What is done on days whose orders are these.
        self._done: list[tuple[Patient, DayOrders, tuple[Event, ...]]] = []

    def plans(self) -> tuple[DayPlan, ...]:
        """All plans, in order of their days; the first begins on the day of the packet."""
        spans = self._spans()
        earlier = [spans[0][2], *(orders for _, _, orders in spans)]
        return tuple(
            self._plan(first, last, orders, self._changed(before, orders))
            for (first, last, orders), before in zip(spans, earlier, strict=False)
        )

    def on(self, day: date) -> tuple[tuple[Event, ...], Totals]:
        """All that is done on one date, and what it adds up to."""
        return self._day(on_date(orders_on(self.source, day), day), (weekday_of(day),))

    def _spans(self) -> list[tuple[date, date | None, Patient]]:
        """First day, last day and orders of each stretch of days that are all alike."""
        today = self.source.prepared_on.date()
        days = sorted({today, *(day for day in changing_days(self.source) if day > today)})
        alike: list[tuple[date, Patient]] = []
        for day in days:
            orders = orders_on(self.source, day)
            if not alike or alike[-1][1] != orders:
                alike.append((day, orders))
        lasts: list[date | None] = [day - _A_DAY for day, _ in alike[1:]]
        if self.notebook is not None:
            self.notebook.read("", "plans", tuple(lasts))
        return [(day, last, orders) for (day, orders), last in zip(alike, [*lasts, None],
                strict=True)]  # fmt: skip

    def _changed(self, before: Patient, orders: Patient) -> tuple[str, ...]:
        """Keys of the orders that are not as they were in the plan before."""
        old, new = _parts(self.source, before), _parts(self.source, orders)
        return tuple(key for key in new if new[key] != old[key])

    def _plan(
        self, first: date, last: date | None, orders: Patient, changed: tuple[str, ...]
    ) -> DayPlan:
        names = weekdays_between(first, last)
        events, totals = self._day(ordinary(orders), names)
        most, least = self._extremes(orders, first, last, totals)
        return DayPlan(
            first=first,
            last=last,
            orders=orders,
            changed=changed,
            events=events,
            totals=totals,
            weekdays=tuple(self._weekdays(orders, first, names)),
            recurring=tuple(self._recurring(orders, first, last)),
            as_needed=tuple(self._as_needed(orders)),
            fullest=most,
            emptiest=least,
            carried=self._carried(first),
            starts=first_minute(self.policy),
        )

    def _carried(self, first: date) -> tuple[Event, ...]:
        """What is still to do on a date for what began on the day before."""
        before = first - _A_DAY
        events, _ = self.on(before)
        return tuple(e for e in events if e.begun_before and not (e.feed and e.feed.days))

    def _orders(self, patient: Patient) -> DayOrders:
        held = with_holds(patient)
        noted = held if self.notebook is None else noted_patient(held, self.notebook)
        return DayOrders(noted, self.policy, self.source)

    def _day(self, patient: Patient, names: Sequence[str]) -> tuple[tuple[Event, ...], Totals]:
        """Events and totals of the orders of one day, on the weekdays on which they are done."""
        orders, done = self._events(patient)
        there = Attendance(orders.patient.learners, names)
        events = tuple(replace(event, who=there.for_event(event)) for event in done)
        return events, self._sums(orders, events)

    def _events(self, patient: Patient) -> tuple[DayOrders, tuple[Event, ...]]:
        """What is done by some orders, worked out once."""
        for same, orders, events in self._done:
            if same == patient:
                return orders, events
        orders = self._orders(patient)
        self._done.append((patient, orders, day_events(orders)))
        return self._done[-1][1:]

    def _sums(self, orders: DayOrders, events: tuple[Event, ...]) -> Totals:
        return day_totals(events, orders.patient.water, orders.patient.person.drink)

    def _extremes(
        self, orders: Patient, first: date, last: date | None, totals: Totals
    ) -> tuple[Totals, Totals]:
        """The totals of the days with the most and the least water."""
        if not has_some_days(orders):
            return totals, totals
        kinds: list[Patient] = []
        for day in differing_dates(orders, first, last):
            patient = on_date(orders, day)
            if patient not in kinds:
                kinds.append(patient)
        days = [self._sums(*self._events(patient)) for patient in kinds]
        return max(days, key=lambda t: t.water), min(days, key=lambda t: t.water)

    def _weekdays(
        self, orders: Patient, first: date, names: Sequence[str]
    ) -> Iterator[WeekdayPlan]:
        usual = ordinary(orders)
        for name in names:
            patient = on_weekday(orders, name, first)
            if patient != usual:
                yield WeekdayPlan(name, *self._day(patient, (name,)))

    def _recurring(self, orders: Patient, first: date, last: date | None) -> Iterator[Recurring]:
        for line in recurring_of(orders):
            due = first_due(line, first)
            if (last is not None and due.date() > last) or is_weekly(line, weekday_of(due), first):
                continue
            assert line.every is not None
            key = self._orders(orders).key_of(line)
            yield Recurring(key, due, line.every, self._alone(orders, line, due.date()))

    def _alone(self, orders: Patient, line: Recurs, day: date) -> tuple[Event, ...]:
        """What is done for one order on a date, as if nothing else were."""
        alone = replace(
            orders,
            feeding=(), additives=(), drainage=None, venting=None,
            water=replace(orders.water, every=None, daily=None, extras=()),
            medicines=tuple(m for m in orders.medicines if m is line),
            watch=tuple(c for c in orders.watch if c is line),
        )  # fmt: skip
        return self._day(on_date(alone, day), (weekday_of(day),))[0]

    def _as_needed(self, patient: Patient) -> Iterator[AsNeededWater]:
        orders = self._orders(patient)
        for medicine in orders.medicines:
            if medicine.as_needed and medicine.through is not None:
                dose = dose_event(orders, medicine, 0)
                yield AsNeededWater(medicine, water_of(doses_with_flushes(orders, [dose])))


def _parts(source: Patient, orders: Patient) -> dict[str, object]:
    """Key of each order of the file → what holds of it; nothing of one that does not."""
    parts: dict[str, object] = {}
    for key in ("feeding", "medicines"):
        for line in getattr(source, key):
            same = [o for o in getattr(orders, key) if o.number == line.number]
            parts[f"{key}[{line.number}]"] = same
    for key in ("additives", "watch"):
        for number, line in enumerate(getattr(source, key)):
            parts[f"{key}[{number}]"] = line in getattr(orders, key)
    return parts
