"""Doses of medicines as they are written: a number and a unit of a closed list."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.quantities import read_number
from plainleaf.vocabulary.written import LATER, Written

HALF_TABLET = "half tablet"
# Units a dose may be counted in; volumes are mL only (row `med-unit`).
DOSE_UNITS = (
    "mL", "mg", "mcg", "g", "unit", "units", "tablet", "tablets", "capsule", "capsules",
    "packet", "packets", "puff", "puffs", "drop", "drops", "patch", "patches", "spray", "sprays",
    "suppository", HALF_TABLET,
)  # fmt: skip
_REFUSED = {
    "cc": "Write mL.",
    "ml": "Write mL with a capital L.",
    "ML": "Write mL.",
    "tsp": "Write mL; household spoons are not a measure.",
    "teaspoon": "Write mL; household spoons are not a measure.",
    "teaspoons": "Write mL; household spoons are not a measure.",
    "tbsp": "Write mL; household spoons are not a measure.",
    "tablespoon": "Write mL; household spoons are not a measure.",
    "U": "Write units.",
    "u": "Write units.",
    "IU": "Write units.",
    "oz": "Write mL.",
    "µg": "Write mcg.",
    "μg": "Write mcg.",
    "ug": "Write mcg.",
}
_EXAMPLE = "Write a number and a unit, such as 5 mL, 1 tablet or 14 units."


# Format 2 counts in these too.
MORE_UNITS = (
    "mEq", "mmol", "scoop", "scoops", "nebule", "pea-size",
)  # fmt: skip


@dataclass(frozen=True, repr=False)
class Dose(Written):
    """A dose as written: a number and its unit; `equals` is what stands beside it in brackets."""

    value: Decimal
    unit: str
    equals: Dose | None = field(default=None, metadata=LATER)


def read_dose(text: str, units: Sequence[str] = DOSE_UNITS) -> Dose:
    """A dose: a number and a unit of a list.

    Raises:
        UnitError: A bare number, a household or refused unit, or no number.

    >>> read_dose("2.5 mL")
    Dose(value=Decimal('2.5'), unit='mL')
    """
    if text.strip() == HALF_TABLET:
        return Dose(Decimal(1), HALF_TABLET)
    match = re.fullmatch(r"([0-9.,]*[0-9])\s*(\S.*)?", text.strip())
    if match is None:
        raise UnitError(f"'{text}' is not a dose.", _EXAMPLE)
    value, unit = read_number(match[1]), match[2]
    if unit is None:
        raise UnitError(f"'{text}' has no unit.", _EXAMPLE)
    if unit in _REFUSED:
        raise UnitError(f"'{text}': the unit '{unit}' is refused.", _REFUSED[unit])
    if unit not in units:
        raise UnitError(f"'{text}': the unit '{unit}' is not known.", _EXAMPLE)
    if value <= 0:
        raise UnitError(f"'{text}' is zero.", _EXAMPLE)
    return Dose(value, unit)


def read_dose_and_equal(text: str) -> Dose:
    """A dose, perhaps with what it equals in brackets.

    Raises:
        UnitError: As `read_dose`.

    >>> read_dose_and_equal("10 mL (100 mg)").equals
    Dose(value=Decimal('100'), unit='mg')
    """
    units = DOSE_UNITS + MORE_UNITS
    whole, bracket, inside = text.partition(" (")
    dose = read_dose(whole, units)
    if not bracket:
        return dose
    if not inside.endswith(")"):
        raise UnitError(f"'{text}' is not a dose.", "Write it as in 10 mL (100 mg).")
    return replace(dose, equals=read_dose(inside[:-1], units))
