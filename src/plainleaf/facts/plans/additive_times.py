"""Powders and fiber given apart from the formula: alone, or just before or after a feeding.

What is given just before goes in ahead of the feeding's own flush, and what is given just after
goes in ahead of the flush that follows, so that water always comes between or behind.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plainleaf.facts.derived import Event
from plainleaf.facts.plans.day_orders import (
    DayOrders,
    Placed,
    Rank,
    only_some_days,
    with_pump_paused,
)
from plainleaf.facts.plans.sittings import Sitting, all_sittings
from plainleaf.facts.runs import minute_of
from plainleaf.inputs.patient.order_values import Additive
from plainleaf.vocabulary.patient_file.scalars_2 import Amounts

BEFORE_FEED, AFTER_FEED = "before feed", "after feed"


def _with_flushes(orders: DayOrders, additive: Additive, minute: int) -> Iterator[Event]:
    key = orders.key_of(additive)
    yield from _flush(additive, minute, f"{key}.flush_before", additive.flush_before)
    yield Event(
        minute, "additive", additive.through, mix=additive.mix, additive=additive, order=key
    )
    yield from _flush(additive, minute, f"{key}.flush_after", additive.flush_after)


def _flush(additive: Additive, minute: int, key: str, amount: Amounts | None) -> Iterator[Event]:
    if amount is not None:
        least = amount.least if amount.least != amount.most else None
        yield Event(
            minute, "flush", additive.through, amount.most, "additive", least=least, order=key
        )


def _of_feed(orders: DayOrders, place: str, port: str) -> Iterator[tuple[Additive, int]]:
    for additive in orders.patient.additives:
        if additive.place == place and additive.through == port:
            yield from ((additive, minute_of(clock)) for clock in additive.times)


def additives_before(orders: DayOrders, sitting: Sitting) -> Iterator[Event]:
    """What is given just before a feeding that begins at the same minute."""
    for additive, minute in _of_feed(orders, BEFORE_FEED, sitting.feed.through):
        if sitting.begins_at(minute):
            yield from _with_flushes(orders, additive, sitting.start)


def additives_after(orders: DayOrders, sitting: Sitting) -> list[Event]:
    """What is given just after a feeding by syringe or gravity, or at the end of a pump run.

    What is given later stands alone.
    """
    events: list[Event] = []
    for additive, minute in _of_feed(orders, AFTER_FEED, sitting.feed.through):
        behind = sitting.just_after(minute)
        if behind is not None:
            events += _with_flushes(orders, additive, behind)
    return events


def additive_events(orders: DayOrders) -> Iterator[Placed]:
    """Additives that stand alone, by order or because no feeding is at their time."""
    sittings = all_sittings(orders.patient)
    for additive in orders.patient.additives:
        here = [s for s in sittings if s.feed.through == additive.through]
        for minute in map(minute_of, additive.times):
            if not _joins_feed(additive.place, minute, here):
                yield from _alone(orders, additive, minute)


def _joins_feed(place: str, minute: int, sittings: Sequence[Sitting]) -> bool:
    if place == BEFORE_FEED:
        return any(sitting.begins_at(minute) for sitting in sittings)
    return place == AFTER_FEED and any(s.just_after(minute) is not None for s in sittings)


def _alone(orders: DayOrders, additive: Additive, minute: int) -> Iterator[Placed]:
    dated = only_some_days(additive)
    events = [
        Placed(Rank.ADDITIVE, event, dated) for event in _with_flushes(orders, additive, minute)
    ]
    yield from with_pump_paused(orders, events, "additive", minute, additive.through)
