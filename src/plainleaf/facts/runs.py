"""Minutes of a day, and pump runs on them."""

from __future__ import annotations

from datetime import time
from decimal import Decimal

from plainleaf.inputs.patient import Feed
from plainleaf.vocabulary.quantities import Quantity

A_DAY = 1440


def minute_of(clock: time) -> int:
    """Minutes since midnight.

    >>> minute_of(time(18, 30))
    1110
    """
    return clock.hour * 60 + clock.minute


def minutes_in(quantity: Quantity) -> int:
    """A time span in whole minutes, rounded to the nearest; pumps and clocks show no seconds.

    >>> minutes_in(Quantity(Decimal("1.5"), "h"))
    90
    """
    return int(quantity.to("min").value.to_integral_value())


def pump_volume(feed: Feed) -> Quantity:
    """Rate times hours of one pump run without the time it is held, in mL; of a dose, the dose.

    Row o-cyc: 75 mL/h for 12 h is 900 mL; row o-hold: 75 mL/h with 8 h held is 600 mL less.
    """
    if feed.amount is not None:
        return feed.amount.to("mL")
    assert feed.rate is not None and feed.runs_for is not None
    running = feed.runs_for - Quantity(Decimal(feed.held_minutes), "min")
    return (feed.rate * running).to("mL")


def pump_span(feed: Feed) -> tuple[int, int]:
    """Start and end of one pump run, in minutes from midnight; the end may pass midnight."""
    assert feed.starts is not None and feed.runs_for is not None
    start = minute_of(feed.starts)
    return start, start + minutes_in(feed.runs_for)


def runs_all_day(feed: Feed) -> bool:
    """A pump run of 24 hours; a pump that gives an amount at set times has none."""
    if feed.starts is None or feed.runs_for is None:
        return False
    start, end = pump_span(feed)
    return end - start == A_DAY
