"""The bundle of a packet, put together and checked as far as it can be here."""

from __future__ import annotations

import importlib
import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from plainleaf.case import Case
from plainleaf.errors import CheckError
from plainleaf.exchange.codes import OWN, URIS
from plainleaf.exchange.making import Making, Resource
from plainleaf.exchange.parts import base_parts, document, entries
from plainleaf.exchange.valid import faults_of
from plainleaf.zones import zone

PACKET_FILE = "packet.fhir.json"


@dataclass(frozen=True)
class Document:
    """A PDF that the bundle tells of; `final`: its teaching has been reviewed."""

    name: str
    pdf: bytes
    title: str
    language: str
    final: bool


def warm_up() -> None:
    """Load the library of models while the presses work; it takes a third of a second."""
    name = "fhir.resources.R4B.bundle"
    threading.Thread(target=importlib.import_module, args=(name,), daemon=True).start()


def bundle_for(
    case: Case, version: str, documents: Sequence[Document], replaces: str | None = None
) -> bytes:
    """`packet.fhir.json`: who, the tube, the orders, the plan and the papers.

    Args:
        replaces: Version of the packet that this one replaces.
    Raises:
        CheckError: The bundle would not be sound.
    """
    made = Making(case.patient, zone(case.policy.word("time_zone")), version)
    parts = base_parts(made)
    for one in documents:
        parts[f"document {one.name}"] = document(
            made, one.name, one.pdf, one.title, one.language, one.final
        ) | _replaced(replaces)
    bundle = {
        "resourceType": "Bundle",
        "identifier": {"system": URIS, "value": made.url("packet")},
        "type": "collection",
        "timestamp": made.moment(case.patient.prepared_on),
        "entry": entries(made, parts),
    }
    return dumped(bundle)


def _replaced(version: str | None) -> Resource:
    if version is None:
        return {}
    target = {"identifier": {"system": f"{OWN}/packet-version", "value": version}}
    return {"relatesTo": [{"code": "replaces", "target": target}]}


def dumped(bundle: Mapping[str, Any]) -> bytes:
    """The bundle as text, written by the models of the library.

    Raises:
        CheckError: A model, a closed list of codes or a reference does not hold.
    """
    from fhir.resources.R4B.bundle import Bundle

    faults = faults_of(bundle)
    if faults:
        raise CheckError([f"{PACKET_FILE}: {fault}" for fault in faults])
    text: str = Bundle.model_validate(bundle).model_dump_json(indent=1)
    return (text + "\n").encode()
