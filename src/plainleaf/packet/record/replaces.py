"""The chain of packets: which earlier one a packet replaces.

It is named by whoever builds, never found: the same patient file with the same earlier record
gives the same packet, and a packet that was built and never given out replaces nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from plainleaf.inputs.files import LARGEST_RECORD, Unreadable, read_json
from plainleaf.inputs.loading import Replaced
from plainleaf.packet.record.version import digests_of, person_digest
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.errors import RecordError, ReplaceError

_NEEDED = ("version", "made", "person", "digests", "language")


def replaced_data(earlier: Replaced | None) -> dict[str, str] | None:
    """The key `replaces` of a record."""
    if earlier is None:
        return None
    return {
        "version": earlier.version,
        "made": earlier.made.isoformat(timespec="minutes"),
        "sha256": earlier.sha256,
    }


def replacing(decision: Decision, path: Path, templates: Path) -> tuple[Decision, str]:
    """The decision with the packet that it replaces, and a line that says so.

    A record of the same content is not replaced; what it had replaced itself stays.

    Raises:
        RecordError: The file is no record of a packet, or one of an older program.
        ReplaceError: It is another patient's, or newer than the packet to build.
    """
    raw, data = _read(path)
    try:
        earlier = _of(data, sha256(raw).hexdigest())
        kept = None if data.get("replaces") is None else _of(data["replaces"])
    except (KeyError, TypeError, ValueError) as error:
        raise RecordError(f"{path}: is not a whole packet.json. Name the right file.") from error
    if data["person"] != person_digest(decision.patient):
        raise ReplaceError(
            f"{path}: is the packet of another patient (record number or birth date differ). "
            "Name the packet.json of this patient's earlier packet."
        )
    if earlier.made > decision.patient.prepared_on:
        raise ReplaceError(
            f"{path}: was made on {earlier.made:%Y-%m-%d %H:%M}, later than prepared.on, "
            f"{decision.patient.prepared_on:%Y-%m-%d %H:%M}. Write the day of this packet there."
        )
    if data["digests"] == digests_of(decision, templates) and data["language"] == decision.language:
        says = f"{path} is this very packet: nothing is replaced."
        return _with(decision, kept), says
    says = f"Replaces version {earlier.version} of {earlier.made:%Y-%m-%d}."
    return _with(decision, earlier), says


def _with(decision: Decision, earlier: Replaced | None) -> Decision:
    return replace(decision, inputs=replace(decision.inputs, replaces=earlier))


def _of(data: Mapping[str, Any], digest: str = "") -> Replaced:
    made = datetime.fromisoformat(data["made"])
    version, found = data["version"], digest or data["sha256"]
    if made.tzinfo is not None or not isinstance(version, str) or not isinstance(found, str):
        raise ValueError
    return Replaced(version, made, found)


def _read(path: Path) -> tuple[bytes, dict[str, Any]]:
    try:
        raw, data = read_json(path, LARGEST_RECORD)
    except Unreadable as error:
        raise RecordError(error.naming("Name a packet.json.")) from error
    found: dict[str, Any] = data if isinstance(data, dict) else {}
    missing = [key for key in _NEEDED if key not in found]
    if missing:
        raise RecordError(f"{path}: lacks {', '.join(missing)}. Build that packet again.")
    return raw, found
