"""The checks' arithmetic against tests/oracles/amounts.yaml, right and negative."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml
from builders import facts_with

from plainleaf.facts.checks.water_sum_checks import holliday_segar
from plainleaf.vocabulary.quantities import mL

ORACLES = yaml.safe_load(Path(__file__).with_name("amounts.yaml").read_text("utf-8"))
YES = {"yes": True, "no": False}


@pytest.mark.parametrize("case", ORACLES["holliday_segar"], ids=lambda case: f"{case['kg']} kg")
def test_holliday_segar(case: dict[str, str]) -> None:
    figure = holliday_segar(Decimal(case["kg"]))
    assert figure == mL(case["is"])
    assert "never" not in case or figure != mL(case["never"])


@pytest.mark.parametrize("case", ORACLES["water_of_a_day"], ids=lambda case: case["name"])
def test_water_of_a_day(case: dict[str, Any]) -> None:
    water = facts_with(case["change"]).totals.water
    assert water == mL(case["water"])
    assert water != mL(case["never"])


@pytest.mark.parametrize("case", ORACLES["daily_total"], ids=lambda case: case["total"])
def test_daily_total(case: dict[str, str]) -> None:
    changes = {
        "feeding.0.rate": case["rate"],
        "feeding.0.runs_for": case["runs_for"],
        "feeding.0.daily_total": case["total"],
    }
    check = facts_with(changes, "gj-pump-overnight").checks["daily_total_differs"]
    assert check.answer is YES[case["differs"]]


@pytest.mark.parametrize("case", ORACLES["closed_container"], ids=lambda case: case["rate"])
def test_closed_container(case: dict[str, str]) -> None:
    changes = {
        "feeding.0.formula.container": case["container"],
        "feeding.0.rate": case["rate"],
    }
    check = facts_with(changes, "j-surgical-continuous").checks["closed_hangs_too_long"]
    assert check.answer is YES[case["too_long"]]
