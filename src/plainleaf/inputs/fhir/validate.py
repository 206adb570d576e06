"""Whether a bundle is sound: models, closed lists of codes, addresses and references.

The models check fields and types and no closed list (row FH-12 of the print reference), so the
lists that are used here stand below; they are those of R4, from memory.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

_ORDER = ("draft", "active", "on-hold", "revoked", "completed", "entered-in-error", "unknown")
_INTENT = ("proposal", "plan", "directive", "order", "original-order", "reflex-order",
           "filler-order", "instance-order", "option")  # fmt: skip
CODES: dict[tuple[str, str], tuple[str, ...]] = {
    ("NutritionOrder", "status"): _ORDER,
    ("NutritionOrder", "intent"): _INTENT,
    ("MedicationRequest", "status"): (
        "active", "on-hold", "cancelled", "completed", "entered-in-error", "stopped", "draft",
        "unknown"),
    ("MedicationRequest", "intent"): (
        "proposal", "plan", "order", "original-order", "reflex-order", "filler-order",
        "instance-order", "option"),
    ("CarePlan", "status"): _ORDER,
    ("CarePlan", "intent"): ("proposal", "plan", "order", "option"),
    ("Device", "status"): ("active", "inactive", "entered-in-error", "unknown"),
    ("DeviceUseStatement", "status"): (
        "active", "completed", "entered-in-error", "intended", "stopped", "on-hold"),
    ("DocumentReference", "status"): ("current", "superseded", "entered-in-error"),
    ("DocumentReference", "docStatus"): ("preliminary", "final", "amended", "entered-in-error"),
    ("QuestionnaireResponse", "status"): (
        "in-progress", "completed", "amended", "entered-in-error", "stopped"),
    ("Procedure", "status"): (
        "preparation", "in-progress", "not-done", "on-hold", "stopped", "completed",
        "entered-in-error", "unknown"),
}  # fmt: skip
# Types that plainleaf writes or reads; others in a file from outside are left alone.
KNOWN = ("Patient", "RelatedPerson", "Device", "DeviceUseStatement", "NutritionOrder",
         "MedicationRequest", "CarePlan", "DocumentReference", "QuestionnaireResponse",
         "Procedure")  # fmt: skip
_SAYS = {"extra_forbidden": "is no field of FHIR R4", "missing": "is missing"}


def named(bundle: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Each resource with a name for messages, such as `NutritionOrder 2`."""
    seen: Counter[str] = Counter()
    for entry in bundle.get("entry", ()):
        resource = entry.get("resource") if isinstance(entry, Mapping) else None
        if isinstance(resource, Mapping):
            kind = str(resource.get("resourceType"))
            seen[kind] += 1
            yield f"{kind} {seen[kind]}", resource


def faults_of(bundle: Mapping[str, Any]) -> list[str]:
    """Every fault of the types that are known here, one line each; none of a sound bundle."""
    faults = []
    for name, resource in named(bundle):
        if resource.get("resourceType") in KNOWN:
            faults += [f"{name}: {fault}" for fault in model_faults(resource)]
            faults += [f"{name}: {fault}" for fault in _wrong_codes(resource)]
    return [*faults, *_doubled(bundle), *_unresolved(bundle)]


def model_faults(resource: Mapping[str, Any]) -> list[str]:
    """What the model of a resource refuses: unknown and missing fields, wrong types."""
    from fhir.resources.R4B import get_fhir_model_class
    from pydantic import ValidationError

    try:
        get_fhir_model_class(str(resource["resourceType"])).model_validate(resource)
    except ValidationError as error:
        return list(
            dict.fromkeys(_told(model_error) for model_error in error.errors(include_url=False))
        )
    return []


def _told(error: Mapping[str, Any]) -> str:
    place = ".".join(str(part) for part in error["loc"])
    says = _SAYS.get(str(error["type"]), f"cannot be read ({error['msg']})")
    return f"{place} {says}." if place else f"{says}."


def _wrong_codes(resource: Mapping[str, Any]) -> Iterator[str]:
    for (kind, field), allowed in CODES.items():
        value = resource.get(field)
        if resource["resourceType"] == kind and value is not None and value not in allowed:
            yield f"{field} '{value}' is none of: {', '.join(allowed)}."


def _doubled(bundle: Mapping[str, Any]) -> Iterator[str]:
    addresses = [entry.get("fullUrl") for entry in bundle.get("entry", ())
                 if isinstance(entry, Mapping)]  # fmt: skip
    ids = [
        f"{resource.get('resourceType')}/{resource['id']}"
        for _, resource in named(bundle)
        if resource.get("id")
    ]
    for name, count in Counter([str(address) for address in addresses if address] + ids).items():
        if count > 1:
            yield f"{name} stands {count} times."


def references(value: Any) -> Iterator[str]:
    """Every literal reference inside a value."""
    waiting = [value]
    while waiting:
        element = waiting.pop()
        if isinstance(element, Mapping):
            if isinstance(element.get("reference"), str):
                yield element["reference"]
            waiting += element.values()
        elif isinstance(element, list | tuple):
            waiting += element


def _unresolved(bundle: Mapping[str, Any]) -> Iterator[str]:
    """References to an address of a bundle that no entry has."""
    addresses = {str(entry.get("fullUrl")) for entry in bundle.get("entry", ())
             if isinstance(entry, Mapping)}  # fmt: skip
    for name, resource in named(bundle):
        for target in dict.fromkeys(references(resource)):
            if target.startswith("urn:") and target not in addresses:
                yield f"{name}: refers to {target}, which is not in the file."
