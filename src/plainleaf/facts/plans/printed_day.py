"""The printed day: every feeding, flush and medicine in order.

Row numbers: o-cyc, o-cyc-mid in tests/oracles.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from plainleaf.facts.derived import Event
from plainleaf.facts.plans.additive_times import additive_events
from plainleaf.facts.plans.day_orders import DayOrders, Placed, Rank, only_some_days
from plainleaf.facts.plans.draining import drain_events, draining_of
from plainleaf.facts.plans.feedings import feed_events
from plainleaf.facts.plans.hanging import set_change_events
from plainleaf.facts.plans.medicine_rounds import medicine_events
from plainleaf.facts.plans.presence import duty_of
from plainleaf.facts.plans.water_times import daily_events, every_events, extra_events
from plainleaf.facts.runs import A_DAY, minute_of
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.strict_yaml import read_clock

# Water that a draining port lets out again.
_WATER = ("flush", "extra-water", "medicine", "additive")


def first_minute(policy: Policy) -> int:
    """Where the printed day begins, in minutes from midnight."""
    return minute_of(read_clock(policy.word("day_starts")))


def day_events(orders: DayOrders) -> tuple[Event, ...]:
    """Everything done on one day, from the policy's `day_starts` round the clock.

    Things of one time stand in the order of `Rank`. Minutes before `day_starts` belong to the
    next calendar day and count on past 1440; only what is for some days keeps its own date.
    """
    starts = first_minute(orders.policy)
    ordered: list[tuple[int, Rank, int, Event]] = []
    for placed in _all(orders):
        event = _on_the_page(placed, starts)
        ordered.append((event.minute, placed.rank, len(ordered), event))
    events = tuple(event for *_, event in sorted(ordered, key=lambda item: item[:3]))
    return tuple(_completed(orders, events)) if orders.dated else events


def _all(orders: DayOrders) -> Iterator[Placed]:
    yield from every_events(orders)
    yield from medicine_events(orders)
    yield from extra_events(orders)
    yield from daily_events(orders)
    if orders.dated:
        yield from additive_events(orders)
        yield from set_change_events(orders)
    yield from feed_events(orders)
    if orders.dated:
        yield from drain_events(orders)
        yield from _checks(orders)


def _on_the_page(placed: Placed, starts: int) -> Event:
    event = placed.event
    if placed.dated and event.minute < starts:
        return event
    minute = (event.minute - starts) % A_DAY + starts
    return replace(event, minute=minute, begun_before=event.minute - minute == A_DAY)


def _checks(orders: DayOrders) -> Iterator[Placed]:
    """What is measured by the clock, or at any time of the day where none is ordered."""
    for check in orders.patient.watch:
        key, dated = orders.key_of(check), only_some_days(check)
        if not check.times and check.tied is None:
            starts = first_minute(orders.policy)
            event = Event(starts, "check", "none", check=check, order=key, timed=False)
            yield Placed(Rank.UNTIMED, event)
        for clock in check.times:
            event = Event(minute_of(clock), "check", "none", check=check, order=key)
            yield Placed(Rank.CHECK, event, dated)


def _completed(orders: DayOrders, events: Iterable[Event]) -> Iterator[Event]:
    """The events with what somebody must be allowed to do for each, and whether water drains."""
    draining = draining_of(orders)
    for event in events:
        runs_out = (
            draining is not None
            and event.kind in _WATER
            and draining.drains(event.through, event.minute)
        )
        yield replace(event, duty=duty_of(event), drained=runs_out)
