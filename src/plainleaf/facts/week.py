"""Minutes of a week, counted from Monday 00:00, and who is there at which of them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from datetime import time

from plainleaf.facts.runs import A_DAY, minute_of
from plainleaf.vocabulary.opening_hours import DAYS, Hours

A_WEEK = len(DAYS) * A_DAY
# Start and end in minutes of the week; the end is not of it and may pass Sunday midnight.
WeekSpan = tuple[int, int]


def week_minutes(clocks: Iterable[time], days: Collection[str] = ()) -> frozenset[int]:
    """Every minute of the week that these clock times name; without days, on each day.

    >>> sorted(week_minutes([time(8)], ["Mon", "Tue"]))
    [480, 1920]
    """
    minutes = {minute_of(clock) for clock in clocks}
    on = [n for n, day in enumerate(DAYS) if not days or day in days]
    return frozenset(n * A_DAY + minute for n in on for minute in minutes)


def spans_of(hours: Hours | None) -> tuple[WeekSpan, ...]:
    """When somebody is there; None means always."""
    if hours is None or hours.always:
        return ((0, A_WEEK),)
    spans = []
    for span in hours.spans:
        opens, closes = minute_of(span.opens), minute_of(span.closes)
        long = closes - opens if closes > opens else closes - opens + A_DAY
        spans += [(DAYS.index(d) * A_DAY + opens, DAYS.index(d) * A_DAY + opens + long)
                  for d in span.days]  # fmt: skip
    return tuple(spans)


def is_there(hours: Hours | None, minute: int) -> bool:
    """Whether somebody is there at a minute of the week; the last minute is no longer of it.

    >>> from plainleaf.vocabulary.opening_hours import read_hours
    >>> is_there(read_hours("Sun 19:00-07:00"), 6 * 60)
    True
    """
    minutes = (minute % A_WEEK, minute % A_WEEK + A_WEEK)
    return any(start <= m < end for start, end in spans_of(hours) for m in minutes)


def open_on(hours: Hours | None, day: str) -> bool:
    """Whether somebody is there at any minute of a day of the week."""
    midnight = DAYS.index(day) * A_DAY
    return any(
        start < first + A_DAY and end > first
        for start, end in spans_of(hours)
        for first in (midnight, midnight + A_WEEK)
    )


def gaps(spans: Iterable[WeekSpan]) -> tuple[WeekSpan, ...]:
    """What no span covers, in order; a gap over Sunday midnight is one, and ends after the week.

    >>> gaps([(0, 600), (660, A_WEEK)])
    ((600, 660),)
    """
    within = [(s - shift, e - shift) for s, e in spans for shift in (0, A_WEEK)]
    open_gaps, reached = [], 0
    for start, end in sorted(within):
        if end <= reached:
            continue
        if start > reached:
            open_gaps.append((reached, min(start, A_WEEK)))
        reached = end
        if reached >= A_WEEK:
            break
    if reached < A_WEEK:
        open_gaps.append((reached, A_WEEK))
    if len(open_gaps) > 1 and open_gaps[0][0] == 0 and open_gaps[-1][1] == A_WEEK:
        first = open_gaps.pop(0)
        open_gaps[-1] = (open_gaps[-1][0], A_WEEK + first[1])
    return tuple(open_gaps)


# --- in words ------------------------------------------------------------------------------------


def _clock(minute: int) -> str:
    return time(minute % A_DAY // 60, minute % 60).strftime("%H:%M")


def _days(numbers: Sequence[int]) -> str:
    """Days of the week in a row, a run of three or more by its ends.

    >>> _days([0, 1, 2, 5])
    'Mon-Wed, Sat'
    """
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    shown = [
        f"{DAYS[run[0]]}-{DAYS[run[-1]]}" if len(run) > 2 else ", ".join(DAYS[n] for n in run)
        for run in runs
    ]
    return ", ".join(shown)


def _by_clock(pairs: Iterable[tuple[int, str]]) -> str:
    """Days before each clock time, the days of one time together."""
    days: dict[str, list[int]] = {}
    for minute, words in pairs:
        days.setdefault(words, []).append(minute // A_DAY % len(DAYS))
    return "; ".join(f"{_days(numbers)} {words}" for words, numbers in days.items())


def minute_words(minutes: Iterable[int]) -> str:
    """Minutes of the week in words, those of one clock time together.

    >>> minute_words([450, 1890, 6 * A_DAY])
    'Mon, Tue 07:30; Sun 00:00'
    """
    return _by_clock((minute, _clock(minute)) for minute in sorted(minutes))


def span_words(spans: Iterable[WeekSpan]) -> str:
    """Spans of the week in words, those of one clock time together.

    >>> span_words([(420, 480), (1860, 1920), (3300, 4740)])
    'Mon, Tue 07:00 to 08:00; Wed 07:00 to Thu 07:00'
    """
    every = sorted(spans)
    if any(end - start >= A_WEEK for start, end in every):
        return "at every hour of the week"
    return _by_clock((span[0], _span_words(span)) for span in every)


def _span_words(span: WeekSpan) -> str:
    start, end = span
    next_day = (end - 1) // A_DAY != start // A_DAY
    long = end - start > A_DAY // 2 and next_day
    day = f"{DAYS[end // A_DAY % len(DAYS)]} " if long else ""
    return f"{_clock(start)} to {day}{_clock(end)}"
