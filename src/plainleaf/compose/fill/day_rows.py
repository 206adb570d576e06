"""The day by the clock over all plans: each time once, with what is done then on which dates.

A time after midnight goes by the date and the weekday of the new day.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TypeAlias

from plainleaf.compose.fill.day_spans import (
    A_DAY,
    Line,
    OfDay,
    listed,
    merged,
    on_days,
    spans_of,
    variants_of,
)
from plainleaf.compose.fill.day_turns import (
    all_events_of,
    clock_of,
    lasts,
    medicine_of,
    on_some_days,
    plain_date,
    recurs,
    turn_label,
)
from plainleaf.compose.fill.day_words import DayOf
from plainleaf.compose.fill.filled_packet import Cell
from plainleaf.compose.fill.source import SlotSource, say, text_of
from plainleaf.compose.fill.who_does import doers, named
from plainleaf.facts.derived import DayPlan, Event, Value
from plainleaf.facts.plans import first_due, weekday_of
from plainleaf.facts.runs import A_DAY as MINUTES
from plainleaf.facts.runs import minutes_in
from plainleaf.inputs.patient import Medicine
from plainleaf.inputs.patient.order_values import Check, SettledOutcome
from plainleaf.vocabulary.opening_hours import DAYS

# The number of a plan, and the weekday where it is not like the ordinary day: days of one kind are
# alike.
_Kind: TypeAlias = tuple[int, str]


@dataclass(frozen=True)
class Done:
    """An event on the day of its list."""

    event: Event
    day: DayOf


@dataclass(frozen=True)
class TimeRow:
    """What is done at one time; `minute` of the day, None for no set time.

    `new_day`: it is after midnight, and dates or weekdays are named. `port`: all of it goes that
    way, or `none`; None where the lines name the port themselves.
    """

    minute: int | None
    cell: Cell
    new_day: bool
    port: str | None = None


# Who does as many lines of one row is named once, for the whole row.
_SAID_TOGETHER = 2
# What is done at one time of one day → its lines.
Worded = Callable[[Sequence[Done]], Iterable[Line]]
# The same, told the one way of all of it, or None where each line names its own.
WordedFor = Callable[[str | None], Worded]


class DayByClock:
    """All days of one patient, by the clock."""

    def __init__(self, source: SlotSource) -> None:
        self.source = source
        self.plans: tuple[DayPlan, ...] = source.facts.plans
        self.first = self.plans[0].first
        self._days: dict[_Kind, DayOf] = {}

    @cached_property
    def breaks(self) -> list[date]:
        """Dates from which a day is another."""
        return [plan.first for plan in self.plans]

    @cached_property
    def _nights(self) -> set[int]:
        """Minutes at which something is done for what began on the day before."""
        return {e.minute % MINUTES for plan in self.plans for e in all_events_of(plan) if lasts(e)}

    def all_events(self) -> list[Event]:
        """What is done on any day of any plan."""
        return [event for plan in self.plans for event in all_events_of(plan)]

    def every_event(self) -> Iterator[Event]:
        """The same, with what comes again only after some days."""
        yield from self.all_events()
        for plan in self.plans:
            yield from (event for turn in plan.recurring for event in turn.events)

    def breaks_at(self, minute: int | None) -> list[date]:
        """Dates from which a time may be another; what began on a day ends a day later."""
        later = [day + A_DAY for day in self.breaks] if minute in self._nights else []
        return [*self.breaks, *later]

    def rows(self, worded: Worded, *, who: bool = False) -> list[TimeRow]:
        """Each time of the day with its lines, for all dates.

        Args:
            who: Whether those who do a thing are named, where not everybody there may.
        """
        rows = [self._row(minute, worded, who=who) for minute in self._minutes()]
        return [row for row in rows if row.cell]

    def rows_by_port(self, worded_for: WordedFor) -> list[TimeRow]:
        """Each time with what goes through one port, in order, and with who does it.

        Where one time changes to and fro between ports, it stays one row.
        """
        rows = [
            self._row(minute, worded_for(port), who=True, port=port)
            for minute in self._minutes()
            for port in self._ports(minute)
        ]
        return [row for row in rows if row.cell]

    def _ports(self, minute: int | None) -> list[str] | list[None]:
        """The ports of a time in the order of use, each once; else only None."""
        used = [self._used(minute, day) for day in self._days_at(minute)]
        used += [[e.through for e in events] for _, events in self._again_at(minute)]
        order = list(dict.fromkeys(port for ports in used for port in ports))
        in_order = all(sorted(ports, key=order.index) == ports for ports in used)
        return order if in_order else [None]

    def _used(self, minute: int | None, day: date) -> list[str]:
        return [one.event.through for one in self.done(minute, day)]

    def _days_at(self, minute: int | None) -> Iterable[date]:
        """A day of each kind on which something is done at a time."""
        starts = sorted({self.first, self.first + A_DAY, *self.breaks_at(minute)})
        days = [first + A_DAY * number for first in starts for number in range(len(DAYS))]
        return {self._kinds_at(minute, day): day for day in reversed(days)}.values()

    def _minutes(self) -> list[int | None]:
        starts = self.plans[0].starts
        minutes = set(map(clock_of, self.all_events()))
        clocks = sorted(minutes - {None}, key=lambda m: ((m or 0) - starts) % MINUTES)
        return [*clocks, None] if None in minutes else clocks

    def _row(
        self,
        minute: int | None,
        worded: Worded,
        *,
        who: bool,
        port: str | None = None,
    ) -> TimeRow:
        night = minute is not None and minute < self.plans[0].starts
        first = self.first + A_DAY if night else self.first
        alike: dict[object, OfDay] = {}

        def holds(day: date) -> OfDay:
            kind = self._kinds_at(minute, day)
            if kind not in alike:
                alike[kind] = _of_day(_through(self.done(minute, day), port), worded)
            return alike[kind]

        spans = spans_of(first, self.breaks_at(minute), holds)
        variants = variants_of(spans, lambda it, days: self._cell(it.lines, days, who=who))
        again = tuple(self._again(minute, worded, who=who, port=port))
        cell = (*merged(variants), *again)
        return TimeRow(minute, cell, night and (len(variants) > 1), port)

    def _cell(self, lines: Sequence[Line], days: Sequence[str], *, who: bool) -> Cell:
        alone = self._alone(lines, days) if who else None
        if alone is not None:
            return (*(line.words for line in lines), say("day-only-these", names=alone))
        return tuple(words for line in lines for words in self._named(line, days, who=who))

    def _alone(self, lines: Sequence[Line], days: Sequence[str]) -> Value | None:
        """Who alone may do more than one of these lines, on all their days."""
        events = [line.event for line in lines if line.event is not None]
        by_line = [{doers(self.source.patient, e, day) for day in days} for e in events]
        limited = [found for found in by_line if any(one.limited for one in found)]
        names = {one.names for found in limited for one in found}
        if len(limited) < _SAID_TOGETHER or len(names) != 1 or not all(names):
            return None
        return listed([text_of(name) for name in next(iter(names))])

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
            return [Done(e, before if lasts(e) else today) for e in today.at(minute)]
        night = [Done(e, before) for e in before.at(minute) if lasts(e)]
        by_day = [Done(e, today) for e in today.at(minute) if not lasts(e)]
        return [*night, *by_day]

    def on(self, day: date) -> DayOf:
        """All of a date, but for what comes again every so many days and stays out of the tube."""
        kind = self._kind(day)
        if kind not in self._days:
            self._days[kind] = self._on(*kind)
        return self._days[kind]

    def _kind(self, day: date) -> _Kind:
        number = next(n for n, p in enumerate(self.plans) if p.last is None or day <= p.last)
        name = weekday_of(day)
        return number, name if any(w.day == name for w in self.plans[number].weekdays) else ""

    def _kinds_at(self, minute: int | None, day: date) -> tuple[_Kind, _Kind | date | None]:
        """Of which kind a date is; with what began on the day before, that day too."""
        if minute not in self._nights:
            return self._kind(day), None
        return self._kind(day), self._kind(day - A_DAY) if day > self.first else day

    def _on(self, number: int, name: str) -> DayOf:
        plan = self.plans[number]
        events = next((w.events for w in plan.weekdays if w.day == name), plan.events)
        return DayOf(tuple(e for e in events if not recurs(e)), plan.orders, plan.first)

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

    def _again(
        self, minute: int | None, worded: Worded, *, who: bool, port: str | None
    ) -> Iterator[Value]:
        for order, events in self._again_at(minute):
            due = first_due(order, self.first)
            label = turn_label(order, due)
            assert order.every is not None
            weekly = minutes_in(order.every) % (7 * MINUTES) == 0
            days = [weekday_of(due.date())] if weekly else list(DAYS)
            today = DayOf(tuple(events), self.plans[0].orders, due.date())
            lines = tuple(worded(_through([Done(e, today) for e in events], port)))
            yield from on_days(label, self._cell(lines, days, who=who))

    def _again_at(self, minute: int | None) -> Iterator[tuple[Medicine | Check, Sequence[Event]]]:
        """What comes again after so many days at a time of the day, unless it is over."""
        for order, events in self._recurring().items():
            due = first_due(order, self.first)
            over = order.ends is not None and due.date() > plain_date(order.ends)
            if not over and minute is not None and due.hour * 60 + due.minute == minute:
                yield order, events

    def _recurring(self) -> dict[Medicine | Check, Sequence[Event]]:
        """Each order that comes again on no fixed weekday, or out of the tube → its events."""
        found: dict[Medicine | Check, Sequence[Event]] = {}
        for plan in self.plans:
            for line in plan.recurring:
                order = line.events[0].check or medicine_of(line.events)
                found.setdefault(order, line.events)
            for weekday in plan.weekdays:
                for event in weekday.events:
                    if recurs(event):
                        found.setdefault(event.check or medicine_of([event]), [event])
        return found


def _through(done: Sequence[Done], port: str | None) -> Sequence[Done]:
    """What goes one way; with None all of it."""
    return done if port is None else [one for one in done if one.event.through == port]


def _of_day(done: Sequence[Done], worded: Worded) -> OfDay:
    return OfDay(tuple(worded(done)), any(on_some_days(one.event) for one in done))
