"""The shapes of `packet.json`, one a format: what was decided and why.

What all formats hold stands in `packet_rows`; what differs is declared anew.
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from plainleaf.packet.record.bounds import Rows
from plainleaf.packet.record.packet_record_2 import PacketRecord2
from plainleaf.packet.record.packet_rows import (
    DecisionRow,
    PacketRecord,
    ReplacedRow,
    ReviewRecord,
    ScheduleRow,
    StatementRow,
)
from plainleaf.packet.record.record_file import RecordKind


class PacketRecord1(PacketRecord):
    """Format 1."""

    format: Literal[1]
    decisions: Rows[DecisionRow]

    @property
    def ruled(self) -> tuple[DecisionRow, ...]:
        """Why each statement is in or out."""
        return self.decisions


PACKET_RECORD: RecordKind[PacketRecord] = RecordKind(
    "packet.json", {1: PacketRecord1, 2: PacketRecord2}, "version", "build that packet again"
)


def read_packet_record(path: Path) -> tuple[bytes, PacketRecord]:
    """A `packet.json` as it lies there, and as data.

    Raises:
        RecordError: It cannot be read, is no such record, or is of another program.
    """
    return PACKET_RECORD.read(path)


__all__ = [
    "PACKET_RECORD",
    "PacketRecord",
    "PacketRecord1",
    "PacketRecord2",
    "ReplacedRow",
    "ReviewRecord",
    "ScheduleRow",
    "StatementRow",
    "read_packet_record",
]
