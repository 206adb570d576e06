"""What a printed day adds up to.

The totals are sums over the events and over nothing else, so that they cannot differ from the
schedule on paper. Row numbers: o-water-sum in tests/oracles.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from plainleaf.facts.derived import Event, Totals
from plainleaf.inputs.patient import Water
from plainleaf.vocabulary.quantities import Quantity, mL, total

WATER = "water"


def day_totals(events: Sequence[Event], water: Water, drink: Quantity | None = None) -> Totals:
    """Sums over the printed day; mL and kcal, exact.

    Energy and water of formula are volume times the label's density and share. Home-blended food
    has neither on a label: its volume stands apart and the energy is unknown. Of a range the most
    is counted.

    Args:
        drink: What is drunk each day by order.
    """
    fed = [e for e in events if e.kind in ("feed", "pump-start")]
    formula = [e for e in fed if e.feed is not None and e.feed.formula is not None]
    blended = total([e.amount for e in fed if e not in formula and e.amount is not None])
    kept = [e for e in events if not e.drained]
    in_formula = total([_formula_water(e) for e in formula])
    counted = {
        "flush": _amounts(kept, "flush"),
        "extra_water": _amounts(kept, "extra-water"),
        "mixing": total([mixed(e) for e in kept if e.mix is not None and e.mix.liquid == WATER]),
        "juice": total([mixed(e) for e in kept if e.mix is not None and e.mix.liquid != WATER]),
        "drink": total([drink] if drink is not None else []),
    }
    return Totals(
        formula=total([e.amount for e in formula if e.amount is not None]),
        blended=blended,
        energy=_energy(events, formula) if blended.value == 0 else None,
        water_in_formula=in_formula,
        water=total([in_formula, *counted.values()]),
        goal=water.goal,
        limit=water.limit,
        drained=water_of([e for e in events if e.drained]),
        **counted,
    )


def _amounts(events: Iterable[Event], kind: str) -> Quantity:
    return total([e.amount for e in events if e.kind == kind and e.amount is not None])


def mixed(event: Event) -> Quantity:
    """The liquid that a dose is mixed in; nothing of what stays out of the tube."""
    if event.mix is None or event.mix.amount is None or event.through == "none":
        return mL(0)
    return event.mix.amount.most


def water_of(events: Iterable[Event]) -> Quantity:
    """All water and other liquid of some events but for formula, in mL."""
    return total(
        [
            amount
            for event in events
            for amount in (event.amount, mixed(event))
            if amount is not None and event.kind in ("flush", "extra-water", "medicine", "additive")
        ]
    )


def _formula_water(event: Event) -> Quantity:
    assert event.feed is not None and event.feed.formula is not None and event.amount is not None
    return event.amount.to("mL") * (event.feed.formula.water.value / 100)


def _energy(events: Sequence[Event], fed: Sequence[Event]) -> Quantity:
    whole = Quantity(Decimal(0), "kcal")
    for event in fed:
        assert event.feed is not None and event.feed.formula is not None
        assert event.amount is not None
        whole = whole + event.feed.formula.energy * event.amount
    for event in events:
        if event.additive is not None and event.additive.energy is not None:
            whole = whole + event.additive.energy
    return whole
