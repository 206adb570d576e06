"""Visits, calls and blood tests in words: what for, when, and where or how."""

from __future__ import annotations

from datetime import datetime, time, timedelta

from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.facts.opening import span
from plainleaf.inputs.patient import Visit
from plainleaf.vocabulary.quantities import Quantity

_A_DAY = timedelta(days=1)


def first_moment(visit: Visit) -> datetime | None:
    """When a visit is for the first time: from midnight on where only a date is written."""
    day = visit.day or visit.begins
    moment: datetime | None = visit.when
    return moment or (None if day is None else datetime.combine(day, time()))


def still_to_come(visit: Visit, now: datetime) -> datetime | None:
    """The next moment of a visit; of one that has no time, its whole day counts."""
    moment = first_moment(visit)
    if moment is None or visit.when is not None:
        return moment if moment is not None and moment >= now else None
    today = datetime.combine(now.date(), time())
    if visit.every is not None and moment < today:
        every = span(visit.every)
        moment += every * -((moment - today) // every)
    over = visit.ends is not None and moment.date() > visit.ends
    return None if over or moment < today else moment


def visits_to_come(visits: tuple[Visit, ...], now: datetime) -> list[tuple[datetime, Visit]]:
    """The visits that are still to come with their next moment, earliest first."""
    moments = [(still_to_come(visit, now), number) for number, visit in enumerate(visits)]
    coming = sorted((moment, number) for moment, number in moments if moment is not None)
    return [(moment, visits[number]) for moment, number in coming]


def visit_what(visit: Visit) -> Value:
    """What a visit is for: a phrase of the list, or the words of format 1."""
    if visit.kind is None:
        return Typed("text", visit.what)
    return Phrase(f"visit-{visit.kind.replace(' ', '-')}")


def _often(every: Quantity) -> Value:
    days, rest = divmod(span(every), _A_DAY)
    if days == 1 and not rest:
        return Phrase("often-each-day")
    if rest:
        return Phrase("often-every", (("span", Typed("span", every)),))
    return Phrase("often-days", (("count", Typed("count", days)),))


def visit_when(visit: Visit, moment: datetime) -> Value:
    """When a visit is, from its next moment on; a date alone asks for the time."""
    day = Typed("date", moment.date())
    if visit.every is not None:
        values: list[tuple[str, Value]] = [("often", _often(visit.every)), ("first", day)]
        if visit.ends is None:
            return Phrase("visit-from", tuple(values))
        return Phrase("visit-from-until", (*values, ("last", Typed("date", visit.ends))))
    if visit.when is None:
        return Phrase("visit-ask-time", (("day", day),))
    return Typed("moment", visit.when)


def visit_where(visit: Visit) -> tuple[Value, ...]:
    """Where a visit is or how: lines, with the place as the file or the directory names it."""
    lines: list[Value] = [] if visit.how is None else [Phrase(f"visit-by-{visit.how}")]
    place = visit.place
    if place is not None:
        named = [Typed("text", text) for text in (place.name, place.place) if text]
        return (*lines, *named, Typed("phone", place.phone))
    if visit.where:
        return (*lines, Typed("text", visit.where))
    return (*lines, Phrase("ask-where")) if visit.how in (None, "clinic") else tuple(lines)


def blood_tests(visit: Visit) -> tuple[Value, ...]:
    """The blood tests of a visit by name."""
    return tuple(Phrase(f"blood-{test.replace(' ', '-')}") for test in visit.tests)
