"""Doses of medicines as they are written: a number and a unit of a closed list."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.quantities import read_number

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


@dataclass(frozen=True)
class Dose:
    """A dose as written: a number and its unit."""

    value: Decimal
    unit: str


def read_dose(text: str) -> Dose:
    """A dose: a number and a unit of the list.

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
    if unit not in DOSE_UNITS:
        raise UnitError(f"'{text}': the unit '{unit}' is not known.", _EXAMPLE)
    if value <= 0:
        raise UnitError(f"'{text}' is zero.", _EXAMPLE)
    return Dose(value, unit)
