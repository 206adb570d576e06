"""A folder belongs to the packet whose `packet.json` lies in it."""

from __future__ import annotations

import os
from collections.abc import Collection, Mapping
from functools import partial
from hashlib import sha256
from pathlib import Path

from plainleaf.packet.delivery.into_folder import Ownership
from plainleaf.packet.record.packet_record import read_packet_record
from plainleaf.vocabulary.errors import DeliveryError, RecordError

PACKET = "packet.json"
_ANOTHER = "name another folder with --out."


def packet_ownership(person: str, records: Collection[str]) -> Ownership:
    """A packet takes the place of an earlier one of the same person, as it was built.

    Whose that is and which files it has stands in its own record; without one, or with one that
    cannot be read, nothing is its.

    Args:
        person: Digest of whose packet comes.
        records: Names of what is written when the teaching was recorded. Such files belong to the
            packet they were recorded with, so that one stays.
    """
    return partial(_packet_files, person, records)


def _packet_files(person: str, records: Collection[str], folder: Path) -> tuple[str, ...]:
    digests = _earlier(folder, person)
    kept = [name for name in sorted(records) if os.path.lexists(folder / name)]
    if kept:
        raise DeliveryError(
            f"{folder}: holds what was recorded of the teaching ({', '.join(kept)}). Keep that "
            f"with the packet it belongs to, and {_ANOTHER}"
        )
    lines = [_changed(folder / name) for name in digests if _is_changed(folder / name, digests)]
    if lines:
        raise DeliveryError("\n".join(lines))
    return (PACKET, *digests) if digests else ()


def _earlier(folder: Path, person: str) -> Mapping[str, str]:
    """Digests of the files of the packet in a folder; none where there is no packet."""
    path = folder / PACKET
    if not os.path.lexists(path):
        return {}
    try:
        _, record = read_packet_record(path)
    except RecordError as error:
        raise DeliveryError(
            f"{path}: does not say whose packet this is and which files it has: it is damaged, or "
            f"another version wrote it. Keep this folder, and {_ANOTHER}"
        ) from error
    if record.person != person:
        raise DeliveryError(
            f"{folder}: holds the packet of another patient (record number or birth date differ). "
            f"Keep that one, and {_ANOTHER}"
        )
    return record.files


def _is_changed(path: Path, digests: Mapping[str, str]) -> bool:
    there = os.path.lexists(path)
    return there and (
        not path.is_file() or sha256(path.read_bytes()).hexdigest() != digests[path.name]
    )


def _changed(path: Path) -> str:
    return (
        f"{path}: was filled in or changed after it was built, and would be lost. Keep it with "
        f"the packet it belongs to, and {_ANOTHER}"
    )
