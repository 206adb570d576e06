"""Dates counted from placement, by the facility's settings or by order."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime, time, timedelta

from plainleaf.facts.derived import TimelineEntry
from plainleaf.facts.given import Given
from plainleaf.facts.noted_views import noted_whole
from plainleaf.facts.opening import healed_after, span
from plainleaf.facts.visit_words import first_moment, still_to_come, visit_what, visits_to_come
from plainleaf.inputs.patient import Visit


def _counted(setting: str, order: str = "") -> Callable[[Given], datetime]:
    """The moment counted from the opening's first day by a setting; an order comes first."""
    return lambda g: _ordered(g, order) or g.opened + span(g.policy.quantity(setting))


def _ordered(given: Given, order: str) -> datetime | None:
    return given.patient.dates.get(order) if order else None


def _swim_from(given: Given) -> datetime:
    setting = "swim_after_child" if given.child else "swim_after_adult"
    return _counted(setting, "swim_from")(given)


def _healed_on(given: Given) -> datetime:
    """The end of the policy's days, or the later day until which the opening counts as new."""
    until = given.tube.not_healed_until
    if until is not None:
        return datetime.combine(until, time())
    return given.opened + timedelta(
        days=healed_after(given.patient, given.policy, child=given.child)
    )


# Slot → the moment it prints.
MOMENTS: Mapping[str, Callable[[Given], datetime]] = {
    "first_dressing_off_on": _counted("first_dressing_stays", "first_dressing_off"),
    "shower_from": _counted("shower_after", "shower_from"),
    "eat_from": _counted("eat_after", "eat_from"),
    "bath_from": _counted("bath_after", "bath_from"),
    "sore_until": _counted("sore_for"),
    "lift_until": _counted("lift_after", "lift_until"),
    "swim_from": _swim_from,
    "red_flag_until": _counted("red_flag_time"),
    "healed_on": _healed_on,
}


# A date that format 2 may order → the kind of visit that is that date too.
VISIT_OF_DATE = {
    "skin_buttons_off": "skin buttons off",
    "stitches_out": "stitches out",
    "tube_change": "tube change",
}


def ordered_day(given: Given, key: str) -> datetime | None:
    """The day that an order gives, as a date or as a visit of its kind; the facility's usual time
    does not hold then.
    """
    if given.undated:
        return None
    kind = VISIT_OF_DATE.get(key)
    visits = (v for v in given.patient.visits if v.what == kind)
    days = (given.patient.dates.get(key), *map(first_moment, visits))
    return next((day for day in days if day is not None), None)


def change_window(given: Given) -> tuple[datetime, datetime] | None:
    """When this kind of tube is usually changed; None where only the clinic can say, or
    where an order says when."""
    tube = given.tube
    unknown = tube.held_by == "stitches" or tube.kind == "jejunostomy"
    if unknown or ordered_day(given, "tube_change") is not None:
        return None
    if tube.kind == "gastrojejunostomy":
        window = given.policy.range("gj_change")
    else:
        window = given.policy.range(f"{tube.held_by}_change")
    return tube.placed + span(window.low), tube.placed + span(window.high)


def next_visit(given: Given) -> tuple[datetime, Visit] | None:
    """The earliest visit that is still to come, with its moment."""
    coming = visits_to_come(given.patient.visits, given.prepared)
    return coming[0] if coming else None


# What makes entries: one, several or none.
_Maker = Callable[[Given], Iterator[TimelineEntry]]


def _dated(name: str, start: str = "", end: str = "", *, whole: bool = False) -> _Maker:
    """An entry from a moment on, the opening's first day where none is named, or until one."""

    def entries(given: Given) -> Iterator[TimelineEntry]:
        starts = MOMENTS[start](given) if start else given.opened
        ends = MOMENTS[end](given) if end else None
        by_day = whole or _is_by_day(given, start or end)
        yield TimelineEntry(name, starts, ends, (ends or starts) <= given.prepared, by_day)

    return entries


def _is_by_day(given: Given, moment: str) -> bool:
    """Whether an order gives the day of a moment without a time."""
    return moment.removesuffix("_on") in given.patient.whole_days


def _between(name: str, window: Callable[[Given], tuple[datetime, datetime] | None]) -> _Maker:
    def entries(given: Given) -> Iterator[TimelineEntry]:
        edges = window(given)
        if edges is not None:
            yield TimelineEntry(name, *edges, edges[1] <= given.prepared, True)

    return entries


def _by_order(name: str, key: str) -> _Maker:
    """A day of the orders that is no visit: a visit stands in the table by itself."""

    def entries(given: Given) -> Iterator[TimelineEntry]:
        day = None if given.undated else given.patient.dates.get(key)
        if day is not None:
            whole = key in given.patient.whole_days
            yield TimelineEntry(name, day, None, day <= given.prepared, whole)

    return entries


def _visits(given: Given) -> Iterator[TimelineEntry]:
    for visit in given.patient.visits:
        text = visit_what(visit)
        if visit.when is not None:
            past = visit.when <= given.prepared
            yield TimelineEntry("visit", visit.when, None, past, False, text)
            continue
        first = first_moment(visit)
        if first is not None:
            past = still_to_come(visit, given.prepared) is None
            ends = None if visit.ends is None else datetime.combine(visit.ends, time())
            yield TimelineEntry("visit", first, ends, past, True, text, visit.every)


def _shower(given: Given) -> Iterator[TimelineEntry]:
    """A baby takes no shower."""
    return iter(()) if given.age_group == "infant" else _dated("shower", "shower_from")(given)


def _follow_up(given: Given) -> Iterator[TimelineEntry]:
    until = given.prepared + span(given.policy.quantity("follow_up_within"))
    yield TimelineEntry("follow-up", given.prepared, until, False, False)


_MAKERS = (
    _dated("red-flag", end="red_flag_until"),
    _dated("eating", "eat_from"),
    _dated("dressing", "first_dressing_off_on"),
    _shower,
    _dated("soreness", end="sore_until", whole=True),
    _dated("bath", "bath_from", whole=True),
    _dated("swim", "swim_from", whole=True),
    _dated("lifting", end="lift_until", whole=True),
    _dated("healed", "healed_on", whole=True),
    _between("change", change_window),
    _by_order("buttons-off", "skin_buttons_off"),
    _by_order("stitches-out", "stitches_out"),
    _by_order("tube-change", "tube_change"),
    _by_order("balloon-check", "balloon_check_from"),
    _visits,
    _follow_up,
)


def _made(given: Given, maker: _Maker) -> tuple[list[TimelineEntry], tuple[str, ...]]:
    """The entries of one maker, and what was read for them where that is noted."""
    if given.notebook is None:
        return list(maker(given)), ()
    return given.notebook.behind(lambda: list(maker(given)))


def timeline(given: Given) -> tuple[TimelineEntry, ...]:
    """Everything dated, in order of its first moment; visits and the change window included."""
    opened = given.opened
    entries_made = [(entry, names) for entries, names in (_made(given, maker) for maker in _MAKERS)
            for entry in entries]  # fmt: skip
    entries_made.sort(key=lambda pair: (_first(pair[0], opened), pair[0].id))
    if given.notebook is None:
        return tuple(entry for entry, _ in entries_made)
    return tuple(noted_whole(entry, names, given.notebook) for entry, names in entries_made)


def _first(entry: TimelineEntry, opened: datetime) -> datetime:
    """The moment that places an entry: its end, where it runs from the first day on."""
    return entry.ends if entry.starts <= opened and entry.ends else entry.starts
