"""Dates and times of day as they are written."""

from __future__ import annotations

import re
from datetime import date, datetime, time

from plainleaf.vocabulary.errors import UnitError

# Beyond these years a date of a patient file is a slip of the pen.
FIRST_YEAR, LAST_YEAR = 1900, 2100
_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_CLOCK = re.compile(r"([0-9]{2}):([0-9]{2})")
_MOMENT = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})[ T]([0-9]{2}:[0-9]{2})(?::00)?")


def read_date(text: str) -> date:
    """A calendar date, written 2026-03-04.

    >>> read_date("2026-03-04")
    datetime.date(2026, 3, 4)
    """
    match = _DATE.fullmatch(text.strip())
    if match is None:
        raise UnitError(f"'{text}' is not a date.", "Write year-month-day: 2026-03-04.")
    if not FIRST_YEAR <= int(match[1]) <= LAST_YEAR:
        raise UnitError(
            f"'{text}' is not in a year from {FIRST_YEAR} to {LAST_YEAR}.", "Check the year."
        )
    try:
        return date(int(match[1]), int(match[2]), int(match[3]))
    except ValueError:
        raise UnitError(
            f"'{text}' is not a day of the calendar.", "Write year-month-day: 2026-03-04."
        ) from None


def read_clock(text: str) -> time:
    """A time of day on the 24-hour clock, written 18:00.

    >>> read_clock("18:00")
    datetime.time(18, 0)
    """
    match = _CLOCK.fullmatch(text.strip())
    if match is None or int(match[1]) > 23 or int(match[2]) > 59:
        raise UnitError(f"'{text}' is not a time of day.", 'Write 24-hour time: "18:00".')
    return time(int(match[1]), int(match[2]))


def read_moment(text: str) -> datetime:
    """A date with a time of day, written 2026-03-04 10:30.

    >>> read_moment("2026-03-04 10:30")
    datetime.datetime(2026, 3, 4, 10, 30)
    """
    match = _MOMENT.fullmatch(text.strip())
    if match is None:
        raise UnitError(
            f"'{text}' is not a date with a time.", "Write date and time: 2026-03-04 10:30."
        )
    return datetime.combine(read_date(match[1]), read_clock(match[2]))
