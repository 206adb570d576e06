"""When a port drains: by its order, and closed while a feeding runs through the same port.

The short closings of `may_close` are left out: nobody knows when they are, and they change no sum.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from plainleaf.facts.derived import Event
from plainleaf.facts.hold_windows import Window, around_midnight, merged
from plainleaf.facts.plans.day_orders import DayOrders, Placed, Rank
from plainleaf.facts.plans.sittings import all_sittings
from plainleaf.facts.runs import A_DAY, minute_of, minutes_in
from plainleaf.inputs.patient.order_values import Drainage

# All the time, seen from one day: its edges lie outside.
_ALWAYS = (-A_DAY, 2 * A_DAY)


@dataclass(frozen=True)
class Draining:
    """The minutes around one day at which a port drains; `closed`: feedings through it."""

    port: str
    open: tuple[Window, ...]
    closed: tuple[Window, ...]

    def drains(self, port: str, minute: int) -> bool:
        """Whether water that goes into a port at a minute runs out again.

        A port that opens at that minute drains, one that closes then does not; what belongs to a
        feeding stays in.
        """
        minute %= A_DAY
        if port != self.port or any(start <= minute <= end for start, end in self.closed):
            return False
        return any(start <= minute < end for start, end in self.open)


def _ordered(drainage: Drainage) -> list[Window]:
    if not drainage.times or drainage.lasts is None:
        return [_ALWAYS]
    long = minutes_in(drainage.lasts)
    starts = map(minute_of, drainage.times)
    return merged(around_midnight([(start, start + long) for start in starts]))


def _without(windows: list[Window], closed: list[Window]) -> list[Window]:
    """The windows cut where something is closed, be it for a moment."""
    for begins, ends in closed:
        cut: list[Window] = []
        for start, end in windows:
            if ends < start or begins > end:
                cut.append((start, end))
                continue
            cut += [(start, begins)] if start < begins else []
            cut += [(ends, end)] if ends < end else []
        windows = cut
    return windows


def draining_of(orders: DayOrders) -> Draining | None:
    """When the draining port of a day drains; None without one."""
    drainage = orders.patient.drainage if orders.dated else None
    if drainage is None:
        return None
    closed = merged(
        around_midnight(
            [
                (sitting.start, sitting.end)
                for sitting in all_sittings(orders.patient)
                if sitting.feed.through == drainage.through
            ]
        )
    )
    windows = _without(_ordered(drainage), closed)
    return Draining(drainage.through, tuple(windows), tuple(closed))


def drain_events(orders: DayOrders) -> Iterator[Placed]:
    """Opening and closing the draining port; for a feeding it is closed before and opened after."""
    draining = draining_of(orders)
    if draining is None:
        return
    begins = {start for start, _ in draining.closed}
    ends = {end for _, end in draining.closed}
    for start, end in draining.open:
        if 0 <= start < A_DAY:
            rank = Rank.REOPEN if start in ends else Rank.DRAIN
            yield _turned("drain-open", draining.port, start, rank, fed=start in ends)
        if 0 <= end < A_DAY:
            yield _turned("drain-close", draining.port, end, Rank.DRAIN, fed=end in begins)


def _turned(kind: str, port: str, minute: int, rank: Rank, *, fed: bool) -> Placed:
    why = "feed" if fed else ""
    return Placed(rank, Event(minute, kind, port, why=why, order="drainage"))
