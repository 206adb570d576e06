"""The published criteria for refeeding trouble, row by row."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from builders import ROOT
from folding import each
from yaml_core import read_core

from plainleaf.facts.refeeding import at_risk, body_mass_index, criteria
from plainleaf.vocabulary.quantities import Quantity, read_quantity

ROWS: list[dict[str, Any]] = read_core(
    (ROOT / "tests" / "oracles" / "refeeding.yaml").read_text(encoding="utf-8")
)


def amount(row: dict[str, Any], key: str, kind: str) -> Quantity | None:
    return read_quantity(row[key], kind, ("wk", "mo")) if key in row else None


@each({row["name"]: (row,) for row in ROWS})
def test_row(row: dict[str, Any]) -> None:
    weight, height = amount(row, "weight", "weight"), amount(row, "height", "length")
    met = criteria(
        weight,
        height,
        row.get("loss"),
        amount(row, "little_for", "time span"),
        tuple(row.get("history", ())),
    )
    assert at_risk(met) is row["risk"]
    if weight is not None and height is not None:
        index = body_mass_index(weight, height)
        assert index.quantize(Decimal("0.01")) == Decimal(row["bmi"])
