"""What holds of the feedings of one method on all days of a file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from plainleaf.facts.given import Given
from plainleaf.facts.runs import A_DAY, pump_span, runs_all_day
from plainleaf.inputs.patient import Feed

T = TypeVar("T")
# A run that covers the middle of the night is an overnight feeding; common practice, no source.
_NIGHT = 2 * 60


def pump_pattern(feeds: Sequence[Feed]) -> str:
    """none, all-day, overnight (running at two in the morning) or part-day."""
    if not feeds:
        return "none"
    if any(runs_all_day(feed) for feed in feeds):
        return "all-day"
    covers_night = any(
        start < minute < end
        for start, end in map(pump_span, feeds)
        for minute in (_NIGHT, _NIGHT + A_DAY)
    )
    return "overnight" if covers_night else "part-day"


def days_of(given: Given, method: str) -> list[list[Feed]]:
    """The feedings of one method on the days of each plan."""
    return [[feed for feed in day.feeding if feed.method == method] for day in given.dated_orders]


def of_all_days(given: Given, method: str) -> list[Feed]:
    """All feedings of one method, of every plan."""
    return [feed for day in days_of(given, method) for feed in day]


def each_day(given: Given, method: str, ask: Callable[[Sequence[Feed]], T]) -> T | None:
    """What holds of the feedings of one method on every day; None where days differ."""
    first, *others = map(ask, days_of(given, method))
    return first if all(answer == first for answer in others) else None


def pattern_of(given: Given) -> str:
    """When a pump runs; where days differ, at night if it does so on any of them."""
    patterns = {pump_pattern(day) for day in days_of(given, "pump") if day}
    if len(patterns) > 1:
        return "overnight" if patterns & {"all-day", "overnight"} else "part-day"
    return patterns.pop() if patterns else "none"


def runs_differ(given: Given) -> bool:
    """Whether a pump runs more than once a day, or not in the same way on every day."""
    first, *others = days_of(given, "pump")
    same = all(day == first for day in others) and not any(feed.days for feed in first)
    return len(first) > 1 or not same


def differ(feeds: Sequence[Feed]) -> bool:
    """Whether feedings differ in amount or time."""
    return len({(feed.amount, feed.cartons, feed.over, feed.over_least) for feed in feeds}) > 1
