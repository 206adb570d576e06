"""The monthly list, computed from the orders.

Only what the orders and the policy's change times settle is counted; anything else is left to
the supply company and the clinic, and the page says so. Row sup-month.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal

from plainleaf.facts.derived import Supply
from plainleaf.facts.given import Given
from plainleaf.facts.runs import pump_volume
from plainleaf.facts.supply_counts import (
    SupplyDays,
    counted_supplies,
    covered_days,
    formula_lines,
)
from plainleaf.inputs.patient import Feed, Formula
from plainleaf.vocabulary.quantities import Quantity, total


def _up(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_CEILING))


def fed_per_day(feed: Feed) -> Quantity:
    """Volume of one feeding order over a day, in mL."""
    if feed.method == "pump":
        return pump_volume(feed)
    assert feed.amount is not None
    return total([feed.amount] * len(feed.times))


def _every(days_covered: int, change: Quantity) -> int:
    return _up(Decimal(days_covered) / change.to("d").value)


def supplies(given: Given) -> tuple[Supply, ...]:
    """The list for a month and the policy's reserve, in print order."""
    if not given.undated:
        return counted_supplies(given)
    patient, policy = given.patient, given.policy
    covered = covered_days(given)
    lines = list(formula_lines(SupplyDays(given)))
    methods = {feed.method for feed in patient.feeding}
    sets = _every(covered, policy.quantity("set_change"))
    if "pump" in methods:
        lines.append(Supply("pump-sets", sets, a_day=_every(1, policy.quantity("set_change"))))
    if "gravity" in methods:
        lines.append(Supply("gravity-sets", sets, a_day=_every(1, policy.quantity("set_change"))))
    lines.append(Supply("syringes", _every(covered, policy.quantity("syringe_change"))))
    return tuple(lines)


# Settings that say how often something is new, or how long what is opened may be used.
_CHANGES = ("set_change", "syringe_change", "hang_closed", "opened_fridge")


def look_at_supplied(given: Given) -> None:
    """Read what the list of a file of format 2 names, and how often it is new; nothing is counted.

    What is fed, when and how much is read with the day.
    """
    patient = given.patient
    for formula in (feed.formula for feed in patient.feeding):
        if formula is not None:
            _ = formula.name, formula.container, formula.system, formula.energy
            _look_at_recipe(formula)
    for additive in patient.additives:
        _ = additive.name, additive.amount
    drainage, overrides = patient.drainage, patient.overrides or {}
    _ = drainage and (drainage.into, drainage.change_bag)
    _ = [medicine.gloves for medicine in patient.medicines]
    _ = [overrides.get(key) for key in ("extension_set_change", "dressing")]
    _ = [given.policy.quantity(name) for name in _CHANGES]


def _look_at_recipe(formula: Formula) -> None:
    recipe = formula.recipe
    if recipe is not None:
        _ = recipe.makes, recipe.fridge, [(part.amount, part.of) for part in recipe.take]
