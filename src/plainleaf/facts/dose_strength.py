"""Whether what stands in brackets beside a dose fits the strength on the label."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from plainleaf.vocabulary.doses import HALF_TABLET, Dose
from plainleaf.vocabulary.quantities import read_number

# How far they may differ by rounding, as a share of what the label gives.
MOST_APART = Decimal("0.02")
_MASS = {"g": Decimal(1000), "mg": Decimal(1), "mcg": Decimal("0.001")}
_LABEL = re.compile(r"(\S+) ([a-zA-Z]+)(?:/(?:(\S+) )?(\S.*))?")
# What one counts, in the plural and in the singular.
_ONE = {"units": "unit", "tablets": "tablet", "capsules": "capsule", "packets": "packet",
        "puffs": "puff", "drops": "drop", "patches": "patch", "sprays": "spray",
        "scoops": "scoop"}  # fmt: skip


@dataclass(frozen=True)
class Strength:
    """So much of the medicine in so much of the form; `of` is None for one piece."""

    amount: Decimal
    unit: str
    of: Decimal
    of_unit: str | None


def read_strength(text: str) -> Strength:
    """A strength as the label says it.

    >>> read_strength("50 mg/5 mL").of
    Decimal('5')
    """
    match = _LABEL.fullmatch(text)
    assert match is not None, text
    return Strength(read_number(match[1]), match[2], read_number(match[3] or "1"), match[4] or None)


def _count(dose: Dose) -> tuple[Decimal, str]:
    """How many of what, in the singular; half a tablet is 0.5."""
    if dose.unit == HALF_TABLET:
        return dose.value / 2, "tablet"
    return dose.value, _ONE.get(dose.unit, dose.unit)


def _in_base(amount: Decimal, unit: str) -> tuple[Decimal, str]:
    return (amount * _MASS[unit], "mg") if unit in _MASS else (amount, _ONE.get(unit, unit))


def labelled(dose: Dose, strength: Strength) -> tuple[Decimal, str] | None:
    """What the label gives for the counted part of a dose; None where it counts something else.

    Of a weight the answer is in mg.
    """
    number, unit = _count(dose)
    counted = strength.of_unit is not None and unit == _ONE.get(strength.of_unit, strength.of_unit)
    piece = strength.of_unit is None and unit not in (*_MASS, "mL", "unit", "mEq", "mmol")
    if not counted and not piece:
        return None
    amount, base = _in_base(strength.amount, strength.unit)
    return amount * number / strength.of, base


def strength_fault(dose: Dose, strength: str) -> str | None:
    """What does not fit, in words, or None; only a dose with brackets is asked.

    >>> from plainleaf.vocabulary.doses import read_dose_and_equal
    >>> strength_fault(read_dose_and_equal("10 mL (100 mg)"), "50 mg/5 mL")
    >>> strength_fault(read_dose_and_equal("10 mL (50 mg)"), "50 mg/5 mL")
    '10 mL of 50 mg/5 mL hold 100 mg, and the dose says 50 mg'
    """
    if dose.equals is None:
        return None
    label = read_strength(strength)
    for counted, bracket in ((dose, dose.equals), (dose.equals, dose)):
        gives = labelled(counted, label)
        if gives is None:
            continue
        amount, unit = _in_base(bracket.value, bracket.unit)
        if unit == gives[1] and abs(amount - gives[0]) <= MOST_APART * gives[0]:
            return None
        return _words(counted, bracket, strength, gives)
    return f"a strength of {strength} does not say what {dose.value:f} {dose.unit} hold"


def _words(counted: Dose, bracket: Dose, strength: str, gives: tuple[Decimal, str]) -> str:
    amount, unit = gives
    if unit == "mg" and bracket.unit in _MASS:
        amount, unit = amount / _MASS[bracket.unit], bracket.unit
    shown = f"{amount:.3f}".rstrip("0").rstrip(".")
    return (
        f"{counted.value:f} {counted.unit} of {strength} hold {shown} {unit}, "
        f"and the dose says {bracket.value:f} {bracket.unit}"
    )
