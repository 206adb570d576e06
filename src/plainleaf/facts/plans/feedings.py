"""Feedings of a day in the order of doing, with all that is tied to them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plainleaf.facts.derived import Event
from plainleaf.facts.hold_windows import Window, hold_windows, holds_of_run
from plainleaf.facts.plans.additive_times import additives_after, additives_before
from plainleaf.facts.plans.day_orders import DayOrders, Placed, Rank, only_some_days
from plainleaf.facts.plans.hanging import Filling, fillings, refills
from plainleaf.facts.plans.medicine_rounds import doses_after_feed, doses_before_feed
from plainleaf.facts.plans.sittings import Sitting, sittings_of
from plainleaf.facts.runs import pump_span, pump_volume, runs_all_day
from plainleaf.inputs.patient import Feed


def feed_events(orders: DayOrders) -> Iterator[Placed]:
    """All feedings, each with its flushes."""
    windows = hold_windows(orders.patient)
    filled = fillings(orders) if orders.dated else {}
    for number, feed in enumerate(orders.patient.feeding):
        dated = orders.dated and only_some_days(feed)
        for sitting in sittings_of(feed, timed=orders.dated):
            for placed in _sitting(orders, sitting, windows, filled.get(number, ())):
                yield Placed(placed.rank, placed.event, dated)


def _sitting(
    orders: DayOrders, sitting: Sitting, windows: list[Window], filled: Sequence[Filling]
) -> Iterator[Placed]:
    """Flush, feed, flush; before and after them what is tied to the feeding."""
    port, start = sitting.feed.through, sitting.start
    if orders.dated:
        yield from _each(Rank.FEED, _at_start(orders, sitting))
    yield from _each(Rank.FEED, orders.flush(start, port, "before_feed", "before-feed"))
    if sitting.by_pump:
        yield from _run(orders, sitting.feed, holds_of_run(sitting.feed, windows), filled)
    else:
        yield Placed(Rank.FEED, _given(orders, sitting.feed, "feed", start))
    yield from _ending(orders, sitting)


def _each(rank: Rank, events: Iterator[Event]) -> Iterator[Placed]:
    return (Placed(rank, event) for event in events)


def _given(orders: DayOrders, feed: Feed, kind: str, minute: int) -> Event:
    amount = pump_volume(feed) if kind == "pump-start" else feed.amount
    return Event(minute, kind, feed.through, amount, feed=feed, order=orders.key_of(feed))


def _run(
    orders: DayOrders, feed: Feed, holds: list[Window], filled: Sequence[Filling]
) -> Iterator[Placed]:
    """A pump run, with its holds and refills; the end of a run round the clock is its start."""
    start, end = pump_span(feed)
    yield Placed(Rank.FEED, _given(orders, feed, "pump-start", start))
    yield from _holds(feed, holds)
    yield from _each(Rank.FEED, refills(orders, feed, filled))
    if not runs_all_day(feed):
        yield Placed(Rank.STOP, Event(end, "pump-stop", feed.through, feed=feed))


def _holds(feed: Feed, holds: list[Window]) -> Iterator[Placed]:
    """The pump stops for a medicine and starts again, unless its run begins or ends there.

    A hold over the moment at which an all-day run begins anew is one hold.
    """
    first, last = pump_span(feed)
    joined = bool(holds) and holds[0][0] == first and holds[-1][1] == last
    at_edges = runs_all_day(feed) and not joined
    for start, end in holds:
        if start > first or at_edges:
            rank = Rank.STOP if start > first else Rank.FEED
            yield Placed(rank, Event(start, "pump-hold", feed.through, feed=feed))
        if end < last or at_edges:
            yield Placed(Rank.RESUME, Event(end, "pump-resume", feed.through, feed=feed))


def _ending(orders: DayOrders, sitting: Sitting) -> Iterator[Placed]:
    """What follows a feeding: what is added to it, its flush, and what is tied to its end.

    By syringe or gravity the flush stands beside the feeding, or where an additive is given first.
    """
    rank = Rank.STOP if sitting.by_pump else Rank.FEED
    minute = sitting.end if sitting.by_pump else sitting.start
    port = sitting.feed.through
    if orders.dated:
        added = additives_after(orders, sitting)
        minute = max([minute, *(event.minute for event in added)])
        yield from _each(rank, iter(added))
    yield from _each(rank, orders.flush(minute, port, "after_feed", "after-feed"))
    if orders.dated:
        yield from _each(rank, _at_end(orders, port, minute))


# --- what is tied to feedings --------------------------------------------------------------------

BEFORE, WITH, AFTER = "before each feed", "with each feed", "after each feed"
_DURING = "during feed"


def _at_start(orders: DayOrders, sitting: Sitting) -> Iterator[Event]:
    """Check, let air out, give doses, then what goes in just before the feeding."""
    minute = sitting.start
    yield from _tied_checks(orders, minute, (BEFORE, WITH))
    yield from _vents(orders, minute, (BEFORE, _DURING))
    yield from doses_before_feed(orders, minute)
    yield from additives_before(orders, sitting)


def _at_end(orders: DayOrders, port: str, minute: int) -> Iterator[Event]:
    yield from doses_after_feed(orders, minute, port)
    yield from _vents(orders, minute, (AFTER,))
    yield from _tied_checks(orders, minute, (AFTER,))


def _tied_checks(orders: DayOrders, minute: int, tied: Sequence[str]) -> Iterator[Event]:
    for check in orders.patient.watch:
        if check.tied in tied:
            key = orders.key_of(check)
            yield Event(minute, "check", "none", why=check.tied or "", check=check, order=key)


def _vents(orders: DayOrders, minute: int, when: Sequence[str]) -> Iterator[Event]:
    venting = orders.patient.venting
    for word in venting.when if venting is not None else ():
        if word in when:
            assert venting is not None
            yield Event(minute, "vent", venting.through, why=word, order="venting")
