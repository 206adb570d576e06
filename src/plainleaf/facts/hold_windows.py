"""Feed holds that medicines ask for, and what they cost a pump run.

A medicine may carry `hold_before` and `hold_after`: the time without feeding around each dose, as
the prescriber or pharmacist set it. What is held is not given unless the rate or the hours change
(row o-hold in tests/oracles).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from plainleaf.facts.runs import A_DAY, minute_of, minutes_in, pump_span
from plainleaf.inputs.patient import Feed, Medicine, Patient
from plainleaf.vocabulary.quantities import Quantity

Window = tuple[int, int]


def _around(medicine: Medicine) -> Iterator[Window]:
    """Start and end of each hold of one medicine, minutes from midnight; may leave the day."""
    before, after = medicine.hold_before, medicine.hold_after
    if before is None and after is None:
        return
    for clock in medicine.times:
        minute = minute_of(clock)
        yield (
            minute - (minutes_in(before) if before else 0),
            minute + (minutes_in(after) if after else 0),
        )


def merged(windows: Iterator[Window] | list[Window]) -> list[Window]:
    """Windows in order, with those that touch made into one.

    >>> merged([(0, 60), (50, 90), (120, 130)])
    [(0, 90), (120, 130)]
    """
    result: list[Window] = []
    for start, end in sorted(windows):
        if result and start <= result[-1][1]:
            result[-1] = (result[-1][0], max(end, result[-1][1]))
        else:
            result.append((start, end))
    return result


def hold_windows(patient: Patient) -> list[Window]:
    """All holds of a day, merged; minutes from midnight, which may leave the day."""
    return merged([window for m in patient.medicines for window in _around(m)])


def around_midnight(windows: list[Window]) -> list[Window]:
    """The windows of a day, of the day before and of the day after: a hold may cross midnight.

    >>> around_midnight([(60, 120)])
    [(-1380, -1320), (60, 120), (1500, 1560)]
    """
    return [(a + day, b + day) for a, b in windows for day in (-A_DAY, 0, A_DAY)]


def holds_of_run(feed: Feed, windows: list[Window]) -> list[Window]:
    """The pieces of one pump run that are held, in minutes on the run's own count."""
    start, end = pump_span(feed)
    pieces = [(max(a, start), min(b, end)) for a, b in around_midnight(windows)]
    return merged([(a, b) for a, b in pieces if a < b])


def with_holds(patient: Patient) -> Patient:
    """The same patient, each pump run knowing how long it is held."""
    windows = hold_windows(patient)
    if not windows:
        return patient
    return replace(patient, feeding=tuple(_held(feed, windows) for feed in patient.feeding))


def _held(feed: Feed, windows: list[Window]) -> Feed:
    """A feeding that knows how long it is held; a pump run of a dose ends so much later."""
    if feed.method != "pump":
        return feed
    held = _minutes_of(holds_of_run(feed, windows))
    if feed.amount is None or feed.runs_for is None:
        return replace(feed, held_minutes=held)
    # Running longer, it may meet another hold.
    longer, counted = feed, 0
    while held > counted:
        counted = held
        longer = replace(feed, runs_for=feed.runs_for + Quantity(Decimal(held), "min"))
        held = _minutes_of(holds_of_run(longer, windows))
    return replace(longer, held_minutes=held)


def _minutes_of(windows: list[Window]) -> int:
    return sum(end - start for start, end in windows)
