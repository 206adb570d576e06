"""The recipes of what is mixed at home: what goes in and in which order, and how long it keeps."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource, formula_text, say, text_of, volume_of
from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.facts.feed_words import portion_phrase
from plainleaf.inputs.patient import Dose, Formula
from plainleaf.inputs.patient.order_values import Recipe, RecipePart
from plainleaf.vocabulary.patient_file.scalars_2 import CARTONS, Ingredient, Portion
from plainleaf.vocabulary.quantities import Quantity

Row = tuple[Cell, Cell]
_SPOONS = ("tsp", "scoop", "scoops")


def mixed_formulas(source: SlotSource) -> list[Formula]:
    """What is mixed by a recipe of the file, each once; what a recipe takes stands before it."""
    found: list[Formula] = []
    for feed in source.patient.feeding:
        if feed.formula is not None:
            for formula in _with_parts(source, feed.formula, ()):
                if formula not in found:
                    found.append(formula)
    return found


def _with_parts(source: SlotSource, formula: Formula, above: tuple[str, ...]) -> Iterator[Formula]:
    if formula.recipe is None:
        return
    others = source.patient.formulas or {}
    for part in formula.recipe.take:
        if part.of in others and part.of not in above:
            yield from _with_parts(source, others[part.of], (*above, part.of))
    yield formula


def recipe_table(source: SlotSource) -> FilledBlock:
    """Each recipe: what to measure in which order, what it makes, and how long it keeps."""
    rows = [row for formula in mixed_formulas(source) for row in _rows(source, formula)]
    return FilledBlock("recipe_table", "table", ("head-what", "head-how"), tuple(rows))


def _rows(source: SlotSource, formula: Formula) -> Iterator[Row]:
    recipe = formula.recipe
    assert recipe is not None
    yield _row("recipe-name", formula_text(formula.name, formula.energy))
    for number, part in enumerate(recipe.take):
        yield (Phrase("recipe-next" if number else "recipe-first"),), _part(source, part)
    yield _row("recipe-mix", Phrase("recipe-mix-how"))
    yield _row("recipe-makes", volume_of(recipe.makes))
    yield from _keeps(recipe)
    by = say("recipe-by-on", name=text_of(recipe.by), date=Typed("day-of-year", recipe.on))
    yield _row("recipe-by", by)


def _keeps(recipe: Recipe) -> Iterator[Row]:
    yield _row("recipe-fridge", say("recipe-keeps", span=Typed("span", recipe.fridge)))
    if recipe.breast_milk_fridge is not None:
        keeps = say("recipe-milk-keeps", span=Typed("span", recipe.breast_milk_fridge))
        yield _row("recipe-milk-fridge", keeps)
    yield _row("recipe-hang", say("recipe-hangs", span=Typed("span", recipe.hang)))


def _row(label: str, value: Value) -> Row:
    return (Phrase(label),), (value,)


def _part(source: SlotSource, part: RecipePart) -> Cell:
    words = say("recipe-part", amount=_amount(source, part), what=_what(source, part.of))
    return (words, Phrase("recipe-level")) if part.amount.unit in _SPOONS else (words,)


def _amount(source: SlotSource, part: RecipePart) -> Typed | Phrase:
    amount = part.amount
    if amount.unit == "mL":
        return volume_of(Quantity(amount.count, "mL"))
    if amount.unit in CARTONS:
        return _cartons(source, part)
    counted = Typed("dose", Dose(amount.count, amount.unit))
    return counted if amount.weight is None else _weighed(counted, amount)


def _weighed(counted: Typed, amount: Ingredient) -> Phrase:
    assert amount.weight is not None
    grams = Typed("dose", Dose(amount.weight.to("g").value, "g"))
    return say("recipe-weighed", amount=counted, weight=grams)


def _cartons(source: SlotSource, part: RecipePart) -> Typed | Phrase:
    amount = part.amount
    formula = (source.patient.formulas or {}).get(part.of)
    if formula is None or formula.container is None:
        return Typed("dose", Dose(amount.count, amount.unit))
    volume = formula.container.to("mL") * amount.count
    return portion_phrase(Portion(amount.count, amount.unit), volume)


def _what(source: SlotSource, what: str) -> Typed | Phrase:
    """A part in words: another formula by its name, water by the kind that was decided."""
    formula = (source.patient.formulas or {}).get(what)
    if formula is not None:
        return formula_text(formula.name, formula.energy)
    kinds = [
        str(outcome.fields["water"])
        for outcome in source.patient.outcomes
        if outcome.do == "clean-mixing" and outcome.fields.get("water")
    ]
    if what == "water" and kinds:
        return Phrase(f"of-{kinds[0]}-water")
    return Phrase(f"of-{what.replace(' ', '-')}")
