"""The medicine list of a patient file."""

from __future__ import annotations

import re
from decimal import Decimal

from plainleaf.inputs.patient.records import Dose, Medicine
from plainleaf.inputs.patient.values import amount_of, must, times_of
from plainleaf.inputs.strict_yaml import Reader
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.quantities import read_number

AS_NEEDED = "as needed"
# Units a dose may be counted in; volumes are mL only (row `med-unit`).
DOSE_UNITS = (
    "mL", "mg", "mcg", "g", "unit", "units", "tablet", "tablets", "capsule", "capsules",
    "packet", "packets", "puff", "puffs", "drop", "drops", "patch", "patches", "spray", "sprays",
    "suppository", "half tablet",
)  # fmt: skip
_DOSE_REFUSED = {
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


def read_dose(text: str) -> Dose:
    """A dose: a number and a unit of the list.

    Raises:
        UnitError: A bare number, a household or refused unit, or no number.

    >>> read_dose("2.5 mL")
    Dose(value=Decimal('2.5'), unit='mL')
    """
    example = "Write a number and a unit, such as 5 mL, 1 tablet or 14 units."
    if text.strip() == "half tablet":
        return Dose(Decimal(1), "half tablet")
    match = re.fullmatch(r"([0-9.,]*[0-9])\s*(\S.*)?", text.strip())
    if match is None:
        raise UnitError(f"'{text}' is not a dose.", example)
    value, unit = read_number(match[1]), match[2]
    if unit is None:
        raise UnitError(f"'{text}' has no unit.", example)
    if unit in _DOSE_REFUSED:
        raise UnitError(f"'{text}': the unit '{unit}' is refused.", _DOSE_REFUSED[unit])
    if unit not in DOSE_UNITS:
        raise UnitError(f"'{text}': the unit '{unit}' is not known.", example)
    if value <= 0:
        raise UnitError(f"'{text}' is zero.", example)
    return Dose(value, unit)


def read_medicine(reader: Reader, number: int) -> Medicine:
    """One medicine of the list."""
    as_needed = _is_as_needed(reader)
    return Medicine(
        number=number,
        name=must(reader.text("name", required=True, longest=60)),
        form=must(reader.text("form", required=True, longest=60)),
        dose=must(reader.convert("dose", read_dose, required=True)),
        times=() if as_needed else times_of(reader, "times", required=True),
        as_needed=as_needed,
        through=reader.choice("through", terms.PORTS),
        crush=reader.choice("crush", ("pharmacist-approved", "never")),
        prepare=reader.text("prepare", longest=200),
        reason=reader.text("for", longest=60),
        at_most=reader.text("at_most", longest=60),
        hold_before=amount_of(reader, "hold_before", "time span"),
        hold_after=amount_of(reader, "hold_after", "time span"),
    )


def _is_as_needed(reader: Reader) -> bool:
    node = reader.get("times")
    if node is None or not isinstance(node.value, str):
        return False
    if node.value != AS_NEEDED:
        reader.note(
            node, f"{reader.name('times')}: '{node.value}'.", 'Write ["09:00"] or as needed.'
        )
    return True
