"""Checks on the holds that medicines ask for around feeding."""

from __future__ import annotations

from decimal import Decimal

from plainleaf.facts.checks.outcome import amount, check, clock, joined, number, result
from plainleaf.facts.derived import Checked
from plainleaf.facts.given import Given
from plainleaf.facts.hold_windows import around_midnight, hold_windows
from plainleaf.facts.runs import minute_of, minutes_in, pump_span
from plainleaf.vocabulary.quantities import Quantity, total


def _holding(given: Given) -> tuple[str, list[str]]:
    """Names of the medicines that hold feeding, and their keys."""
    held = [m for m in given.patient.medicines if m.hold_before or m.hold_after]
    return joined(m.name for m in held), [f"medicines[{m.number}]" for m in held]


@check("held", "lost", "given", "rate", "medicines")
def hold_costs_feed(given: Given) -> Checked:
    """Medicines hold a pump run: what is lost, and the rate that would give it all.

    Row o-hold: 75 mL/h all day, twice 2 h before and 2 h after: 8 h held, 600 mL lost, 112.5 mL/h.
    """
    feeds = [feed for feed in given.patient.feeding if feed.held_minutes]
    if not feeds:
        return result(False)
    names, keys = _holding(given)
    minutes = sum(feed.held_minutes for feed in feeds)
    lost, rates = [], []
    for feed in feeds:
        assert feed.rate is not None and feed.runs_for is not None
        held = Quantity(Decimal(feed.held_minutes), "min")
        lost.append((feed.rate * held).to("mL"))
        running = feed.runs_for - held
        if running.value > 0:
            rates.append(amount((feed.rate * feed.runs_for) / running, 1))
    return result(
        True,
        [*keys, *(f"feeding[{feed.number}]" for feed in feeds)],
        held=f"{number(Decimal(minutes) / 60, 1)} h",
        lost=amount(total(lost)),
        given=amount(given.totals.formula + given.totals.blended),
        rate=joined(rates) or "no rate",
        medicines=names,
    )


@check("feed", "medicines")
def hold_meets_feed(given: Given) -> Checked:
    """A syringe or gravity feeding, or the start of a pump run, that falls into a hold.

    The printed day starts a run when it is ordered; only an order can move it out of the hold.
    """
    windows = hold_windows(given.patient)
    met = [
        (feed.number, clock(minute_of(feed_time)))
        for feed in given.patient.feeding
        for feed_time in feed.times
        if _meets(minute_of(feed_time), minutes_in(feed.over) if feed.over else 0, windows)
    ]
    met += [
        (feed.number, clock(pump_span(feed)[0]))
        for feed in given.patient.feeding
        if feed.method == "pump" and _meets(pump_span(feed)[0], 0, windows)
    ]
    names, keys = _holding(given)
    return result(
        bool(met),
        [*keys, *(f"feeding[{number_}]" for number_, _ in met)],
        feed=joined(feed_time for _, feed_time in met),
        medicines=names,
    )


def _meets(start: int, long: int, windows: list[tuple[int, int]]) -> bool:
    return any(
        first < start + max(long, 1) and start < last for first, last in around_midnight(windows)
    )
