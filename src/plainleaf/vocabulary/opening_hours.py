"""Days and hours of a line that somebody answers: `Mon-Fri 08:00-16:00; Sat 09:00-12:00`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import time

from plainleaf.vocabulary.dates import read_clock
from plainleaf.vocabulary.errors import UnitError

# FHIR R4 daysOfWeek, in English with a capital; the first day of the week is Monday (ISO 8601).
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
ALWAYS = "always"
_DAY = f"(?:{'|'.join(DAYS)})"
_CLOCK = "(?:[01][0-9]|2[0-3]):[0-5][0-9]"
_PART = rf"{_DAY}(?:-{_DAY})?(?:,{_DAY})* {_CLOCK}-{_CLOCK}"
HOURS_PATTERN = rf"(?:{ALWAYS}|{_PART}(?:; {_PART})*)"


@dataclass(frozen=True)
class OpenSpan:
    """From one clock time to another on some days; an end before its beginning is next morning."""

    days: tuple[str, ...]
    opens: time
    closes: time


@dataclass(frozen=True)
class Hours:
    """When somebody answers: `always`, or the spans of `text`."""

    text: str
    spans: tuple[OpenSpan, ...]

    @property
    def always(self) -> bool:
        """Whether somebody answers at every hour."""
        return self.text == ALWAYS


def read_hours(text: str) -> Hours:
    """Days and hours as they are written.

    Raises:
        UnitError: Written otherwise.

    >>> read_hours("Fri-Mon 22:00-06:00").spans[0].days
    ('Fri', 'Sat', 'Sun', 'Mon')
    """
    if not re.fullmatch(HOURS_PATTERN, text):
        raise UnitError(
            f"'{text}' is not days and hours.", 'Write "Mon-Fri 08:00-16:00", or always.'
        )
    return Hours(text, () if text == ALWAYS else tuple(map(_span, text.split("; "))))


def _span(part: str) -> OpenSpan:
    days, _, clocks = part.partition(" ")
    opens, _, closes = clocks.partition("-")
    named = [day for piece in days.split(",") for day in _days(piece)]
    return OpenSpan(tuple(dict.fromkeys(named)), read_clock(opens), read_clock(closes))


def _days(piece: str) -> tuple[str, ...]:
    """The days from one to another, round the week where it must."""
    first, _, last = piece.partition("-")
    start = DAYS.index(first)
    count = (DAYS.index(last or first) - start) % len(DAYS) + 1
    return tuple(DAYS[(start + n) % len(DAYS)] for n in range(count))
