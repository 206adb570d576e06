"""What the picture of the day is drawn from: what is fed, drained and given by the clock."""

from __future__ import annotations

from plainleaf.compose.draw.picture_facts import Day
from plainleaf.facts.derived import DayPlan, Facts, Phrase, Value
from plainleaf.facts.runs import A_DAY, pump_span


def _runs(plan: DayPlan, starts: int) -> list[tuple[int, int]]:
    """Pump runs within the strip; one that passes its end goes on at its start."""
    started = (e.feed for e in plan.events if e.kind == "pump-start" and e.feed is not None)
    return sorted(piece for feed in started for piece in _within(*pump_span(feed), starts))


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
    """What the strip shows: the ordinary day of the first plan with anything to do."""
    plan = next(plan for plan in facts.plans if plan.events)
    events = [event for event in plan.events if event.timed]
    starts = min((event.minute for event in events), default=0) // 60 * 60

    def at(*kinds: str) -> tuple[int, ...]:
        return tuple(sorted({event.minute for event in events if event.kind in kinds}))

    return Day(
        starts, at("feed"), tuple(_runs(plan, starts)), at("flush", "extra-water"),
        at("medicine"), tuple(_drains(plan, starts)),
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
