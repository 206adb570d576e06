"""Holds the time without feeding that the table names for a medicine against the feeding day.

Asked of format 2 alone. None of them is ever unknown.
"""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.facts.checks.outcome import check_of_2, clock, listed
from plainleaf.facts.derived import Checked, MedicineFacts
from plainleaf.facts.given import Given
from plainleaf.facts.hold_windows import Window, around_midnight, hold_windows, holds_of_run
from plainleaf.facts.runs import minute_of, minutes_in, pump_span
from plainleaf.inputs.content import MedicineRow
from plainleaf.inputs.patient import Feed, Patient


@check_of_2("what")
def feed_gap_short(given: Given) -> Checked:
    """A dose nearer to a feeding, in some plan, than the table names (med-review)."""
    fed = [list(_fed_spans(orders)) for orders in given.dated_orders]
    return listed(
        [
            (f"medicines[{m.medicine.number}].times", words)
            for m in given.by_tube
            for row in m.known.rows_of("feeding")
            for words in dict.fromkeys(w for spans in fed for w in _too_near(m, row, spans))
        ]
    )


def _fed_spans(orders: Patient) -> Iterator[Window]:
    """When formula runs on an ordinary day, without the holds; minutes from midnight."""
    windows = hold_windows(orders)
    for feed in orders.feeding:
        if feed.method == "pump":
            yield from _running(feed, windows)
        else:
            long = minutes_in(feed.over) if feed.over else 0
            yield from ((start, start + long) for start in map(minute_of, feed.times))


def _running(feed: Feed, windows: list[Window]) -> Iterator[Window]:
    """A pump run in the pieces that its holds leave."""
    start, end = pump_span(feed)
    for first, last in holds_of_run(feed, windows):
        yield start, first
        start = last
    yield start, end


def _too_near(facts: MedicineFacts, row: MedicineRow, spans: list[Window]) -> Iterator[str]:
    """Words about each dose with a shorter gap than the row names."""
    for time in facts.medicine.times:
        dose = minute_of(time)
        ends = [dose - end for start, end in around_midnight(spans) if start <= dose]
        starts = [start - dose for start, end in around_midnight(spans) if end > dose]
        since, until = min(ends, default=None), min(starts, default=None)
        near = [
            words
            for gap, asked, words in (
                (since, row.after_feed, "after feeding"),
                (until, row.before_feed, "before feeding"),
            )
            if asked is not None and gap is not None and max(gap, 0) < minutes_in(asked)
            for words in [f"{_minutes(gap)} {words}, not {asked}"]
        ]
        if near:
            yield f"{facts.medicine.name} at {clock(dose)} is {' and '.join(near)}"


def _minutes(gap: int) -> str:
    return f"{max(gap, 0)} min"
