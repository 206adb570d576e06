"""The printed day: every feeding, flush and medicine in order, and what they add up to.

The totals are sums over the events and over nothing else, so that they cannot differ from the
schedule on paper. Row numbers: o-cyc, o-cyc-mid, o-nmed, o-water-sum in tests/oracles.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import groupby

from plainleaf.facts.derived import Event, MedicineFacts, Totals
from plainleaf.facts.hold_windows import Window, around_midnight, hold_windows, holds_of_run
from plainleaf.facts.runs import (
    A_DAY,
    minute_of,
    minutes_in,
    pump_span,
    pump_volume,
    runs_all_day,
)
from plainleaf.facts.tripwires import give_order
from plainleaf.inputs.patient import Feed, Patient, Water
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.strict_yaml import read_clock
from plainleaf.vocabulary.quantities import Quantity, total


def pump_runs_at(feed: Feed, minute: int) -> bool:
    """Whether a pump run covers a minute of the day; its first and last minute do not count."""
    if feed.method != "pump":
        return False
    start, end = pump_span(feed)
    return any(start < m < end for m in (minute, minute + A_DAY)) or runs_all_day(feed)


def _flush(minute: int, through: str, amount: Quantity | None, why: str) -> list[Event]:
    return [] if amount is None else [Event(minute, "flush", through, amount, why)]


def _feed_events(feed: Feed, water: Water, windows: list[Window]) -> Iterator[Event]:
    """One feeding order in the order of doing: flush, feed, flush."""
    if feed.method == "pump":
        yield from _pump_events(feed, water, holds_of_run(feed, windows))
        return
    for clock in feed.times:
        minute = minute_of(clock)
        yield from _flush(minute, feed.through, water.before_feed, "before-feed")
        yield Event(minute, "feed", feed.through, feed.amount, feed=feed)
        yield from _flush(minute, feed.through, water.after_feed, "after-feed")


def _hold_events(feed: Feed, holds: list[Window]) -> Iterator[Event]:
    """The pump stops for a medicine and starts again, unless its run begins or ends there.

    A hold over the moment at which an all-day run begins anew is one hold.
    """
    first, last = pump_span(feed)
    joined = bool(holds) and holds[0][0] == first and holds[-1][1] == last
    at_edges = runs_all_day(feed) and not joined
    for start, end in holds:
        if start > first or at_edges:
            yield Event(start, "pump-hold", feed.through, feed=feed)
        if end < last or at_edges:
            yield Event(end, "pump-resume", feed.through, feed=feed)


def _pump_events(feed: Feed, water: Water, holds: list[Window]) -> Iterator[Event]:
    start, end = pump_span(feed)
    yield from _flush(start, feed.through, water.before_feed, "before-feed")
    yield Event(start, "pump-start", feed.through, pump_volume(feed), feed=feed)
    yield from _hold_events(feed, holds)
    if not runs_all_day(feed):
        yield Event(end, "pump-stop", feed.through, feed=feed)
    yield from _flush(end, feed.through, water.after_feed, "after-feed")


def _every_events(patient: Patient) -> Iterator[Event]:
    """Flushes every so many hours: while a pump runs, or round the clock from `water.starts`.

    A run that has its own flush before and after gets the ones between; a 24-hour run gets one at
    its start and then every so many hours.
    """
    water = patient.water
    if water.every is None or water.each is None:
        return
    step = minutes_in(water.every)
    pumps = [feed for feed in patient.feeding if feed.method == "pump"]
    for feed in pumps:
        start, end = pump_span(feed)
        first = start if runs_all_day(feed) else start + step
        for minute in range(first, end, step):
            yield Event(minute, "flush", feed.through, water.each, "every")
    if not pumps and water.starts is not None:
        port = next(iter(patient.tube.ports))
        start = minute_of(water.starts)
        for minute in range(start, start + A_DAY, step):
            yield Event(minute, "flush", port, water.each, "every")


def _round_events(
    patient: Patient, policy: Policy, minute: int, port: str, given: Sequence[MedicineFacts]
) -> Iterator[Event]:
    """One round of medicines: flush, medicine, flush, medicine … flush (n + 1, or 2n by policy).

    A pump that runs through the same port is paused before the first flush and started again after
    the last one, unless its run begins anew at that minute.
    """
    flush = patient.water.medicine
    doubled = policy.word("medicine_flushes") == "before-and-after-each"
    windows = around_midnight(hold_windows(patient))
    held = any(start <= minute <= end for start, end in windows)
    running = [
        f for f in patient.feeding if not held and f.through == port and pump_runs_at(f, minute)
    ]
    if running:
        yield Event(minute, "pump-pause", port, why="medicine")
    for number, facts in enumerate(sorted(given, key=give_order)):
        if number == 0 or doubled:
            yield from _flush(minute, port, flush, "medicine")
        yield Event(minute, "medicine", port, medicine=facts.medicine)
        yield from _flush(minute, port, flush, "medicine")
    if any((minute - pump_span(f)[0]) % A_DAY for f in running):
        yield Event(minute, "pump-resume", port, why="medicine")


def _medicine_events(
    patient: Patient, policy: Policy, medicines: Sequence[MedicineFacts]
) -> Iterator[Event]:
    doses = sorted(
        ((t, m.medicine.through or "none", m) for m in medicines for t in m.medicine.times),
        key=lambda dose: (dose[0], dose[1]),
    )
    for (clock, port), group in groupby(doses, key=lambda dose: dose[:2]):
        given = [dose[2] for dose in group]
        if port == "none":
            for facts in given:
                yield Event(minute_of(clock), "medicine", "none", medicine=facts.medicine)
        else:
            yield from _round_events(patient, policy, minute_of(clock), port, given)


def resting_ports(patient: Patient) -> tuple[str, ...]:
    """Ports that no feeding and no timed medicine uses on a day."""
    used = {feed.through for feed in patient.feeding}
    used |= {m.through for m in patient.medicines if m.times and m.through is not None}
    return tuple(port for port in patient.tube.ports if port not in used)


def _daily_events(patient: Patient, policy: Policy) -> Iterator[Event]:
    minute = minute_of(read_clock(policy.word("resting_flush_at")))
    for port in resting_ports(patient):
        yield from _flush(minute, port, patient.water.daily, "daily")


def _extra_events(patient: Patient) -> Iterator[Event]:
    extra = patient.water.extra
    for clock in extra.times if extra is not None else ():
        assert extra is not None
        yield Event(minute_of(clock), "extra-water", extra.through, extra.amount)


def day_events(
    patient: Patient, policy: Policy, medicines: Sequence[MedicineFacts]
) -> tuple[Event, ...]:
    """Everything done on one day, from the policy's `day_starts` round the clock.

    At one time: a pump that ends or is stopped comes first, then flushes by the clock, medicines,
    extra water and daily flushes, then feedings, and a pump that starts again comes last.
    Minutes before `day_starts` belong to the next calendar day and count on past 1440.
    """
    starts = minute_of(read_clock(policy.word("day_starts")))
    windows = hold_windows(patient)
    groups: list[tuple[int, list[Event]]] = [
        (1, list(_every_events(patient))),
        (2, list(_medicine_events(patient, policy, medicines))),
        (3, [*_extra_events(patient), *_daily_events(patient, policy)]),
    ]
    for feed in patient.feeding:
        groups.append((4, list(_feed_events(feed, patient.water, windows))))
    ordered: list[tuple[int, int, int, Event]] = []
    for rank, events in groups:
        for number, event in enumerate(events):
            minute = (event.minute - starts) % A_DAY + starts
            place = _place(rank, event, events[number - 1] if number else None)
            ordered.append((minute, place, len(ordered), replace(event, minute=minute)))
    return tuple(event for _, _, _, event in sorted(ordered, key=lambda item: item[:3]))


def _place(rank: int, event: Event, before: Event | None) -> int:
    """Where one thing stands among those of its minute; `before` is the one it was made after."""
    if event.kind == "pump-hold" and before is not None and before.kind == "pump-start":
        return 0 if (event.minute - before.minute) % A_DAY else rank
    if event.kind in ("pump-stop", "pump-pause", "pump-hold"):
        return 0
    if event.why == "after-feed" and before is not None and before.kind.startswith("pump"):
        return 0
    return 5 if event.kind == "pump-resume" else rank


def day_totals(events: Sequence[Event], water: Water) -> Totals:
    """Sums over the printed day; mL and kcal, exact.

    Energy and water of formula are volume times the label's density and share. Home-blended food
    has neither on a label: its volume stands apart and the energy is unknown.
    """
    fed = [e for e in events if e.kind in ("feed", "pump-start")]
    formula = [e for e in fed if e.feed is not None and e.feed.formula is not None]
    blended = total([e.amount for e in fed if e not in formula and e.amount is not None])
    in_formula = total([_formula_water(e) for e in formula])
    flush = total([e.amount for e in events if e.kind == "flush" and e.amount is not None])
    extra = total([e.amount for e in events if e.kind == "extra-water" and e.amount is not None])
    return Totals(
        formula=total([e.amount for e in formula if e.amount is not None]),
        blended=blended,
        energy=_energy(formula) if blended.value == 0 else None,
        water_in_formula=in_formula,
        flush=flush,
        extra_water=extra,
        water=total([in_formula, flush, extra]),
        goal=water.goal,
        limit=water.limit,
    )


def _formula_water(event: Event) -> Quantity:
    assert event.feed is not None and event.feed.formula is not None and event.amount is not None
    return event.amount.to("mL") * (event.feed.formula.water.value / 100)


def _energy(fed: Sequence[Event]) -> Quantity:
    whole = Quantity(Decimal(0), "kcal")
    for event in fed:
        assert event.feed is not None and event.feed.formula is not None
        assert event.amount is not None
        whole = whole + event.feed.formula.energy * event.amount
    return whole
