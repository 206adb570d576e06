"""What is only for some days: weekdays, and every so many days from a moment on.

Moments are those of the wall clock, so that what comes every 7 days keeps its hour when the clocks
change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from math import ceil, lcm
from typing import TypeVar

from plainleaf.facts.runs import minutes_in
from plainleaf.inputs.patient import Feed, Medicine, Patient
from plainleaf.inputs.patient.order_values import Additive, Check
from plainleaf.vocabulary.opening_hours import DAYS

_A_WEEK = 7
# No packet lasts longer: what never meets in so many days is not looked for.
MOST_DAYS = 3660
Order = Feed | Medicine | Additive | Check
L = TypeVar("L", Feed, Medicine, Additive, Check)
Recurs = Medicine | Check


def weekday_of(day: date) -> str:
    """The name of the weekday of a date.

    >>> weekday_of(date(2026, 6, 5))
    'Fri'
    """
    return DAYS[day.weekday()]


def _moment(order: Recurs) -> datetime:
    assert isinstance(order.next, datetime)
    return order.next


def _step(order: Recurs) -> timedelta:
    assert order.every is not None
    return timedelta(minutes=minutes_in(order.every))


def first_due(order: Recurs, day: date) -> datetime:
    """The first moment from a date on at which something comes again."""
    moment, step = _moment(order), _step(order)
    midnight = datetime.combine(day, datetime.min.time())
    missed = max(0, -((moment - midnight) // step))
    return moment + missed * step


def due_on(order: Recurs, day: date) -> tuple[datetime, ...]:
    """All moments of a date at which something that comes again is due."""
    due, step = first_due(order, day), _step(order)
    moments = []
    while due.date() == day:
        moments.append(due)
        due += step
    return tuple(moments)


def recurring_of(patient: Patient) -> list[Recurs]:
    """The medicines and checks that come every so many days."""
    lines: list[Recurs] = [*patient.medicines, *patient.watch]
    return [line for line in lines if line.every is not None]


def has_some_days(patient: Patient) -> bool:
    """Whether anything is only for some days."""
    lines: list[Order] = [*patient.feeding, *patient.additives, *patient.medicines, *patient.watch]
    return any(line.days for line in lines) or bool(recurring_of(patient))


def is_weekly(order: Recurs, name: str, first: date) -> bool:
    """Whether it is due on every such weekday from a date on."""
    if order.every is None or _step(order) != timedelta(days=_A_WEEK):
        return False
    due = first_due(order, first)
    return weekday_of(due) == name and (due.date() - first).days < _A_WEEK


def chosen(patient: Patient, choose: Callable[[Order], bool]) -> Patient:
    """The file with only the orders that are chosen; what recurs gets its clock time."""
    return replace(
        patient,
        feeding=tuple(line for line in patient.feeding if choose(line)),
        additives=tuple(line for line in patient.additives if choose(line)),
        medicines=tuple(_timed(line) for line in patient.medicines if choose(line)),
        watch=tuple(_timed(line) for line in patient.watch if choose(line)),
    )


def _timed(order: L) -> L:
    if isinstance(order, Medicine | Check) and order.every is not None:
        return replace(order, times=(_moment(order).time(),))
    return order


def ordinary(patient: Patient) -> Patient:
    """What is done every day."""
    return chosen(patient, lambda order: not order.days and not getattr(order, "every", None))


def on_weekday(patient: Patient, name: str, first: date) -> Patient:
    """What is done on each such weekday from a date on."""

    def wanted(order: Order) -> bool:
        if isinstance(order, Medicine | Check) and order.every is not None:
            return is_weekly(order, name, first)
        return not order.days or name in order.days

    return chosen(patient, wanted)


def on_date(patient: Patient, day: date) -> Patient:
    """What is done on a date, of orders that cover it."""

    def times(order: L) -> L:
        if isinstance(order, Medicine | Check) and order.every is not None:
            return replace(order, times=tuple(moment.time() for moment in due_on(order, day)))
        return order

    def wanted(order: Order) -> bool:
        if isinstance(order, Medicine | Check) and order.every is not None:
            return bool(due_on(order, day))
        return not order.days or weekday_of(day) in order.days

    return replace(
        patient,
        feeding=tuple(line for line in patient.feeding if wanted(line)),
        additives=tuple(line for line in patient.additives if wanted(line)),
        medicines=tuple(times(line) for line in patient.medicines if wanted(line)),
        watch=tuple(times(line) for line in patient.watch if wanted(line)),
    )


def dates_of(first: date, last: date | None) -> Iterator[date]:
    """Each date from the first to the last; without a last as many as matter at most."""
    days = MOST_DAYS if last is None else (last - first).days + 1
    return (first + timedelta(days=number) for number in range(min(days, MOST_DAYS)))


def differing_dates(patient: Patient, first: date, last: date | None) -> list[date]:
    """One date of each kind of day between two dates: days on which not all the same is done."""
    recurring = recurring_of(patient)
    steps = [int(_step(order).total_seconds()) for order in recurring]
    seconds = lcm(*steps, _A_WEEK * 86400)
    late = max([(_moment(order).date() - first).days for order in recurring], default=0)
    most = ceil(seconds / 86400) + max(late, 0) + 1
    kinds: dict[tuple[object, ...], date] = {}
    for number, day in enumerate(dates_of(first, last)):
        if number > most:
            break
        due = (tuple(m.time() for m in due_on(order, day)) for order in recurring)
        kinds.setdefault((weekday_of(day), *due), day)
    return list(kinds.values())


def weekdays_between(first: date, last: date | None) -> tuple[str, ...]:
    """The weekdays that lie between two dates, from Monday on."""
    names = {weekday_of(day) for number, day in enumerate(dates_of(first, last)) if number < 7}
    return tuple(name for name in DAYS if name in names)
