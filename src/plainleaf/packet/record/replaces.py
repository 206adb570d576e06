"""The chain of packets: which earlier one a packet replaces.

It is named by whoever builds, never found: the same patient file with the same earlier record
gives the same packet, and a packet that was built and never given out replaces nothing.
"""

from __future__ import annotations

from dataclasses import replace
from hashlib import sha256
from pathlib import Path

from plainleaf.inputs.load_inputs import Replaced
from plainleaf.packet.record.packet_digests import digests_of, person_digest
from plainleaf.packet.record.packet_record import ReplacedRow, read_packet_record
from plainleaf.packet.record.record_file import record_data
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.errors import ReplaceError


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
    raw, record = read_packet_record(path)
    earlier = Replaced(record.version, record.made, sha256(raw).hexdigest())
    if record.person != person_digest(decision.patient):
        raise ReplaceError(
            f"{path}: is the packet of another patient (record number or birth date differ). "
            "Name the packet.json of this patient's earlier packet."
        )
    if earlier.made > decision.patient.prepared_on:
        raise ReplaceError(
            f"{path}: was made on {earlier.made:%Y-%m-%d %H:%M}, later than prepared.on, "
            f"{decision.patient.prepared_on:%Y-%m-%d %H:%M}. Write the day of this packet there."
        )
    same = record_data(record.digests) == digests_of(decision, templates)
    if same and record.language == decision.language:
        says = f"{path} is this very packet: nothing is replaced."
        return _with(decision, _as_replaced(record.replaces)), says
    says = f"Replaces version {earlier.version} of {earlier.made:%Y-%m-%d}."
    return _with(decision, earlier), says


def _with(decision: Decision, earlier: Replaced | None) -> Decision:
    return replace(decision, inputs=replace(decision.inputs, replaces=earlier))


def _as_replaced(row: ReplacedRow | None) -> Replaced | None:
    return None if row is None else Replaced(row.version, row.made, row.sha256)
