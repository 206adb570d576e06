"""Words for one medicine of format 2: dose, strength, and what it is mixed in."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import reduce

from plainleaf.compose.fill.source import SlotSource, say, text_of
from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.inputs.patient import Medicine
from plainleaf.vocabulary.doses import Dose, read_dose_and_equal
from plainleaf.vocabulary.patient_file.scalars_2 import Amounts, Mix
from plainleaf.vocabulary.quantities import Quantity, read_number

_STRENGTH = re.compile(r"(?P<amount>[^/]+?)(?:/(?P<per>[0-9.,]+ )?(?P<unit>[^0-9/]+))?")


def slug(word: str) -> str:
    """A word of a closed list as the end of a phrase's id.

    >>> slug("open and do not crush")
    'open-and-do-not-crush'
    """
    return word.lower().replace(" ", "-")


def in_a_row(values: Sequence[Value]) -> Value:
    """Short things in one line, with the comma of the language between them."""
    return reduce(lambda first, second: say("list-two", first=first, second=second), values)


def ordered_dose(dose: Dose) -> Value:
    """A dose as it is ordered, with what stands in brackets; it is never rounded in print."""
    if dose.equals is None:
        return Typed("dose", dose)
    whole = Typed("dose", Dose(dose.value, dose.unit))
    return say("dose-both", dose=whole, equals=Typed("dose", dose.equals))


def dose_value(medicine: Medicine) -> Value:
    """The dose of a medicine; one of a scale is looked up in its table.

    One in steps that none of them holds has no dose of its own either.
    """
    dose: Dose | None = medicine.dose
    return Phrase("dose-by-table") if dose is None else ordered_dose(dose)


def dose_or_table(source: SlotSource, dose: Dose | None) -> Value:
    """A dose, or the page with the table of one that is looked up."""
    page = source.pages.get("medicines")
    if dose is not None:
        return ordered_dose(dose)
    if page is None:
        return Phrase("dose-by-table")
    return say("dose-by-table-on", page=Typed("count", page))


def small_syringe(source: SlotSource, dose: Dose) -> Iterator[Value]:
    """The syringe of a small dose, for a dose that is below the facility's limit (`med-ldt`)."""
    limit = source.facts.values["small_dose"].value
    assert isinstance(limit, Quantity)
    if dose.unit == "mL" and Quantity(dose.value, "mL") < limit:
        yield Phrase("ready-small-syringe")


def medicine_name(source: SlotSource, medicine: Medicine) -> Value:
    """The name as it is written, with the generic name that a pharmacist said it means."""
    typed = text_of(medicine.name)
    for outcome in source.patient.outcomes:
        if outcome.do == "name-means" and medicine.number in outcome.medicines:
            return say("name-means", typed=typed, generic=text_of(str(outcome.fields["name"])))
    return typed


def strength_value(strength: str) -> Value:
    """A strength as on the label: 5 mg in 5 mL, 25 mcg an hour, 100 mg."""
    match = _STRENGTH.fullmatch(strength)
    assert match is not None, strength
    amount = Typed("strength", read_dose_and_equal(match["amount"]))
    unit = match["unit"]
    if unit is None:
        return amount
    number = (match["per"] or "1").strip()
    if unit == "h":
        if number == "1":
            return say("strength-an-hour", amount=amount)
        return say("strength-hours", amount=amount, count=Typed("count", int(read_number(number))))
    return say(
        "strength-in", amount=amount, whole=Typed("strength", Dose(read_number(number), unit))
    )


def _millilitres(amounts: Amounts) -> Value:
    most = Typed("dose-volume", amounts.most)
    if amounts.least == amounts.most:
        return most
    return say("volume-range", low=Typed("dose-volume", amounts.least), high=most)


def mix_value(mix: Mix) -> Value:
    """What something is mixed in: so much of a liquid, or a soft food."""
    liquid = Phrase(f"mix-{slug(mix.liquid)}")
    if mix.amount is None:
        return liquid
    return say("mix-amount", amount=_millilitres(mix.amount), liquid=liquid)
