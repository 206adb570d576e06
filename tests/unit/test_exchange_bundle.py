"""Our bundle: models, invariants of the standard, references, codes, nothing left to chance.

Judges: the models of fhir.resources (R4B), fhirpathpy for the invariants of FHIR R4 (those of the
types used here, restated from memory by their keys), pint-free figures of the example files.
"""

from __future__ import annotations

import json
import re
from base64 import b64decode
from dataclasses import replace
from datetime import datetime
from functools import cache
from hashlib import sha1
from typing import Any

import pytest
from bundles import packet_bundle, packet_decision
from fhir.resources.R4B.bundle import Bundle
from fhirpathpy import evaluate
from fhirpathpy.models import models
from packets import NAMES

from plainleaf.inputs.fhir.validate import CODES, faults_of, named, references
from plainleaf.inputs.load_inputs import Replaced
from plainleaf.packet.fhir.bundle import Document, bundle_for, dumped
from plainleaf.vocabulary.errors import CheckError

PDF = b"%PDF-1.7 some pages"
HANDOUT = Document("handout.pdf", PDF, "Your feeding tube at home", "en", False)


@cache
def made(name: str) -> Any:
    """The bundle of an example with its handout, as data."""
    return packet_bundle(packet_decision(name), HANDOUT)


def of(bundle: Any, kind: str) -> list[Any]:
    """Every resource of a type."""
    return [resource for _, resource in named(bundle) if resource["resourceType"] == kind]


# Key of the invariant → FHIRPath over the bundle that must be true.
INVARIANTS = {
    "bdl-1": "total.empty()",
    "bdl-5": "entry.all(resource.exists())",
    "bdl-7": "entry.fullUrl.isDistinct()",
    "bdl-8": "entry.fullUrl.all(contains('/_history/').not())",
    "nor-1": "descendants().where(resourceType = 'NutritionOrder').all(enteralFormula.exists())",
    "cpl-3": "descendants().where(resourceType = 'CarePlan').activity"
    ".all(detail.empty() or reference.empty())",
    "tim-1": "descendants().select(repeat).all(duration.empty() or durationUnit.exists())",
    "tim-2": "descendants().select(repeat).all(period.empty() or periodUnit.exists())",
    "tim-4": "descendants().select(repeat).all(duration.empty() or duration >= 0)",
    "tim-5": "descendants().select(repeat).all(period.empty() or period >= 0)",
    "tim-10": "descendants().select(repeat).all(timeOfDay.empty() or when.empty())",
    "qty-3": "descendants().where(value.exists() and code.exists()).all(system.exists())",
    "cpt-2": "descendants().select(telecom).all(value.empty() or system.exists())",
    "att-1": "descendants().select(attachment).all(data.empty() or contentType.exists())",
}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("key", INVARIANTS)
def test_invariants_of_the_standard_hold(key: str, name: str) -> None:
    assert evaluate(made(name), INVARIANTS[key], {}, models["r4"]) == [True]


def test_the_invariants_can_fail() -> None:
    broken = json.loads(json.dumps(made("g-balloon-syringe")))
    order = of(broken, "NutritionOrder")[0]
    order["enteralFormula"]["administration"][0]["schedule"]["repeat"]["duration"] = 3
    assert evaluate(broken, INVARIANTS["tim-1"], {}, models["r4"]) == [False]
    del order["enteralFormula"]
    assert evaluate(broken, INVARIANTS["nor-1"], {}, models["r4"]) == [False]


@pytest.mark.parametrize("name", NAMES)
def test_each_extension_holds_one_value(name: str) -> None:
    """ext-1: either a value or further extensions."""
    found = [
        one
        for order in of(made(name), "NutritionOrder")
        for one in order["enteralFormula"]["extension"]
    ]
    assert found
    for one in found:
        assert len([key for key in one if key.startswith("value")]) == 1
        assert "extension" not in one


@pytest.mark.parametrize("name", NAMES)
def test_the_models_take_it_and_every_reference_leads_somewhere(name: str) -> None:
    bundle = made(name)
    assert faults_of(bundle) == []
    Bundle.model_validate(bundle)
    addresses = {entry["fullUrl"] for entry in bundle["entry"]}
    targets = set(references(bundle))
    assert targets
    assert targets <= addresses
    for entry in bundle["entry"]:
        assert entry["fullUrl"] == f"urn:uuid:{entry['resource']['id']}"


@pytest.mark.parametrize("name", NAMES)
def test_statuses_are_of_the_closed_lists_and_units_are_ucum(name: str) -> None:
    bundle = made(name)
    for resource in (entry["resource"] for entry in bundle["entry"]):
        for (kind, field), allowed in CODES.items():
            if resource["resourceType"] == kind and field in resource:
                assert resource[field] in allowed
    codes = {unit for unit in re.findall(r'"code": "([^"]+)"', json.dumps(_quantities(bundle)))}
    assert codes <= {"mL", "mL/h", "kcal/mL", "%", "[Ch]", "cm", "mm", "1"}
    assert "cal/mL" not in codes


