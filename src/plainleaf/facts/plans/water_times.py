"""Water by the clock: flushes every so many hours, daily flushes of a resting port, extra water."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.facts.derived import Event
from plainleaf.facts.plans.day_orders import DayOrders, Placed, Rank
from plainleaf.facts.runs import A_DAY, minute_of, minutes_in, pump_span, runs_all_day
from plainleaf.inputs.patient import ExtraWater, Patient
from plainleaf.inputs.strict_yaml import read_clock
from plainleaf.vocabulary.quantities import Quantity


def every_events(orders: DayOrders) -> Iterator[Placed]:
    """Flushes every so many hours: while a pump runs, or round the clock from `water.starts`.

    A run that has its own flush before and after gets the ones between; a 24-hour run gets one at
    its start and then every so many hours. Format 2 always writes a start, and every flush that
    falls into 24 hours from it is given.
    """
    water = orders.patient.water
    if water.every is None or water.each is None:
        return
    step = minutes_in(water.every)
    if orders.dated:
        yield from _round_the_clock(orders, step, water.each, water.through)
        return
    pumps = [feed for feed in orders.patient.feeding if feed.method == "pump"]
    for feed in pumps:
        start, end = pump_span(feed)
        first = start if runs_all_day(feed) else start + step
        for minute in range(first, end, step):
            yield _flush(minute, feed.through, water.each)
    if not pumps:
        yield from _round_the_clock(orders, step, water.each, None)


def _flush(minute: int, port: str, amount: Quantity) -> Placed:
    return Placed(Rank.EVERY, Event(minute, "flush", port, amount, "every", order="water.each"))


def _round_the_clock(
    orders: DayOrders, step: int, amount: Quantity, through: str | None
) -> Iterator[Placed]:
    patient = orders.patient
    if patient.water.starts is None:
        return
    port = through or next(iter(patient.tube.ports))
    start = minute_of(patient.water.starts)
    for minute in range(start, start + A_DAY, step):
        yield _flush(minute, port, amount)


def resting_ports(patient: Patient) -> tuple[str, ...]:
    """Ports that no feeding and no timed medicine uses on a day."""
    used = {feed.through for feed in patient.feeding}
    used |= {m.through for m in patient.medicines if m.times and m.through is not None}
    return tuple(port for port in patient.tube.ports if port not in used)


def daily_events(orders: DayOrders) -> Iterator[Placed]:
    """The daily flush of each port that is not used."""
    minute = minute_of(read_clock(orders.policy.word("resting_flush_at")))
    tied = {m.through for m in orders.medicines if m.tied} if orders.dated else set()
    feeding = bool(orders.patient.feeding)
    for port in resting_ports(orders.patient):
        if not (feeding and port in tied):
            for event in orders.flush(minute, port, "daily", "daily"):
                yield Placed(Rank.WATER, event)


def extra_events(orders: DayOrders) -> Iterator[Placed]:
    """Extra water at its times."""
    if not orders.dated:
        extra = orders.patient.water.extra
        lines = () if extra is None else (extra,)
        yield from (placed for line in lines for placed in _extra(line, "", "water.extra"))
        return
    for number, line in enumerate(orders.patient.water.extras):
        yield from _extra(line, line.why or "", f"water.extra[{number}]", line.amount_least)


def _extra(
    extra: ExtraWater, why: str, key: str, least: Quantity | None = None
) -> Iterator[Placed]:
    for clock in extra.times:
        event = Event(
            minute_of(clock), "extra-water", extra.through, extra.amount, why, least=least,
            order=key,
        )  # fmt: skip
        yield Placed(Rank.WATER, event)
