"""The day by the clock over all plans: each time once, with what is done then on which dates.

A time after midnight goes by the date and the weekday of the new day.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property

from plainleaf.compose.fill.day_spans import (
    A_DAY,
    JOIN,
    Line,
    OfDay,
    dated,
    merged,
    spans_of,
    variants_of,
)
from plainleaf.compose.fill.day_words import DayOf
from plainleaf.compose.fill.filled_packet import Cell
from plainleaf.compose.fill.source import SlotSource, say
from plainleaf.compose.fill.who_does import doers, named
from plainleaf.facts.derived import DayPlan, Event, Typed, Value
from plainleaf.facts.plans import first_due, weekday_of
from plainleaf.facts.runs import A_DAY as MINUTES
from plainleaf.facts.runs import minutes_in
from plainleaf.inputs.patient import Medicine
from plainleaf.inputs.patient.order_values import Check, SettledOutcome
from plainleaf.vocabulary.opening_hours import DAYS
from plainleaf.vocabulary.quantities import Quantity


@dataclass(frozen=True)
class Done:
    """An event on the day of its list."""

    event: Event
    day: DayOf


@dataclass(frozen=True)
class TimeRow:
    """What is done at one time; `minute` of the day, None for no set time.

    `new_day`: it is after midnight, and dates or weekdays are named.
    """

    minute: int | None
    cell: Cell
    new_day: bool


# What is done at one time of one day → its lines.
Worded = Callable[[Sequence[Done]], Iterable[Line]]


class DayByClock:
    """All days of one patient, by the clock."""

    def __init__(self, source: SlotSource) -> None:
        self.source = source
        self.plans: tuple[DayPlan, ...] = source.facts.plans
        self.first = self.plans[0].first
        self._days: dict[date, DayOf] = {}

    @cached_property
    def breaks(self) -> list[date]:
        """Dates from which a day is another."""
        return [plan.first for plan in self.plans]

    @cached_property
    def _nights(self) -> set[int]:
        """Minutes at which something is done for what began on the day before."""
        return {e.minute % MINUTES for plan in self.plans for e in _all_events(plan) if _lasts(e)}

    def all_events(self) -> list[Event]:
        """What is done on any day of any plan."""
        return [event for plan in self.plans for event in _all_events(plan)]

    def breaks_at(self, minute: int | None) -> list[date]:
        """Dates from which a time may be another; what began on a day ends a day later."""
        later = [day + A_DAY for day in self.breaks] if minute in self._nights else []
        return [*self.breaks, *later]

    def rows(self, worded: Worded, *, who: bool = False, join: str = JOIN) -> list[TimeRow]:
        """Each time of the day with its lines, for all dates.

        Args:
            who: Whether those who do a thing are named, where not everybody there may.
            join: The phrase that sets one line after the other in one.
        """
        rows = [self._row(minute, worded, join, who=who) for minute in self._minutes()]
        return [row for row in rows if row.cell]

    def _minutes(self) -> list[int | None]:
        starts = self.plans[0].starts
        every = [e for plan in self.plans for e in _all_events(plan)]
        clocks = {e.minute % MINUTES for e in every if e.timed}
        untimed: list[int | None] = [None] if any(not e.timed for e in every) else []
        return [*sorted(clocks, key=lambda m: (m - starts) % MINUTES), *untimed]

    def _row(self, minute: int | None, worded: Worded, join: str, *, who: bool) -> TimeRow:
        night = minute is not None and minute < self.plans[0].starts
        first = self.first + A_DAY if night else self.first
        spans = spans_of(
            first, self.breaks_at(minute), lambda day: _of_day(self.done(minute, day), worded)
        )
        variants = variants_of(spans, lambda it, days: self._cell(it.lines, days, who=who))
        again = tuple(self._again(minute, worded, who=who))
        return TimeRow(minute, (*merged(variants, join), *again), night and (len(variants) > 1))

    def _cell(self, lines: Sequence[Line], days: Sequence[str], *, who: bool) -> Cell:
        return tuple(words for line in lines for words in self._named(line, days, who=who))

    def _named(self, line: Line, days: Sequence[str], *, who: bool) -> list[Value]:
        event = line.event
        if event is None or not who:
            return [line.words]
        by_day = {day: doers(self.source.patient, event, day) for day in days}
        return named(line.words, by_day, self._backup(event.duty))

    def _backup(self, duty: str) -> SettledOutcome | None:
        outcomes = self.source.patient.outcomes
        found = (o for o in outcomes if o.finding == "duty-not-covered" and duty in o.about)
        return next(found, None)

    # --- days -----------------------------------------------------------------------------------

    def done(self, minute: int | None, day: date) -> list[Done]:
        """What is done at a time of a date, in order."""
        today, before = self.on(day), self._before(day)
        if before.events == today.events:
            return [Done(e, before if _lasts(e) else today) for e in today.events if at(e, minute)]
        night = [Done(e, before) for e in before.events if _lasts(e) and at(e, minute)]
        by_day = [Done(e, today) for e in today.events if not _lasts(e) and at(e, minute)]
        return [*night, *by_day]

    def on(self, day: date) -> DayOf:
        """All of a date, but for what comes again every so many days and stays out of the tube."""
        if day not in self._days:
            self._days[day] = self._on(day)
        return self._days[day]

    def _on(self, day: date) -> DayOf:
        plan = next(p for p in self.plans if p.last is None or day <= p.last)
        name = weekday_of(day)
        events = next((w.events for w in plan.weekdays if w.day == name), plan.events)
        return DayOf(tuple(e for e in events if not _recurs(e)), plan.orders, day)

    def _before(self, day: date) -> DayOf:
        if day > self.first:
            return self.on(day - A_DAY)
        plan = self.plans[0]
        alike = self.on(day)
        begun = [e for e in alike.events if e.begun_before]
        if list(plan.carried) == begun:
            return alike
        return DayOf(plan.carried, plan.orders, day - A_DAY)

    # --- what comes again after so many days ----------------------------------------------------

    def _again(self, minute: int | None, worded: Worded, *, who: bool) -> Iterator[Value]:
        for order, events in self._recurring().items():
            due = first_due(order, self.first)
            over = order.ends is not None and due.date() > _date(order.ends)
            if over or minute is None or due.hour * 60 + due.minute != minute:
                continue
            assert order.every is not None
            label = _every(order.every, due)
            if order.ends is not None:
                label = say("every-until", when=label, last=Typed("day", _date(order.ends)))
            weekly = minutes_in(order.every) % (7 * MINUTES) == 0
            days = [weekday_of(due.date())] if weekly else list(DAYS)
            orders = self.plans[0].orders
            lines = worded([Done(e, DayOf(tuple(events), orders, due.date())) for e in events])
            for line in lines:
                first, *more = self._named(line, days, who=who)
                yield dated(label, first)
                yield from more

    def _recurring(self) -> dict[Medicine | Check, Sequence[Event]]:
        """Each order that comes again on no fixed weekday, or out of the tube → its events."""
        found: dict[Medicine | Check, Sequence[Event]] = {}
        for plan in self.plans:
            for line in plan.recurring:
                order = line.events[0].check or _medicine_of(line.events)
                found.setdefault(order, line.events)
            for weekday in plan.weekdays:
                for event in weekday.events:
                    if _recurs(event):
                        found.setdefault(event.check or _medicine_of([event]), [event])
        return found


def _every(every: Quantity, due: datetime) -> Value:
    """How often something comes again, and when next."""
    days, rest = divmod(minutes_in(every), MINUTES)
    if rest:
        return say("every-next", span=Typed("span", every), next=Typed("moment", due))
    return say("every-days-next", count=Typed("count", days), next=Typed("day", due.date()))


def _of_day(done: Sequence[Done], worded: Worded) -> OfDay:
    return OfDay(tuple(worded(done)), any(_on_some_days(one.event) for one in done))


def _on_some_days(event: Event) -> bool:
    orders = (event.feed, event.medicine, event.additive, event.check)
    return any(o is not None and (o.days or getattr(o, "every", None)) for o in orders)


def _date(day: date) -> date:
    return date(day.year, day.month, day.day)


def _medicine_of(events: Sequence[Event]) -> Medicine:
    return next(e.medicine for e in events if e.medicine is not None)


def _recurs(event: Event) -> bool:
    """Whether it comes every so many days and changes nothing of what goes through the tube."""
    order = event.check or event.medicine
    return order is not None and order.every is not None and event.through == "none"


def _lasts(event: Event) -> bool:
    """Whether it is done on the date after the one on whose day it stands."""
    return event.begun_before or event.minute >= MINUTES


def at(event: Event, minute: int | None) -> bool:
    """Whether an event is at a minute of the day; None: at no set time."""
    if minute is None or not event.timed:
        return minute is None and not event.timed
    return event.minute % MINUTES == minute


def _all_events(plan: DayPlan) -> Iterator[Event]:
    yield from plan.events
    yield from plan.carried
    for weekday in plan.weekdays:
        yield from weekday.events
    for line in plan.recurring:
        yield from line.events
