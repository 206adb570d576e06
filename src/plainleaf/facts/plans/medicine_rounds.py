"""Medicines of a day: rounds by the clock, and doses that are tied to feedings.

Row numbers: o-nmed in tests/oracles. Doses of one port at one time are one group: a flush before,
between and after. The tied doses of one feeding are one group too, beside the feeding's own flush.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from plainleaf.facts.derived import Event
from plainleaf.facts.medicine_forms import give_order
from plainleaf.facts.plans.day_orders import (
    DayOrders,
    Placed,
    Rank,
    only_some_days,
    with_pump_paused,
)
from plainleaf.facts.runs import minute_of
from plainleaf.inputs.patient import Medicine

AFTER_FEED = "after each feed"


def dose_event(orders: DayOrders, medicine: Medicine, minute: int, why: str = "") -> Event:
    """One dose of a medicine; `through` none where it stays out of the tube."""
    mix = medicine.mix if orders.dated else None
    port = medicine.through or "none"
    return Event(
        minute, "medicine", port, why=why, medicine=medicine, mix=mix, order=orders.key_of(medicine)
    )


def doses_with_flushes(
    orders: DayOrders, doses: Sequence[Event], *, first: bool = True
) -> Iterator[Event]:
    """Doses of one port with their flushes: n + 1, or 2n by policy.

    Args:
        first: Whether there is a flush before the first of them.
    """
    doubled = orders.policy.word("medicine_flushes") == "before-and-after-each"
    for number, dose in enumerate(doses):
        if (first and number == 0) or doubled:
            yield from orders.flush(dose.minute, dose.through, "medicine", "medicine")
        yield dose
        yield from orders.flush(dose.minute, dose.through, "medicine", "medicine")


def _round(
    orders: DayOrders, minute: int, port: str, given: Sequence[Medicine]
) -> Iterator[Placed]:
    """One round of medicines through a port."""
    dated = orders.dated and any(map(only_some_days, given))
    doses = [dose_event(orders, m, minute) for m in sorted(given, key=give_order)]
    events = [Placed(Rank.MEDICINE, e, dated) for e in doses_with_flushes(orders, doses)]
    yield from with_pump_paused(orders, events, "medicine", minute, port)


def medicine_events(orders: DayOrders) -> Iterator[Placed]:
    """All doses with a time of day."""
    doses = sorted(
        ((t, m.through or "none", m) for m in orders.medicines for t in m.times),
        key=lambda dose: (dose[0], dose[1]),
    )
    for (clock, port), group in groupby(doses, key=lambda dose: dose[:2]):
        given = [dose[2] for dose in group]
        if port != "none":
            yield from _round(orders, minute_of(clock), port, given)
            continue
        for medicine in given:
            dated = orders.dated and only_some_days(medicine)
            dose = dose_event(orders, medicine, minute_of(clock))
            yield Placed(Rank.MEDICINE, dose, dated)


def _tied(orders: DayOrders, *, after: bool) -> list[Medicine]:
    tied = [m for m in orders.medicines if m.tied and (m.tied == AFTER_FEED) == after]
    return sorted(tied, key=give_order)


def _by_port(
    orders: DayOrders, medicines: Sequence[Medicine], minute: int
) -> dict[str, list[Event]]:
    doses: dict[str, list[Event]] = {}
    for medicine in medicines:
        dose = dose_event(orders, medicine, minute, medicine.tied or "")
        doses.setdefault(dose.through, []).append(dose)
    return doses


def doses_before_feed(orders: DayOrders, minute: int) -> Iterator[Event]:
    """Doses before a feeding, and those with it: they are given first, so that no formula is in
    the tube."""
    for port, doses in _by_port(orders, _tied(orders, after=False), minute).items():
        yield from doses if port == "none" else doses_with_flushes(orders, doses)


def doses_after_feed(orders: DayOrders, minute: int, port_of_feed: str) -> Iterator[Event]:
    """Doses after a feeding; what was flushed before it is not flushed again.

    Only where no flush follows the feeding itself does one stand between formula and dose.
    """
    before = {m.through for m in _tied(orders, after=False)}
    unflushed = orders.patient.water.after_feed is None
    for port, doses in _by_port(orders, _tied(orders, after=True), minute).items():
        if port == "none":
            yield from doses
            continue
        first = port not in before or (port == port_of_feed and unflushed)
        yield from doses_with_flushes(orders, doses, first=first)
