"""The medicine rules against tests/oracles/medicines.yaml, right and negative."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from builders import findings_with, library, patient_with

CASES = yaml.safe_load(Path(__file__).with_name("medicines.yaml").read_text("utf-8"))["cases"]


def _id(case: dict[str, Any]) -> str:
    return f"{case['name']}-{case['form']}-{case.get('through', 'tube')}-{case.get('base', 'g')}"


@pytest.mark.parametrize("case", CASES, ids=_id)
def test_a_medicine_sets_off_exactly_these_findings(case: dict[str, Any]) -> None:
    base = case.get("base", "g-balloon-syringe")
    ports = patient_with(base=base).tube.ports
    medicine: dict[str, Any] = {
        "name": case["name"],
        "form": case["form"],
        "dose": case.get("dose", "1 tablet"),
        "times": ["09:00"],
        "through": case.get("through", next(p for p, uses in ports.items() if "medicines" in uses)),
        **{key: case[key] for key in ("crush", "prepare") if key in case},
    }
    elsewhere = medicine["through"] == "none"
    if elsewhere:
        del medicine["through"]
    changes = {"medicines": [medicine], "if_feeding_stops": "Call us.", **case.get("change", {})}
    found = [f for f in findings_with(changes, base) if f.subject == case["name"]]
    for level in ("stop", "confirm"):
        # Where a medicine goes that names no port is asked of each.
        asked = ["route-not-said"] if elsewhere and level == "confirm" else []
        expected = sorted([*case.get(level, []), *asked])
        assert sorted(f.id for f in found if f.level == level) == expected
    for finding in found:
        assert "{" not in finding.says + finding.instead


@pytest.mark.parametrize("case", CASES, ids=_id)
def test_each_case_cites_a_known_row(case: dict[str, Any]) -> None:
    assert case["source"] in library().claims
