"""All that the papers after teaching are made from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from plainleaf.packet.papers import PaperKind
from plainleaf.packet.record.packet_record import PacketRecord
from plainleaf.packet.sheet.outline import Outline
from plainleaf.teach_back.answers import Returned
from plainleaf.teach_back.call_time import CallTime
from plainleaf.teach_back.follow_up_paper import FollowUpMaking
from plainleaf.teach_back.teaching_record import TeachingRecord
from plainleaf.teach_back.verdict import Verdict


@dataclass(frozen=True)
class NotMade:
    """A file that cannot be there this time, with what is said of that."""

    remark: str


@dataclass(frozen=True)
class RecordContext:
    """What every maker of a paper after teaching is given.

    Attributes:
        returned: What the filled sheet says; `verdicts`: what follows, by learner.
        record: The same as it is recorded.
        packet: The packet's record, whose folder holds its other files; `packet_record`: that.
        sheet: The name of the filled sheet; `pdf`: its content.
        papers: What is made so far, by its name.
    """

    returned: Returned
    verdicts: tuple[Verdict, ...]
    call: CallTime
    making: FollowUpMaking
    record: TeachingRecord
    packet: Path
    packet_record: PacketRecord
    sheet: str
    pdf: bytes
    papers: Mapping[str, bytes] = field(default_factory=dict)

    @property
    def outline(self) -> Outline:
        """What the sheet asks of whom."""
        return self.making.outline

    def with_paper(self, name: str, content: bytes) -> RecordContext:
        """The same with one more file made."""
        return replace(self, papers={**self.papers, name: content})


RecordPaperKind = PaperKind[RecordContext, bytes | NotMade]
