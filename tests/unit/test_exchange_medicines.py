"""Medicines of format 2 in the exchange, as the table of the contract says.

Judges: the models of fhir.resources (R4B), and the orders as they are dictated.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from format_2 import HOSPICE, INSULIN, NAMES, RESTING, data_with, patient_of

from plainleaf.inputs.fhir.codes import OWN, extensions_of
from plainleaf.inputs.fhir.validate import model_faults
from plainleaf.packet.fhir.context import Making
from plainleaf.packet.fhir.medicines import medication_request
from plainleaf.vocabulary.time_zones import zone


def requests(name: str, changes: dict[str, Any] | None = None) -> dict[str, list[Any]]:
    """The requests of an order set by the name of the medicine."""
    patient = patient_of(data_with(changes, base=name))
    making = Making(patient, zone("America/New_York"), "0123456789")
    found: dict[str, list[Any]] = {}
    for medicine in patient.medicines:
        found.setdefault(medicine.name, []).append(medication_request(making, medicine))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_the_models_take_every_medicine(name: str) -> None:
    for made in requests(name).values():
        assert [model_faults(request) for request in made] == [[] for _ in made]


def test_steps_are_dosages_in_sequence_with_their_days() -> None:
    """By hand: 5 days from June 6 end on June 10, 5 more on June 15."""
    (request,) = requests(INSULIN)["dexamethasone"]
    steps = [
        (
            dosage["sequence"],
            dosage["timing"]["repeat"]["boundsPeriod"],
            dosage["doseAndRate"][0]["doseQuantity"]["value"],
        )
        for dosage in request["dosageInstruction"]
    ]
    assert steps == [
        (1, {"start": "2026-06-06", "end": "2026-06-10"}, 4),
        (2, {"start": "2026-06-11", "end": "2026-06-15"}, 2),
        (3, {"start": "2026-06-16"}, 1),
    ]
    (equals,) = request["dosageInstruction"][0]["doseAndRate"][0]["extension"]
    assert equals["valueQuantity"]["code"] == "mg" and equals["valueQuantity"]["value"] == 4


def test_a_scale_is_text_and_a_line_each() -> None:
    (request,) = requests(INSULIN)["insulin regular"]
    (dosage,) = request["dosageInstruction"]
    assert dosage["timing"]["repeat"] == {"when": ["AC"]}
    assert "340 mg/dL or more: 9 units, then call after_hours" in dosage["text"]
    assert [line["url"] for line in dosage["extension"]] == [f"{OWN}/scale-line"] * 6
    assert "doseAndRate" not in dosage


def test_days_and_every_so_often() -> None:
    found = requests(INSULIN)
    weekly = found["methotrexate"][0]["dosageInstruction"][0]["timing"]["repeat"]
    assert weekly == {"timeOfDay": ["10:00:00"], "dayOfWeek": ["thu"]}
    patch = found["clonidine"][0]["dosageInstruction"][0]
    assert patch["timing"]["repeat"] == {
        "boundsPeriod": {"start": "2026-06-09"}, "timeOfDay": ["09:00:00"],
        "frequency": 1, "period": Decimal(7), "periodUnit": "d",
    }  # fmt: skip
    assert patch["site"] == {"text": "upper arm"}
    assert patch["doseAndRate"][0]["doseQuantity"]["code"] == "{patch}"


def test_a_dose_as_needed_says_for_what_and_the_most() -> None:
    _, needed = requests(HOSPICE)["morphine"]
    (dosage,) = needed["dosageInstruction"]
    assert dosage["asNeededCodeableConcept"] == {"text": "pain, breathlessness"}
    most = dosage["maxDosePerPeriod"]
    assert (most["numerator"]["value"], most["numerator"]["code"]) == (6, "{dose}")
    assert (most["denominator"]["value"], most["denominator"]["code"]) == (24, "h")
    assert extensions_of(needed)["least-time-between"]["value"] == 2


@pytest.mark.parametrize(
    ("route", "code"),
    [
        ("mouth", "26643006"),
        ("injection", "34206005"),
        ("rectal", "37161004"),
        ("skin", "6064005"),
        ("ear", "10547007"),
    ],
)
def test_routes_have_the_codes_that_were_seen(route: str, code: str) -> None:
    iron = requests(RESTING, {"medicines.0.route": route})["iron"][0]
    found = iron["dosageInstruction"][0]["route"]
    assert found["text"] == route
    assert [coding["code"] for coding in found["coding"]] == [code]


@pytest.mark.parametrize("route", ["under tongue", "cheek", "nose", "vein line"])
def test_other_routes_are_words_alone(route: str) -> None:
    iron = requests(RESTING, {"medicines.0.route": route})["iron"][0]
    assert iron["dosageInstruction"][0]["route"] == {"text": route}


def test_a_port_is_named_and_what_r4_has_no_field_for_stands_beside() -> None:
    found = requests(INSULIN)
    folic = found["folic acid"][0]
    assert folic["dosageInstruction"][0]["route"] == {"text": "gastric port of the feeding tube"}
    notes = extensions_of(folic)
    assert (notes["form"], notes["prepare"], notes["mixed-in"]) == ("tablet", "crush", "water")
    assert notes["mixed-in-amount"]["value"] == 15
    assert extensions_of(found["methotrexate"][0])["gloves"] is True
    assert folic["requester"] == {"display": "B. Quist, MD"}


def test_units_of_insulin_have_no_code_and_half_a_tablet_is_a_half() -> None:
    (pen,) = requests(INSULIN)["insulin glargine"][0]["dosageInstruction"]
    assert pen["doseAndRate"][0]["doseQuantity"] == {"value": 16, "unit": "units"}
    half = requests(RESTING, {"medicines.0.dose": "half tablet"})["iron"][0]
    amount = half["dosageInstruction"][0]["doseAndRate"][0]["doseQuantity"]
    assert (amount["value"], amount["code"]) == (Decimal("0.5"), "{tablet}")
