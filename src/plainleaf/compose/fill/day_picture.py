"""What the picture of the day is drawn from: what is fed, drained and given by the clock."""

from __future__ import annotations

from collections.abc import Sequence

from plainleaf.compose.draw.picture_facts import Day
from plainleaf.facts.derived import DayPlan, Event, Facts, Phrase, Value
from plainleaf.facts.runs import A_DAY, pump_span


def _runs(events: Sequence[Event], starts: int) -> list[tuple[int, int]]:
    """Pump runs within the strip; one that passes its end goes on at its start."""
    started = {pump_span(e.feed) for e in events if e.kind == "pump-start" and e.feed is not None}
    return sorted({piece for run in started for piece in _within(*run, starts)})


def _within(start: int, end: int, starts: int) -> list[tuple[int, int]]:
    """A stretch of minutes on the strip, in two pieces where it passes its end."""
    long = end - start
    start = (start - starts) % A_DAY + starts
    pieces = [(start, min(start + long, starts + A_DAY))]
    if start + long > starts + A_DAY:
        pieces.append((starts, start + long - A_DAY))
    return pieces


def _drains(plan: DayPlan, starts: int) -> list[tuple[int, int]]:
    """When a port drains, from opening to closing; all the time where it is never closed."""
    drainage = plan.orders.drainage
    if drainage is None:
        return []
    turns = [e for e in plan.events if e.kind in ("drain-open", "drain-close")]
    opens = sorted(e.minute % A_DAY for e in turns if e.kind == "drain-open")
    closes = sorted(e.minute % A_DAY for e in turns if e.kind == "drain-close")
    if not opens:
        return [] if drainage.times else [(starts, starts + A_DAY)]
    pieces = []
    for start in opens:
        end = min(((close - start) % A_DAY for close in closes), default=A_DAY)
        pieces += _within(start, start + (end or A_DAY), starts)
    return sorted(pieces)


def day_shown(facts: Facts) -> Day:
    """What the strip shows: whatever is done at a time on any date; the table has the dates."""
    events = [
        event
        for plan in facts.plans
        for day in (plan.events, *(weekday.events for weekday in plan.weekdays))
        for event in day
        if event.timed
    ]
    starts = min(event.minute for event in events) // 60 * 60

    def at(*kinds: str) -> tuple[int, ...]:
        return tuple(sorted({event.minute for event in events if event.kind in kinds}))

    drains = {piece for plan in facts.plans for piece in _drains(plan, starts)}
    return Day(
        starts, at("feed"), tuple(_runs(events, starts)), at("flush", "extra-water"),
        at("medicine"), tuple(sorted(drains)),
    )  # fmt: skip


def day_labels(shown: Day) -> list[tuple[str, tuple[Value, ...]]]:
    """The lanes of the strip that hold anything, and its hours."""
    present = {
        "feeds": bool(shown.feeds or shown.runs),
        "drains": bool(shown.drains),
        "water": bool(shown.water),
        "medicines": bool(shown.medicines),
    }
    labels: list[tuple[str, tuple[Value, ...]]] = [
        (name, (Phrase(f"pic-day-{name}"),)) for name, there in present.items() if there
    ]
    return [
        *labels,
        *((f"hour-{hour}", (Phrase(f"pic-hour-{hour}"),)) for hour in (0, 6, 12, 18)),
    ]
