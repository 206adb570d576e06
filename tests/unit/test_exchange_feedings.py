"""Feeding orders of format 2 in the exchange: steps with dates, doses by pump, additives, plans.

Judges: the models of fhir.resources (R4B), and the orders as they are dictated.
"""

from __future__ import annotations

from typing import Any

import pytest
from format_2 import GROUP_HOME, HOSPICE, INFANT, INSULIN, NAMES, REFEEDING, data_with, patient_of

from plainleaf.inputs.fhir.validate import model_faults
from plainleaf.packet.fhir.context import Making
from plainleaf.packet.fhir.resources import base_parts
from plainleaf.vocabulary.time_zones import zone


def parts(name: str) -> dict[str, Any]:
    """The resources of an order set by name."""
    making = Making(patient_of(data_with(base=name)), zone("America/New_York"), "0123456789")
    return base_parts(making)


@pytest.mark.parametrize("name", NAMES)
def test_the_models_take_every_resource(name: str) -> None:
    assert {n: faults for n, part in parts(name).items() if (faults := model_faults(part))} == {}


def test_each_step_of_a_pump_is_an_administration_with_its_days() -> None:
    """By hand: 2 days from August 12 end on August 13; the last step goes on."""
    runs = parts(REFEEDING)["feeding-0"]["enteralFormula"]["administration"]
    days = [run["schedule"]["repeat"]["boundsPeriod"] for run in runs]
    assert days == [
        {"start": "2026-08-12", "end": "2026-08-13"},
        {"start": "2026-08-14", "end": "2026-08-15"},
        {"start": "2026-08-16", "end": "2026-08-17"},
        {"start": "2026-08-18"},
    ]
    assert [run["rateQuantity"]["value"] for run in runs] == [20, 35, 50, 65]
    # 16 hours of each rate.
    assert [run["quantity"]["value"] for run in runs] == [320, 560, 800, 1040]


def test_a_pump_by_dose_is_a_run_for_each_dose() -> None:
    runs = parts(GROUP_HOME)["feeding-0"]["enteralFormula"]["administration"]
    assert [run["schedule"]["repeat"]["timeOfDay"] for run in runs] == [["08:00:00"], ["17:00:00"]]
    # A carton and a half of 237 mL.
    assert [float(run["quantity"]["value"]) for run in runs] == [355.5, 355.5]


def test_an_additive_is_an_order_of_its_own() -> None:
    order = parts(GROUP_HOME)["additive-0"]["enteralFormula"]
    assert order["additiveType"] == {"text": "protein"}
    assert order["additiveProductName"] == "Protein powder"
    assert order["administration"][0]["schedule"]["repeat"]["timeOfDay"] == ["15:00:00"]


@pytest.mark.parametrize(
    ("name", "code", "says"),
    [
        (HOSPICE, "drainage", "gastric port drains into a bag: 20:00 for 10 h"),
        (INFANT, "venting", "gastric port, by syringe, before each feed, bloating, for 5 min"),
        (INSULIN, "low-sugar", "Below 70 mg/dL: 120 mL apple juice, gastric; again after 15 min"),
        (INSULIN, "feeding-stops", "Off for 30 min: check blood sugar; hold insulin regular"),
    ],
)
def test_plans_are_activities(name: str, code: str, says: str) -> None:
    details = [row["detail"] for row in parts(name)["plan"]["activity"] if "detail" in row]
    by_code = {detail["code"]["coding"][0]["code"]: detail["description"] for detail in details}
    assert by_code[code].startswith(says)
