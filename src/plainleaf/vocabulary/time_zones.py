"""Time zones by IANA name, from the time zone package alone, so that every machine has the same."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from importlib import resources
from zoneinfo import ZoneInfo

_STEP = timedelta(days=1)
_EXACT = timedelta(seconds=1)


@cache
def zone_names() -> frozenset[str]:
    """Names of places, such as America/New_York; offsets and old short names are no places."""
    names = resources.files("tzdata").joinpath("zones").read_text(encoding="utf-8").split()
    return frozenset(name for name in names if "/" in name and not name.startswith("Etc/"))


@cache
def zone(name: str) -> ZoneInfo:
    """The zone of a name of `zone_names`.

    >>> from datetime import datetime
    >>> datetime(2026, 7, 1, 12, tzinfo=zone("America/New_York")).utcoffset()
    datetime.timedelta(days=-1, seconds=72000)
    """
    assert name in zone_names(), name
    place = resources.files("tzdata").joinpath("zoneinfo", *name.split("/"))
    with place.open("rb") as stream:
        return ZoneInfo.from_file(stream, key=name)


@dataclass(frozen=True)
class Change:
    """A moment at which the clocks of a zone are changed, and what holds after it.

    `wall` is the moment on the clocks that were not yet changed.
    """

    wall: datetime
    before: timedelta
    after: timedelta
    name: str
    summer: bool


def offset_at(zone: ZoneInfo, moment: datetime) -> timedelta:
    """Offset from UTC at a moment that is given in UTC."""
    offset = moment.astimezone(zone).utcoffset()
    assert offset is not None
    return offset


def changes(zone: ZoneInfo, first: datetime, last: datetime) -> Iterator[Change]:
    """Every change of the clocks after one moment in UTC and up to another.

    >>> from datetime import UTC, datetime
    >>> year = (datetime(2026, 1, 1, tzinfo=UTC), datetime(2026, 12, 31, tzinfo=UTC))
    >>> [f"{one.wall} {one.name}" for one in changes(zone("America/New_York"), *year)]
    ['2026-03-08 02:00:00 EDT', '2026-11-01 02:00:00 EST']
    """
    start = first
    while start < last:
        end = min(start + _STEP, last)
        before = offset_at(zone, start)
        if offset_at(zone, end) != before:
            yield _change(zone, _found(zone, start, end), before)
        start = end


def _found(zone: ZoneInfo, start: datetime, end: datetime) -> datetime:
    """The first second with the later offset, by halves."""
    before = offset_at(zone, start)
    while end - start > _EXACT:
        middle = (start + (end - start) / 2).replace(microsecond=0)
        if offset_at(zone, middle) == before:
            start = middle
        else:
            end = middle
    return end


def _change(zone: ZoneInfo, moment: datetime, before: timedelta) -> Change:
    local = moment.astimezone(zone)
    wall = (moment + before).replace(tzinfo=None)
    return Change(wall, before, offset_at(zone, moment), local.tzname() or "", bool(local.dst()))
