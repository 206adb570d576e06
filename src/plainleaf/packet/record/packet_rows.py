"""The parts of `packet.json` that every format of it has.

Totals are exact; amounts are in mL where no other unit is named, moments are local times without
zone.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field

from plainleaf.packet.record.bounds import (
    MOST_ROWS,
    Amount,
    ByName,
    Clock,
    Count,
    Day,
    Digest,
    FileName,
    Minute,
    Name,
    RecordPart,
    Rows,
    TextDigest,
    Version,
)
from plainleaf.packet.record.sheet_record import SheetRecord


class AcceptedRow(RecordPart):
    """Who accepted a finding, why and when."""

    by: str
    reason: str
    on: Day


class FindingRow(RecordPart):
    """One finding; `about`: the medicine where several findings share an id."""

    id: Name
    level: Literal["stop", "confirm", "note"]
    says: str
    instead: str
    settled_by: str
    acceptable: bool
    about: str | None
    concerns: Rows[Name]
    sources: Rows[Name]
    accepted: AcceptedRow | None


class TotalsRow(RecordPart):
    """What one day adds up to."""

    formula_ml: Amount | None
    blended_ml: Amount | None
    energy_kcal: Amount | None
    water_in_formula_ml: Amount | None
    flush_ml: Amount | None
    extra_water_ml: Amount | None
    water_ml: Amount | None
    goal_ml: Amount | None
    limit_ml: Amount | None


class ScheduleRow(RecordPart):
    """One line of the day; `at` is null for what is done at no set time, in format 2 alone."""

    at: Clock | None
    what: str
    kind: Name
    through: Name | None
    amount_ml: Amount | None


class TimelineRow(RecordPart):
    """Something that begins, ends or is due."""

    id: Name
    what: str
    starts: Minute = Field(alias="from")
    ends: Minute | None = Field(alias="until")


class SupplyRow(RecordPart):
    """One line of the monthly list."""

    id: Name
    count: Count
    a_day: Count | None
    left_over_ml: Amount | None


class StatementRow(RecordPart):
    """One statement of the handout; `text_digest` is of the template its words were made from."""

    id: Name
    module: Name
    says: str
    sources: Rows[Name]
    text_digest: TextDigest


class DecisionRow(RecordPart):
    """Why a statement is in or out; `facts`: those asked, with their answers."""

    id: Name
    holds: bool = Field(alias="in")
    condition: str
    facts: ByName[str]
    digest: TextDigest


class LineRow(RecordPart):
    """A line of `settled` in file order, the code that it should carry, and whether it does."""

    finding: Name
    about: Rows[Name]
    code: Name | None
    right: bool


class ReplacedRow(RecordPart):
    """The earlier packet that this one replaces."""

    version: Version
    made: Minute
    sha256: Digest


class PacketDigests(RecordPart):
    """Digests of everything that the packet was made from, and the version of the program."""

    program: Name
    teaching: Digest
    locales: Digest
    templates: Digest
    policy: Digest
    patient: Digest


class SettingRow(RecordPart):
    """A setting of the facility as it was in force."""

    value: bool | Count | str | None
    origin: str
    approved_by: str | None
    review_by: Day


class PolicyRow(RecordPart):
    """The settings of the facility."""

    facility: str
    example: bool
    holds_from: Day
    values: ByName[SettingRow]


class SourceRow(RecordPart):
    """A fact of the bibliography that is cited."""

    status: Name
    digest: TextDigest


class SettingsRead(RecordPart):
    """Names of settings, by what was read with them."""

    statements: ByName[Rows[Name]]
    facts: ByName[Rows[Name]]
    findings: Rows[Name]
    totals: Rows[Name]
    reminders: Rows[Name]


class ReviewRecord(RecordPart):
    """What `review --json` prints, and every record of a packet begins with."""

    format: int
    stopped: bool
    findings: Rows[FindingRow]
    totals: TotalsRow
    schedule: Rows[ScheduleRow]
    timeline: Rows[TimelineRow]
    supplies: Rows[SupplyRow]


class PacketRecord(ReviewRecord):
    """A record of a packet, of whatever format.

    `person`: a digest of whose packet it is. `files`: digests of the other files. `around`: digests
    of titles, headings, questions and skills by id. `settings_read` is not in the oldest ones.
    `decisions`: of format 1 why each statement is in or out, of format 2 what people decided.
    """

    version: Version
    language: Name
    made: Minute
    prepared_by: str
    person: Digest
    replaces: ReplacedRow | None
    digests: PacketDigests
    files: Annotated[Mapping[FileName, Digest], Field(min_length=1, max_length=MOST_ROWS)]
    statements: Rows[StatementRow]
    decisions: Rows[DecisionRow] | Rows[LineRow]
    teach_back: SheetRecord
    settings_read: SettingsRead | None = None
    policy: PolicyRow
    sources: ByName[SourceRow]
    around: ByName[TextDigest]
    phrases: TextDigest

    @property
    def ruled(self) -> tuple[DecisionRow, ...]:
        """Why each statement is in or out."""
        raise NotImplementedError
