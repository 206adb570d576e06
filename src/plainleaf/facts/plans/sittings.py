"""Each feeding of a day, from its first minute to its last."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from plainleaf.facts.runs import A_DAY, minute_of, minutes_in, pump_span
from plainleaf.inputs.patient import Feed, Patient


@dataclass(frozen=True)
class Sitting:
    """One feeding of the day; `end` may pass midnight."""

    feed: Feed
    start: int
    end: int

    @property
    def by_pump(self) -> bool:
        """Whether a pump runs, so that what follows stands at its end and not beside it."""
        return self.feed.method == "pump"

    def begins_at(self, minute: int) -> bool:
        """Whether it begins at a minute of the day."""
        return (minute - self.start) % A_DAY == 0

    def just_after(self, minute: int) -> int | None:
        """A minute of the day on the feeding's own count, where it is at its end.

        By syringe or gravity, whose flush is written beside the feeding, the end is any minute
        from its start on.
        """
        first = self.end if self.by_pump else self.start
        later = first + (minute - first) % A_DAY
        return later if later <= self.end else None


def sittings_of(feed: Feed, *, timed: bool = True) -> Iterator[Sitting]:
    """Each feeding of an order.

    Args:
        timed: Whether it matters how long a feeding by gravity takes.
    """
    if feed.method == "pump":
        yield Sitting(feed, *pump_span(feed))
        return
    long = minutes_in(feed.over) if timed and feed.over is not None else 0
    for start in map(minute_of, feed.times):
        yield Sitting(feed, start, start + long)


def all_sittings(patient: Patient) -> list[Sitting]:
    """Every feeding of a day, in the order of the file."""
    return [sitting for feed in patient.feeding for sitting in sittings_of(feed)]
