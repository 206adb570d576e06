"""A record of the teaching may be written where its packet is, or where it was written before."""

from __future__ import annotations

import json
import os
from functools import partial
from hashlib import sha256
from pathlib import Path

from plainleaf.packet.delivery import PACKET, Ownership
from plainleaf.teach_back.record_papers import RECORD_PAPERS
from plainleaf.teach_back.recording import RECORD
from plainleaf.teach_back.teaching_record import TEACHING_RECORD, read_teaching_record
from plainleaf.vocabulary.errors import DeliveryError, RecordError

# All that a record may have; the one that says what they belong to is written last.
FILES = tuple(kind.name for kind in RECORD_PAPERS)


def record_ownership(record: bytes) -> Ownership:
    """A record takes the place of an earlier one of the same packet, and of no other.

    Args:
        record: The record that comes; it names its packet by a digest.
    """
    return partial(_record_files, TEACHING_RECORD.of(json.loads(record)).packet.sha256)


def _record_files(packet: str, folder: Path) -> tuple[str, ...]:
    here = folder / PACKET
    if here.is_file() and sha256(here.read_bytes()).hexdigest() != packet:
        raise DeliveryError(
            f"{folder}: holds another packet than the one the sheet belongs to. Name another "
            "folder with --out."
        )
    earlier = folder / RECORD.name
    if not os.path.lexists(earlier):
        return ()
    try:
        _, record = read_teaching_record(earlier)
    except RecordError as error:
        raise DeliveryError(
            f"{earlier}: does not say which packet it belongs to, and would be lost. Move it "
            "away, or name another folder with --out."
        ) from error
    if record.packet.sha256 != packet:
        raise DeliveryError(
            f"{earlier}: is the record of another packet, and would be lost. Name another folder "
            "with --out."
        )
    return tuple(reversed(FILES))
