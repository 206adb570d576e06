"""Digests that lead a paper in hand back to exactly its making."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

from plainleaf.inputs.load_inputs import Replaced
from plainleaf.inputs.patient import Patient
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.version import program_version


def _digest_folder(folder: Path) -> str:
    whole = sha256()
    for path in sorted(path for path in folder.rglob("*") if path.is_file()):
        whole.update(path.relative_to(folder).as_posix().encode() + b"\0" + path.read_bytes())
    return whole.hexdigest()


def digests_of(decision: Decision, templates: Path) -> dict[str, str]:
    """SHA-256 of everything that a packet is made from, and the version of the program."""
    return {
        "program": program_version(),
        "teaching": decision.library.digest,
        "locales": _digest_words(decision),
        "templates": _digest_folder(templates),
        "policy": decision.policy.digest,
        "patient": _digest_patient(decision.patient),
    }


def _digest_words(decision: Decision) -> str:
    """A digest of the words of every handout language, and of what of them was reviewed."""
    whole = sha256()
    for tag in decision.inputs.handout_languages:
        catalog = decision.inputs.teaching.catalogs[tag]
        whole.update(f"{tag}\0{sorted(catalog.reviewed)}\0{catalog.all_words()}\0".encode())
    return whole.hexdigest()


def _digest_patient(patient: Patient) -> str:
    """A digest of what the file says; conditions are sorted, because a set has no order."""
    person = patient.person
    rest = replace(patient, file="", person=replace(person, conditions=frozenset()))
    return sha256(repr((sorted(person.conditions), rest)).encode()).hexdigest()


def person_digest(patient: Patient) -> str:
    """A digest of whose packet it is: record number and birth date, whatever else is mended."""
    person = patient.person
    return sha256(json.dumps([person.record_number, person.born.isoformat()]).encode()).hexdigest()


def packet_version(
    digests: Mapping[str, str], language: str, replaces: Replaced | None = None
) -> str:
    """Ten characters that change with any change of content, order, policy or template."""
    parts: list[object] = [dict(sorted(digests.items())), language]
    if replaces is not None:
        parts.append(replaces.sha256)
    return sha256(json.dumps(parts).encode()).hexdigest()[:10]
