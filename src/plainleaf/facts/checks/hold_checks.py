"""Checks on the holds that medicines ask for around feeding."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from plainleaf.facts.checks.outcome import amount, check, clock, each, joined, number, part, result
from plainleaf.facts.derived import Checked, CheckedPart
from plainleaf.facts.given import Given
from plainleaf.facts.hold_windows import around_midnight, hold_windows
from plainleaf.facts.runs import minute_of, minutes_in, pump_span
from plainleaf.inputs.patient import Feed, Patient
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
    names, keys = _holding(given)
    costs: dict[tuple[tuple[str, str], ...], CheckedPart] = {}
    for orders, plan in zip(given.dated_orders, given.plans, strict=True):
        feeds = [feed for feed in orders.feeding if feed.held_minutes]
        if not feeds:
            continue
        fed = amount(plan.totals.formula + plan.totals.blended)
        cost = part(
            *keys,
            *(f"feeding[{feed.number}]" for feed in feeds),
            about=plan.first.isoformat() if len(given.plans) > 1 else "",
            **_cost(feeds, fed),
            medicines=names,
        )
        costs.setdefault(tuple(cost.details.items()), cost)
    return each(costs.values())


def _cost(feeds: list[Feed], fed: str) -> dict[str, str]:
    """What holds take from pump runs, what is given still, and the rate that would give it all."""
    lost, rates = [], []
    for feed in feeds:
        assert feed.rate is not None and feed.runs_for is not None
        held = Quantity(Decimal(feed.held_minutes), "min")
        lost.append((feed.rate * held).to("mL"))
        running = feed.runs_for - held
        if running.value > 0:
            rates.append(amount((feed.rate * feed.runs_for) / running, 1))
    minutes = sum(feed.held_minutes for feed in feeds)
    return {
        "held": f"{number(Decimal(minutes) / 60, 1)} h",
        "lost": amount(total(lost)),
        "given": fed,
        "rate": joined(rates) or "no rate",
    }


@check("feed", "medicines")
def hold_meets_feed(given: Given) -> Checked:
    """A syringe or gravity feeding, or the start of a pump run, that falls into a hold.

    The printed day starts a run when it is ordered; only an order can move it out of the hold.
    """
    met = list(dict.fromkeys(spot for orders in given.dated_orders for spot in _met(orders)))
    names, keys = _holding(given)
    return result(
        bool(met),
        [*keys, *(f"feeding[{number_}]" for number_, _ in met)],
        feed=joined(feed_time for _, feed_time in met),
        medicines=names,
    )


def _met(orders: Patient) -> Iterator[tuple[int, str]]:
    """Number and clock time of each feeding that falls into a hold."""
    windows = hold_windows(orders)
    for feed in orders.feeding:
        long = minutes_in(feed.over) if feed.over else 0
        for feed_time in feed.times:
            if _meets(minute_of(feed_time), long, windows):
                yield feed.number, clock(minute_of(feed_time))
    for feed in orders.feeding:
        if feed.method == "pump" and _meets(pump_span(feed)[0], 0, windows):
            yield feed.number, clock(pump_span(feed)[0])


def _meets(start: int, long: int, windows: list[tuple[int, int]]) -> bool:
    return any(
        first < start + max(long, 1) and start < last for first, last in around_midnight(windows)
    )
