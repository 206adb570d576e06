"""Amounts as numbers of a record."""

from __future__ import annotations

from plainleaf.vocabulary.quantities import Quantity


def exact(amount: Quantity | None, unit: str = "mL") -> int | float | None:
    """A number for JSON: whole where it is whole, None where there is none."""
    if amount is None:
        return None
    value = amount.to(unit).value
    return int(value) if value == value.to_integral_value() else float(value)
