"""The resources of a packet as plain data: who, the tube, the feeding orders, water and visits."""

from __future__ import annotations

from base64 import b64encode, urlsafe_b64encode
from collections.abc import Mapping
from hashlib import sha1, sha256

from plainleaf.inputs.fhir.codes import (
    DEVICES,
    LANGUAGES,
    OWN,
    SNOMED,
    UCUM,
    URIS,
    own,
    quantity,
)
from plainleaf.inputs.patient import Learner
from plainleaf.packet.fhir.care_plan import care_plan
from plainleaf.packet.fhir.context import Making, Resource
from plainleaf.packet.fhir.feeding_orders import additive_order, nutrition_order
from plainleaf.packet.fhir.medicines import medication_request


def _language(tag: str) -> Resource:
    return {"language": {"coding": [{"system": LANGUAGES, "code": tag}]}}


def _person(making: Making) -> Resource:
    person = making.patient.person
    return {
        "resourceType": "Patient",
        "identifier": [{"type": {"text": "record number"}, "value": person.record_number}],
        "name": [{"text": person.name}],
        "birthDate": person.born.isoformat(),
        "communication": [_language(person.language) | {"preferred": True}],
    }


def _relative(making: Making, learner: Learner) -> Resource:
    relative = {
        "resourceType": "RelatedPerson",
        "patient": making.ref("patient"),
        "relationship": [{"text": learner.relation}],
        "name": [{"text": learner.name}],
        "communication": [_language(learner.language)],
    }
    if learner.phone is not None:
        relative["telecom"] = [{"system": "phone", "value": learner.phone}]
    return relative


def _device(making: Making) -> Resource:
    tube = making.patient.tube
    kind: Resource = {"text": f"{tube.kind} feeding tube"}
    if tube.kind in DEVICES:
        kind["coding"] = [{"system": SNOMED, "code": DEVICES[tube.kind][0]}]
    words = {"kind": tube.kind, "build": tube.build, "held-by": tube.held_by,
             "placed-by": tube.placed_by}  # fmt: skip
    amounts = {"size": tube.size, "length": tube.length, "mark-at-skin": tube.mark_at_skin,
               "balloon-fill": tube.balloon_fill}  # fmt: skip
    properties = [{"type": own(name), "valueCode": [{"text": w}]} for name, w in words.items()]
    properties += [
        {"type": own(name), "valueQuantity": [quantity(amount)]}
        for name, amount in amounts.items()
        if amount is not None
    ]
    properties.append({"type": own("skin-buttons"), "valueQuantity": [_count(tube.skin_buttons)]})
    properties += [
        {"type": own(f"port-{port}"), "valueCode": [{"text": use} for use in uses]}
        for port, uses in tube.ports.items()
    ]
    return {
        "resourceType": "Device",
        "status": "active",
        "deviceName": [{"name": f"Feeding tube, {tube.size}", "type": "user-friendly-name"}],
        "type": kind,
        "property": properties,
        "patient": making.ref("patient"),
    }


def _count(number: int) -> Resource:
    return {"value": number, "unit": "1", "system": UCUM, "code": "1"}


def _device_use(making: Making) -> Resource:
    return {
        "resourceType": "DeviceUseStatement",
        "status": "active",
        "subject": making.ref("patient"),
        "timingPeriod": {"start": making.moment(making.patient.tube.placed)},
        "recordedOn": making.moment(making.patient.prepared_on),
        "device": making.ref("device"),
    }


# --- documents ----------------------------------------------------------------------------


def attached(name: str, pdf: bytes, title: str, language: str) -> Resource:
    """A PDF beside the bundle: its name, size and hashes; the pages themselves are not copied."""
    digest = urlsafe_b64encode(sha256(pdf).digest()).decode().rstrip("=")
    return {
        "resourceType": "DocumentReference",
        "masterIdentifier": {"system": URIS, "value": f"ni:///sha-256;{digest}"},
        "status": "current",
        "type": {"text": title},
        "content": [
            {
                "attachment": {
                    "contentType": "application/pdf",
                    "language": language,
                    "url": name,
                    "size": len(pdf),
                    "hash": b64encode(sha1(pdf, usedforsecurity=False).digest()).decode(),
                    "title": title,
                }
            }
        ],
    }


def document(
    making: Making, name: str, pdf: bytes, title: str, language: str, final: bool
) -> Resource:
    """A paper of the packet; `final`: its teaching has been reviewed."""
    return attached(name, pdf, title, language) | {
        "identifier": [{"system": f"{OWN}/packet-version", "value": making.version}],
        "docStatus": "final" if final else "preliminary",
        "subject": making.ref("patient"),
        "date": making.moment(making.patient.prepared_on),
        "author": [{"display": making.patient.prepared_by}],
    }


def base_parts(making: Making) -> dict[str, Resource]:
    """Name → resource, for all that is known before the teaching."""
    patient = making.patient
    relatives = {
        f"learner-{number}": _relative(making, learner)
        for number, learner in enumerate(patient.learners)
        if learner.relation != "self"
    }
    feeds = {f"feeding-{feed.number}": nutrition_order(making, feed) for feed in patient.feeding}
    feeds |= {f"additive-{n}": additive_order(making, a) for n, a in enumerate(patient.additives)}
    return {
        "patient": _person(making),
        **relatives,
        "device": _device(making),
        "device-use": _device_use(making),
        **feeds,
        **_medicines(making),
        "plan": care_plan(making),
    }


def _medicines(making: Making) -> dict[str, Resource]:
    """Name → order of each medicine; words of format 1 are not put into fields."""
    if making.patient.format == 1:
        return {}
    medicines = making.patient.medicines
    return {f"medicine-{m.number}": medication_request(making, m) for m in medicines}


def entries(making: Making, parts: Mapping[str, Resource]) -> list[Resource]:
    """The resources as entries of a bundle, each with its address."""
    return [
        {
            "fullUrl": making.url(name),
            "resource": {
                "resourceType": part["resourceType"],
                "id": making.url(name).removeprefix("urn:uuid:"),
                **part,
            },
        }
        for name, part in parts.items()
    ]