def _quantities(value: Any) -> list[Any]:
    if isinstance(value, dict):
        inner = [found for one in value.values() for found in _quantities(one)]
        return [value, *inner] if "value" in value and "code" in value else inner
    if isinstance(value, list):
        return [found for one in value for found in _quantities(one)]
    return []


def test_the_orders_are_those_of_the_file() -> None:
    """gj-pump-overnight: 75 mL/h from 18:00 for 12 h is 900 mL (row o-cyc)."""
    (order,) = of(made("gj-pump-overnight"), "NutritionOrder")
    assert (order["status"], order["intent"]) == ("active", "order")
    formula = order["enteralFormula"]
    (given,) = formula["administration"]
    assert given["schedule"]["repeat"] == {
        "timeOfDay": ["18:00:00"], "duration": 12, "durationUnit": "h"
    }  # fmt: skip
    assert (given["rateQuantity"]["value"], given["rateQuantity"]["code"]) == (75, "mL/h")
    assert (given["quantity"]["value"], given["quantity"]["code"]) == (900, "mL")
    assert (formula["caloricDensity"]["value"], formula["caloricDensity"]["code"]) == (
        1.5, "kcal/mL"
    )  # fmt: skip
    # R4 spells this field with a small o (row FH-05)
    assert formula["routeofAdministration"]["coding"][0]["code"] == "GJT"


@pytest.mark.parametrize(
    ("name", "route"),
    [("g-balloon-syringe", "GT"), ("gj-pump-overnight", "GJT"), ("j-surgical-continuous",
                                                                "JJTINSTL")],
)  # fmt: skip
def test_routes_are_those_of_the_standard(name: str, route: str) -> None:
    """Row FH-06."""
    for order in of(made(name), "NutritionOrder"):
        (coding,) = order["enteralFormula"]["routeofAdministration"]["coding"]
        assert coding["code"] == route


def test_the_handout_is_told_of_by_name_size_and_hash() -> None:
    (document,) = of(made("g-balloon-syringe"), "DocumentReference")
    attachment = document["content"][0]["attachment"]
    assert attachment["url"] == "handout.pdf"
    assert attachment["size"] == len(PDF)
    assert b64decode(attachment["hash"]) == sha1(PDF).digest()
    assert document["docStatus"] == "preliminary"
    assert document["identifier"][0]["value"] == "0123456789"


def test_what_it_replaces_is_named_by_its_version() -> None:
    earlier = Replaced("9876543210", datetime(2026, 3, 4, 9), "a" * 64)
    first = packet_decision()
    decision = replace(first, inputs=replace(first.inputs, replaces=earlier))
    data = json.loads(bundle_for(decision, "0123456789", [HANDOUT]))
    (document,) = of(data, "DocumentReference")
    (relation,) = document["relatesTo"]
    assert relation["code"] == "replaces"
    assert relation["target"]["identifier"]["value"] == "9876543210"


def test_times_carry_the_clinics_offset() -> None:
    """Prepared in March before and after the clocks change in New York."""
    (device,) = of(made("gj-pump-overnight"), "DeviceUseStatement")
    assert device["timingPeriod"]["start"] == "2026-03-04T10:30:00-05:00"
    (plan,) = of(made("gj-pump-overnight"), "CarePlan")
    events = [
        event
        for activity in plan["activity"]
        for event in activity.get("detail", {}).get("scheduledTiming", {}).get("event", [])
    ]
    assert events == ["2026-03-18T09:00:00-04:00"]


def test_the_same_file_gives_the_same_bytes() -> None:
    first = bundle_for(packet_decision(), "0123456789", [HANDOUT])
    assert first == bundle_for(packet_decision(), "0123456789", [HANDOUT])
    assert first != bundle_for(packet_decision(), "0123456780", [HANDOUT])


def _spoilt(change: Any) -> list[str]:
    bundle = json.loads(json.dumps(made("gj-pump-overnight")))
    change({entry["resource"]["resourceType"]: entry for entry in bundle["entry"]}, bundle)
    with pytest.raises(CheckError) as error:
        dumped(bundle, "x.json")
    return list(error.value.faults)


SPOILS: list[tuple[str, Any, str]] = [
    ("unknown field", lambda by, _: by["Device"]["resource"].update(nonsense=1),
     "Device 1: nonsense is no field of FHIR R4."),
    ("missing field", lambda by, _: by["CarePlan"]["resource"].pop("subject"),
     "CarePlan 1: subject is missing."),
    ("status of no list", lambda by, _: by["NutritionOrder"]["resource"].update(status="bogus"),
     "NutritionOrder 1: status 'bogus' is none of"),
    ("loose reference", lambda by, _: by["Device"].update(fullUrl="urn:uuid:x"),
     "refers to urn:uuid:"),
    ("address twice", lambda by, b: b["entry"].append(by["Patient"]), "stands 2 times."),
]  # fmt: skip


@pytest.mark.parametrize(("name", "change", "says"), SPOILS, ids=[s[0] for s in SPOILS])
def test_a_bundle_that_is_not_sound_is_never_written(name: str, change: Any, says: str) -> None:
    assert [fault for fault in _spoilt(change) if says in fault]
