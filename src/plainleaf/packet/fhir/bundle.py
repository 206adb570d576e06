"""The bundle of a packet, put together and checked as far as it can be here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plainleaf.inputs.fhir.codes import OWN, URIS
from plainleaf.inputs.fhir.read_bundle import read_bundle
from plainleaf.inputs.fhir.validate import faults_of, named
from plainleaf.inputs.load_inputs import Replaced
from plainleaf.packet.fhir.context import Making, Resource
from plainleaf.packet.fhir.resources import base_parts, document, entries
from plainleaf.packet.fhir.taught import taught_entries
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.errors import CheckError, ExchangeError
from plainleaf.vocabulary.time_zones import zone

PACKET_FILE = "packet.fhir.json"
RECORD_FILE = "record.fhir.json"


@dataclass(frozen=True)
class Document:
    """A PDF that the bundle tells of; `final`: its teaching has been reviewed."""

    name: str
    pdf: bytes
    title: str
    language: str
    final: bool


def bundle_for(decision: Decision, version: str, documents: Sequence[Document]) -> bytes:
    """`packet.fhir.json`: who, the tube, the orders, the plan and the papers.

    Raises:
        CheckError: The bundle would not be sound.
    """
    making = Making(decision.patient, zone(decision.policy.word("time_zone")), version)
    parts = base_parts(making)
    for paper in documents:
        parts[f"document {paper.name}"] = document(
            making, paper.name, paper.pdf, paper.title, paper.language, paper.final
        ) | _replaced(decision.inputs.replaces)
    bundle = {
        "resourceType": "Bundle",
        "identifier": {"system": URIS, "value": making.url("packet")},
        "type": "collection",
        "timestamp": making.moment(decision.patient.prepared_on),
        "entry": entries(making, parts),
    }
    return dumped(bundle, PACKET_FILE)


def _replaced(earlier: Replaced | None) -> Resource:
    if earlier is None:
        return {}
    target = {"identifier": {"system": f"{OWN}/packet-version", "value": earlier.version}}
    return {"relatesTo": [{"code": "replaces", "target": target}]}


def bundle_from_record(packet: Path, record: Mapping[str, Any], pdfs: Mapping[str, bytes]) -> bytes:
    """`record.fhir.json`: the packet's bundle, completed with what was taught and to whom.

    Args:
        packet: The packet's own `packet.fhir.json`.
        record: `record.json` as data.
        pdfs: Name → content of the papers that came of the teaching.
    Raises:
        ExchangeError: The packet's bundle cannot be read, or is of another version.
        CheckError: The bundle would not be sound.
    """
    base = read_bundle(packet)
    _refuse_other_version(packet, base, record)
    taught = taught_entries(base, record, pdfs)
    return dumped({**base, "entry": [*base["entry"], *taught]}, RECORD_FILE)


def _refuse_other_version(packet: Path, base: Mapping[str, Any], record: Mapping[str, Any]) -> None:
    versions = {
        str(identifier.get("value"))
        for _, resource in named(base)
        for identifier in resource.get("identifier", ())
        if isinstance(identifier, Mapping) and identifier.get("system") == f"{OWN}/packet-version"
    }
    wanted = str(record["packet"]["version"])
    if versions != {wanted}:
        listed = ", ".join(sorted(versions)) or "none"
        raise ExchangeError(
            f"{packet}: is of packet version {listed}, and the sheet is of version {wanted}. "
            "Name the folder of the packet that the sheet belongs to."
        )


def dumped(bundle: Mapping[str, Any], name: str) -> bytes:
    """The bundle as text, written by the models of the library.

    Args:
        name: The file's name, for messages.
    Raises:
        CheckError: A model, a closed list of codes or a reference does not hold.
    """
    from fhir.resources.R4B.bundle import Bundle

    faults = faults_of(bundle)
    if faults:
        raise CheckError([f"{name}: {fault}" for fault in faults])
    text: str = Bundle.model_validate(bundle).model_dump_json(indent=1)
    return (text + "\n").encode()
