"""FHIR bundles for tests: the smallest sound one, orders from figures, and our own."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from builders import BASE, Changes
from packets import decision_from, settled_text

from plainleaf.inputs.fhir.patient_draft import Begun, begin
from plainleaf.packet.fhir.bundle import Document, bundle_for
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.time_zones import zone

UCUM = "http://unitsofmeasure.org"
ROUTES = "http://terminology.hl7.org/CodeSystem/v3-RouteOfAdministration"
NEW_YORK = zone("America/New_York")
PATIENT = {
    "resourceType": "Patient", "id": "p", "name": [{"text": "Ona Petrauskas"}],
    "birthDate": "1960-02-03", "identifier": [{"value": "DEMO-0001"}],
}  # fmt: skip


def amount(value: Any, code: str) -> dict[str, Any]:
    """A FHIR Quantity."""
    return {"value": value, "unit": code, "system": UCUM, "code": code}


def given(figures: dict[str, Any]) -> dict[str, Any]:
    """One administration from figures."""
    repeat: dict[str, Any] = {"boundsPeriod": {"start": figures["start"]}}
    if "every" in figures:
        period, unit = figures["every"]
        repeat |= {"frequency": 1, "period": period, "periodUnit": unit}
    found: dict[str, Any] = {"schedule": {"repeat": repeat}}
    if "amount" in figures:
        found["quantity"] = amount(figures["amount"]["value"], figures["amount"]["code"])
    if "rate" in figures:
        found["rateQuantity"] = amount(figures["rate"]["value"], figures["rate"]["code"])
    return found


def order(figures: dict[str, Any]) -> dict[str, Any]:
    """A NutritionOrder from figures."""
    return {
        "resourceType": "NutritionOrder", "id": "n", "status": "active", "intent": "order",
        "patient": {"reference": "Patient/p"}, "dateTime": "2014-09-17",
        "enteralFormula": {
            "routeofAdministration": {"coding": [{"system": ROUTES, "code": figures["route"]}]},
            "caloricDensity": amount(figures["strength"]["value"], figures["strength"]["code"]),
            "maxVolumeToDeliver": amount(figures["most"]["value"], figures["most"]["code"]),
            "administrationInstruction": figures["text"],
            "administration": [given(one) for one in figures["given"]],
        },
    }  # fmt: skip


def bundle(*resources: dict[str, Any]) -> dict[str, Any]:
    """A bundle of resources."""
    return {
        "resourceType": "Bundle", "type": "collection",
        "entry": [{"resource": one} for one in resources],
    }  # fmt: skip


def saved(folder: Path, data: Any) -> Path:
    """A file with data, or with text as it is."""
    path = folder / "bundle.json"
    path.write_text(data if isinstance(data, str) else json.dumps(data), encoding="utf-8")
    return path


def begun(folder: Path, data: Any, kind: str | None = None) -> Begun:
    """The patient file begun from data."""
    return begin(saved(folder, data), kind, NEW_YORK)


def packet_decision(base: str = BASE, changes: Changes | None = None) -> Decision:
    """What is decided for an example, settled."""
    return decision_from(settled_text(changes, base))


def packet_bundle(decision: Decision, *documents: Document) -> Any:
    """Our own bundle of a packet, read back."""
    return json.loads(bundle_for(decision, "0123456789", documents))
