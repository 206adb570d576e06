"""Checks on recipes and powder: whether parts add up to what they make, and who is at risk."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from plainleaf.facts.checks.outcome import amount, check, check_of_2, joined, listed, result
from plainleaf.facts.derived import Checked
from plainleaf.facts.given import Given
from plainleaf.inputs.patient import Formula, Patient
from plainleaf.inputs.patient.order_values import RecipePart
from plainleaf.vocabulary.patient_file.scalars_2 import CARTONS
from plainleaf.vocabulary.quantities import Quantity, mL, total
from plainleaf.vocabulary.terms import WEAK_IMMUNITY

# How much of what it makes the liquids are at the least; powder takes up the rest;
# common practice, no source.
LIQUIDS_AT_LEAST = Decimal("0.9")
# Labels round their energy; common practice, no source.
ENERGY_APART = Decimal("0.05")
# powder-infant: under 2 months.
POWDER_RISK_DAYS = 61


def formulas_of(patient: Patient) -> dict[str, Formula]:
    """The formulas that a recipe may take, by the name that it calls them."""
    return dict(patient.formulas or {})


def takes_powder(formula: Formula, others: Mapping[str, Formula]) -> bool:
    """Whether a formula is powder, or a recipe that takes one."""
    if formula.system == "powder":
        return True
    parts = () if formula.recipe is None else formula.recipe.take
    rest = {name: other for name, other in others.items() if name != formula.entry}
    return any(
        takes_powder(rest[part.of], rest) if part.of in rest else "powder" in part.of
        for part in parts
    )


def _volume(part: RecipePart, others: Mapping[str, Formula]) -> Quantity | None:
    """What one part adds in mL; 0 mL of what is weighed, None where its carton is not known."""
    count, unit = part.amount.count, part.amount.unit
    if unit == "mL":
        return mL(count)
    if unit not in CARTONS:
        return mL(0)
    container = others[part.of].container if part.of in others else None
    return None if container is None else container.to("mL") * count


def _energy(formula: Formula, others: Mapping[str, Formula]) -> Quantity | None:
    """What its labelled parts give together; None unless every part is a labelled formula."""
    assert formula.recipe is not None
    whole = Quantity(Decimal(0), "kcal")
    for part in formula.recipe.take:
        volume = _volume(part, others)
        if part.of not in others or volume is None:
            return None
        whole = whole + others[part.of].energy * volume
    return whole


def _faults(formula: Formula, others: Mapping[str, Formula]) -> Iterator[str]:
    recipe = formula.recipe
    assert recipe is not None
    parts = [_volume(part, others) for part in recipe.take]
    volumes = [volume for volume in parts if volume is not None]
    liquids, makes = total(volumes), recipe.makes.to("mL")
    few = len(volumes) == len(parts) and liquids < makes * LIQUIDS_AT_LEAST
    if liquids > makes or few:
        yield f"liquids of {amount(liquids, 1)}, and it makes {amount(makes, 1)}"
    energy, says = _energy(formula, others), formula.energy * makes
    if energy is not None and abs((energy - says).value) > ENERGY_APART * says.value:
        yield f"parts of {amount(energy)}, and the label gives {amount(says)}"


@check_of_2("what")
def recipe_does_not_fit(given: Given) -> Checked:
    """A recipe whose liquids, or whose energy, do not add up to what it makes."""
    others = formulas_of(given.patient)
    wrong = dict.fromkeys(
        (_key(feed.number, formula), words)
        for feed in given.patient.feeding
        if (formula := feed.formula) is not None and formula.recipe is not None
        for words in _faults(formula, others)
    )
    return listed([(key, f"{key} has {words}") for key, words in wrong])


def _key(number: int, formula: Formula) -> str:
    return f"formulas.{formula.entry}" if formula.entry else f"feeding[{number}].formula"


@check("why")
def powder_risk(given: Given) -> Checked:
    """Powder under 2 months of age, after early birth or with weak immunity (h-cronob)."""
    others = formulas_of(given.patient)
    powder = [f for f in given.patient.feeding if f.formula and takes_powder(f.formula, others)]
    conditions = given.person.conditions
    reasons = [
        words
        for words, holds in (
            ("under 2 months old", Decimal(given.age_days) < POWDER_RISK_DAYS),
            ("born early", "preterm" in conditions),
            ("weak immunity", bool(conditions & WEAK_IMMUNITY)),
        )
        if holds
    ]
    return result(
        bool(powder and reasons),
        [f"feeding[{feed.number}].formula.system" for feed in powder],
        why=joined(reasons),
    )


@check("what")
def powder_without_recipe(given: Given) -> Checked:
    """Powder for a baby, and nothing says how much of it goes into how much water (h-na98)."""
    if given.age_group != "infant":
        return listed([])
    unmixed = {
        f"feeding[{feed.number}].formula": feed.formula.name
        for feed in given.patient.feeding
        if feed.formula and feed.formula.system == "powder" and feed.formula.recipe is None
    }
    return listed(list(unmixed.items()))
