"""How long formula may hang, when more is hung or poured, and when the set is changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from plainleaf.facts.derived import Event
from plainleaf.facts.hold_windows import Window, hold_windows, holds_of_run
from plainleaf.facts.plans.day_orders import DayOrders, Placed, Rank
from plainleaf.facts.plans.sittings import Sitting, sittings_of
from plainleaf.facts.runs import A_DAY, minute_of, minutes_in, pump_span, pump_volume
from plainleaf.inputs.patient import Feed, Formula
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.strict_yaml import read_clock
from plainleaf.vocabulary.quantities import Quantity, mL

_SETTINGS = {
    "open": "hang_open",
    "closed": "hang_closed",
    "powder": "hang_powder",
    "recipe": "hang_powder",
}


def hang_time(policy: Policy, feed: Feed) -> Quantity:
    """How long what is fed may hang: by its recipe, by order, else by the facility's setting."""
    if feed.formula is None:
        return policy.quantity("hang_blended")
    if feed.formula.recipe is not None:
        return feed.formula.recipe.hang
    return policy.quantity(_SETTINGS[feed.formula.system])


def _container(feed: Feed) -> Quantity | None:
    """What a ready-to-hang container holds; None where formula is poured."""
    formula = feed.formula
    if formula is None or formula.system != "closed" or formula.container is None:
        return None
    return formula.container.to("mL")


def _minutes_of(feed: Feed, amount: Quantity) -> int:
    """Whole minutes for which an amount runs."""
    assert feed.rate is not None
    return int((amount / feed.rate).to("min").value)


def _after_running(start: int, running: int, holds: list[Window]) -> int:
    """The minute at which a pump has run so long, with the time it is held besides."""
    minute = start
    for begins, ends in holds:
        if begins - minute >= running or ends <= minute:
            continue
        running -= max(begins - minute, 0)
        minute = ends
    return minute + running


@dataclass(frozen=True)
class Filling:
    """What is hung or poured for a pump: when, how much of it runs, and whether it is new.

    A ready-to-hang container of an earlier run of the day hangs on, as long as it may.
    """

    minute: int
    amount: Quantity
    new: bool


@dataclass(frozen=True)
class _Hanging:
    """A container that hangs: since when, and what is left in it; None where formula is poured."""

    since: int
    rest: Quantity | None


def fillings(orders: DayOrders) -> dict[int, list[Filling]]:
    """Of each pump run of the day, by its place in the file's feedings, what is hung for it.

    The first run of the day begins with a new container and a new set.
    """
    starts = minute_of(read_clock(orders.policy.word("day_starts")))
    windows = hold_windows(orders.patient)
    runs = [(n, f) for n, f in enumerate(orders.patient.feeding) if f.method == "pump"]
    runs.sort(key=lambda run: (pump_span(run[1])[0] - starts) % A_DAY)
    hung: dict[Formula | None, _Hanging] = {}
    by_run: dict[int, list[Filling]] = {}
    for number, feed in runs:
        filled, rest = _fill(orders, feed, holds_of_run(feed, windows), hung.get(feed.formula))
        by_run[number] = filled
        hung[feed.formula] = rest
    return by_run


def _fill(
    orders: DayOrders, feed: Feed, holds: list[Window], hanging: _Hanging | None
) -> tuple[list[Filling], _Hanging]:
    """The fillings of one run, and what hangs at its end."""
    start, end = pump_span(feed)
    hang = minutes_in(hang_time(orders.policy, feed))
    size, wanted = _container(feed), pump_volume(feed)
    filled: list[Filling] = []
    while True:
        if not filled and _still_good(hanging, start, hang):
            assert hanging is not None
            new, since, rest = False, hanging.since, hanging.rest
        else:
            new, since, rest = True, start, size
        due = since + hang
        emptied = None if rest is None else _after_running(start, _minutes_of(feed, rest), holds)
        if min(due, due if emptied is None else emptied) >= end or wanted <= mL(0):
            filled.append(Filling(start, wanted, new))
            return filled, _Hanging(since, None if rest is None else rest - wanted)
        if emptied is not None and emptied <= due:
            assert rest is not None
            amount, due = rest, emptied
        else:
            amount = _run_of(feed, start, due, holds)
        filled.append(Filling(start, amount, new))
        start, wanted = due, wanted - amount


def _still_good(hanging: _Hanging | None, minute: int, hang: int) -> bool:
    """Whether what hangs from an earlier run of the day may go on: formula that is poured not."""
    return (
        hanging is not None
        and hanging.rest is not None
        and hanging.rest > mL(0)
        and hanging.since <= minute < hanging.since + hang
    )


def refills(orders: DayOrders, feed: Feed, filled: Sequence[Filling]) -> Iterator[Event]:
    """What is hung or poured during a pump run after its start, with how much runs of it."""
    key = orders.key_of(feed)
    for filling in filled[1:]:
        minute, amount = filling.minute, filling.amount
        yield Event(minute, "refill", feed.through, amount, feed=feed, order=key)


def _run_of(feed: Feed, start: int, end: int, holds: list[Window]) -> Quantity:
    assert feed.rate is not None
    held = sum(max(0, min(b, end) - max(a, start)) for a, b in holds)
    return Quantity(feed.rate.to("mL/h").value * Decimal(end - start - held) / 60, "mL")


def set_change_events(orders: DayOrders) -> Iterator[Placed]:
    """A new feeding set of each kind at the first feeding of the day, then as often as is due."""
    change = minutes_in(orders.policy.quantity("set_change"))
    starts = minute_of(read_clock(orders.policy.word("day_starts")))
    for method in ("pump", "gravity"):
        sittings = [
            sitting
            for feed in orders.patient.feeding
            if feed.method == method
            for sitting in sittings_of(feed)
        ]
        sittings.sort(key=lambda sitting: (sitting.start - starts) % A_DAY)
        yield from _changes(sittings, change, starts)


def _changes(sittings: list[Sitting], change: int, day_starts: int) -> Iterator[Placed]:
    due: int | None = None
    for sitting in sittings:
        start = (sitting.start - day_starts) % A_DAY + day_starts
        end = start + sitting.end - sitting.start
        due = start if due is None else max(due, start)
        while start <= due <= end and due < day_starts + A_DAY:
            yield Placed(
                Rank.SET, Event(due, "set-change", sitting.feed.through, feed=sitting.feed)
            )
            due += change
