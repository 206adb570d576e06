"""How often a dose as needed may be given."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from plainleaf.inputs.patient import Medicine
from plainleaf.vocabulary.doses import Dose
from plainleaf.vocabulary.quantities import Quantity, read_number, read_quantity


@dataclass(frozen=True)
class MostNeeded:
    """The most in a time: a number of doses, or an amount."""

    within: Quantity
    doses: Decimal | None
    amount: Dose | None


def most_needed(medicine: Medicine) -> MostNeeded | None:
    """The most of a dose as needed, where the order is of format 2 and says it.

    Its reader has seen `at_most`, so that it is a number, a unit and a time.
    """
    if medicine.at_most is None:
        return None
    most, _, span = medicine.at_most.partition(" in ")
    number, _, unit = most.partition(" ")
    within, many = read_quantity(span, "time span", ("wk",)), read_number(number)
    if unit.startswith("dose"):
        return MostNeeded(within, many, None)
    return MostNeeded(within, None, Dose(many, unit))


def stops_early(medicine: Medicine) -> bool:
    """Whether doses as close as they may stand reach the most before its span is over."""
    most = most_needed(medicine)
    if most is None or medicine.between is None:
        return False
    doses = most.doses
    if doses is None:
        dose: Dose | None = medicine.dose
        assert most.amount is not None
        if dose is None or dose.unit != most.amount.unit:
            return False
        doses = most.amount.value / dose.value
    return most.within.to("min").value / medicine.between.to("min").value > doses
