"""What one day is made of: its orders, and events with their rank among those of their minute."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import IntEnum

from plainleaf.facts.derived import Event
from plainleaf.facts.hold_windows import around_midnight, hold_windows
from plainleaf.facts.runs import A_DAY, pump_span, runs_all_day
from plainleaf.inputs.patient import Feed, Medicine, Patient
from plainleaf.inputs.patient.order_values import Additive, Check
from plainleaf.inputs.policy import Policy
from plainleaf.vocabulary.quantities import Quantity


class Rank(IntEnum):
    """What comes first of the things of one minute.

    A pump that ends or is stopped comes first, then flushes by the clock, medicines, extra water
    and daily flushes, then feedings; a pump that starts again, and a port that drains again, come
    last.
    """

    UNTIMED = -20
    DRAIN = -10
    STOP = 0
    EVERY = 10
    CHECK = 15
    MEDICINE = 20
    ADDITIVE = 25
    WATER = 30
    SET = 35
    FEED = 40
    RESUME = 50
    REOPEN = 60


@dataclass(frozen=True)
class Placed:
    """An event with its rank; `dated`: its order is not for every day, so that an hour after
    midnight is of its own calendar day and not of the printed day before."""

    rank: Rank
    event: Event
    dated: bool = False


@dataclass(frozen=True)
class DayOrders:
    """All that is given on one day.

    `patient` holds only the orders of the day, `source` is the whole file.
    """

    patient: Patient
    policy: Policy
    source: Patient

    @property
    def dated(self) -> bool:
        """Whether the file is of format 2, in which orders have dates."""
        return self.source.format != 1

    @property
    def medicines(self) -> tuple[Medicine, ...]:
        """The medicines of the day."""
        return self.patient.medicines

    def flush(self, minute: int, port: str, key: str, why: str) -> Iterator[Event]:
        """The flush of a key of `water`, where it is ordered."""
        water = self.patient.water
        amount: Quantity | None = getattr(water, key)
        if amount is not None:
            least = getattr(water, f"{key}_least", None) if self.dated else None
            yield Event(minute, "flush", port, amount, why, least=least, order=f"water.{key}")

    def key_of(self, order: Additive | Check | Feed | Medicine) -> str:
        """The key of an order in the file, such as `additives[0]`."""
        if isinstance(order, Additive):
            return f"additives[{self.source.additives.index(order)}]"
        if isinstance(order, Check):
            return f"watch[{_number_of(order, self.source)}]"
        return f"{'feeding' if hasattr(order, 'method') else 'medicines'}[{order.number}]"


def _number_of(check: Check, source: Patient) -> int:
    """The place of a check, which knows its clock times of a day where it comes every few days."""
    return next(
        n
        for n, line in enumerate(source.watch)
        if line == check or (check.every and (line.what, line.next) == (check.what, check.next))
    )


def only_some_days(order: Additive | Check | Feed | Medicine) -> bool:
    """Whether an order has dates, weekdays or an interval."""
    bounds = (order.begins, order.ends, order.days, getattr(order, "every", None))
    return any(bound for bound in bounds)


def pump_runs_at(feed: Feed, minute: int) -> bool:
    """Whether a pump run covers a minute of the day; its first and last minute do not count."""
    if feed.method != "pump":
        return False
    start, end = pump_span(feed)
    return any(start < m < end for m in (minute, minute + A_DAY)) or runs_all_day(feed)


def with_pump_paused(
    orders: DayOrders, given: Iterable[Placed], why: str, minute: int, port: str
) -> Iterator[Placed]:
    """What is given through a port, with the pump paused that runs there at that minute.

    It is started again after the last flush, unless its run begins anew at that minute; where
    feeding is held, it stands still already.
    """
    windows = around_midnight(hold_windows(orders.patient))
    held = any(start <= minute <= end for start, end in windows)
    running = [
        feed
        for feed in orders.patient.feeding
        if not held and feed.through == port and pump_runs_at(feed, minute)
    ]
    placed = list(given)
    dated = any(one.dated for one in placed)
    if running:
        yield Placed(Rank.STOP, Event(minute, "pump-pause", port, why=why), dated)
    yield from placed
    if any((minute - pump_span(feed)[0]) % A_DAY for feed in running):
        yield Placed(Rank.RESUME, Event(minute, "pump-resume", port, why=why), dated)
