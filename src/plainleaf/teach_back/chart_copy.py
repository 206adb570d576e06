"""`record.fhir.json`: the packet's copy for the chart, completed with what was taught."""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

from plainleaf.inputs.files import LARGEST_BUNDLE, STANDARD_INPUT, Unreadable, read_bytes
from plainleaf.packet.fhir import PACKET_FILE, RECORD_FILE, bundle_from_record
from plainleaf.packet.record.packet_record import PacketRecord
from plainleaf.vocabulary.errors import ExchangeError


def chart_copy(
    packet: Path, packet_record: PacketRecord, record: Mapping[str, Any], pdfs: Mapping[str, bytes]
) -> tuple[dict[str, bytes], list[str]]:
    """The file by its name, and a remark where the packet's own copy is not there.

    Args:
        packet: The packet's record, whose folder holds the copy; `packet_record`: that record.
        record: What was read back; `pdfs`: the papers that came of it.
    Raises:
        ExchangeError: The packet's copy was changed after it was built, or cannot be read.
        CheckError: The completed bundle would not be sound.
    """
    if packet == STANDARD_INPUT:
        return {}, [f"The packet came by standard input, so {RECORD_FILE} was not written."]
    copy = packet.parent / PACKET_FILE
    if not copy.is_file():
        return {}, [f"{copy}: is not there, so {RECORD_FILE} was not written."]
    if sha256(_bytes_of(copy)).hexdigest() != packet_record.files.get(PACKET_FILE):
        raise ExchangeError(
            f"{copy}: is not the file that {packet.name} tells of. Put that one back, or take "
            "this one away."
        )
    return {RECORD_FILE: bundle_from_record(copy, record, pdfs)}, []


def _bytes_of(copy: Path) -> bytes:
    try:
        return read_bytes(copy, LARGEST_BUNDLE)
    except Unreadable as error:
        raise ExchangeError(str(error.fault)) from error
