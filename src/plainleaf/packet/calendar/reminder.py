"""One reminder for the family's phone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from plainleaf.facts.derived import Phrase

# How long what has no end comes back.
A_YEAR = timedelta(days=365)


@dataclass(frozen=True)
class Reminder:
    """One reminder.

    `key` stays the same from packet to packet, so that a new file moves an entry and does not
    double it. `starts` is clinic-local; a date is for the whole day. `every` with `until` makes it
    come back. `ahead`: how long before the start a phone rings; empty: at the start, by day.
    """

    key: str
    title: Phrase
    starts: datetime | date
    where: str | None = None
    every: timedelta | None = None
    until: date | None = None
    ahead: tuple[timedelta, ...] = ()
