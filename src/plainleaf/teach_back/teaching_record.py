"""The shape of `record.json`: what came back of a sheet, and what is missing.

A blank is null, never a no. Texts are as they were written on the sheet.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from plainleaf.packet.record.bounds import (
    ByName,
    Clock,
    Count,
    Day,
    Digest,
    Minute,
    Name,
    RecordPart,
    Rows,
    Version,
)
from plainleaf.packet.record.packet_rows import PacketDigests
from plainleaf.packet.record.record_file import RecordKind


class PacketKey(RecordPart):
    """The packet that the sheet belongs to; `sha256` of its record."""

    version: Version
    language: Name
    made: Minute
    sha256: Digest
    digests: PacketDigests


class SheetKey(RecordPart):
    """The filled sheet that was read."""

    sha256: Digest


class SettingsRow(RecordPart):
    """The settings in force when the sheet was read."""

    policy: Digest
    tries_before_plan: Count
    follow_up_call_from: str
    follow_up_within: str


class WrittenTimeRow(RecordPart):
    """A date and a time as far as they could be read, and as written."""

    on: Day | None
    at: Clock | None
    written: str | None


class TryRow(RecordPart):
    """One try: its result code and who taught; `words` heard in format 1, `session` from 2 on."""

    number: Count = Field(alias="try")
    code: Annotated[int, Field(ge=1, le=4)] | None
    on: Day | None
    at: Clock | None
    written: str | None
    initials: str | None
    words: str | None = None
    session: Name | None = None


class PlanRow(RecordPart):
    """What happens next with what is not yet met; `by`: who does it and by when, from format 2."""

    choice: Name | None
    words: str | None
    by: str | None = None


class StepRow(RecordPart):
    """A step of a skill."""

    id: Name
    marked: bool | None


class TaughtItemRow(RecordPart):
    """One question or skill of one learner; `steps` of a skill alone."""

    id: Name
    kind: Literal["tell", "show"]
    critical: bool
    state: Name
    still_to_do: Rows[Name]
    tries: Rows[TryRow]
    second_way_used: bool | None = None
    plan: PlanRow | None
    steps: Rows[StepRow] = ()


class NeedRow(RecordPart):
    """What was assessed of a learner."""

    answer: str | None
    not_assessed: bool | None = None


class TaughtLearnerRow(RecordPart):
    """One learner; `ready` is null for who gives no care."""

    name: str
    relation: Name
    language: Name
    hands_on: bool
    present: bool | None
    needs: ByName[NeedRow]
    ready: bool | None
    items: Rows[TaughtItemRow]


class InterpreterRow(RecordPart):
    """The interpreter: in parts in format 1, `used` as written from format 2 on."""

    needed: bool
    name: str | None = None
    id: str | None = None
    language: str | None = None
    mode: str | None = None
    start: str | None = None
    end: str | None = None
    used: str | None = None


class SignedRow(RecordPart):
    """One line of the sign-off; from format 2 on `when` holds date and time as written."""

    key: Name
    who: str
    name: str | None
    role: str | None = None
    signature: str | None
    date: str | None = None
    time: str | None = None
    when: str | None = None


class SessionRow(RecordPart):
    """A line of the sessions, whose letter stands beside the codes that were given in it."""

    letter: Name
    on: Day | None
    at: Clock | None
    written: str | None
    minutes: str | None
    who: str | None
    initials: str | None
    rows: str | None


class MissingRow(RecordPart):
    """What keeps a learner from being ready."""

    id: Name
    what: Rows[Name]


class NotReadyRow(RecordPart):
    """Who is not ready."""

    learner: str
    missing: Rows[MissingRow]


class VerdictRow(RecordPart):
    """Whether all who give care met everything critical."""

    ready: bool
    not_ready: Rows[NotReadyRow]


class TeachingRecord(RecordPart):
    """A record of the teaching, of whatever format.

    `date`: the latest day of a try. `blanks`, `fields_missing`, `fields_unknown`: names of fields.
    `not_read`: one line each on what could not be read.
    """

    format: int
    packet: PacketKey
    sheet: SheetKey
    settings: SettingsRow
    date: Day | None
    goes_home: WrittenTimeRow | None
    sessions: Rows[SessionRow] = ()
    learners: Rows[TaughtLearnerRow]
    interpreter: InterpreterRow
    signatures: Rows[SignedRow]
    declined_to_sign: bool | None
    goal: str | None
    safety: str | None
    reason: str | None
    witness: str | None = None
    backup: str | None = None
    notes: str | None = None
    verdict: VerdictRow
    blanks: Rows[Name]
    fields_missing: Rows[Name]
    fields_unknown: Rows[str]
    not_read: Rows[str]


class TeachingRecord1(TeachingRecord):
    """Format 1."""

    format: Literal[1]


class TeachingRecord2(TeachingRecord):
    """Format 2: a code names its session, and an open point has a line of its own."""

    format: Literal[2]


TEACHING_RECORD: RecordKind[TeachingRecord] = RecordKind(
    "record.json", {1: TeachingRecord1, 2: TeachingRecord2}, "verdict", "read the sheet back again"
)


def read_teaching_record(path: Path) -> tuple[bytes, TeachingRecord]:
    """A `record.json` as it lies there, and as data.

    Raises:
        RecordError: It cannot be read, is no such record, or is of another program.
    """
    return TEACHING_RECORD.read(path)
