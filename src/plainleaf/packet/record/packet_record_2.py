"""The shape of `packet.json` for a file of format 2: plans by date, and who settled what."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from plainleaf.packet.record.bounds import Amount, ByName, Day, Minute, Name, RecordPart, Rows
from plainleaf.packet.record.packet_rows import (
    DecisionRow,
    FindingRow,
    LineRow,
    PacketRecord,
    ScheduleRow,
    SupplyRow,
    TimelineRow,
    TotalsRow,
)

# Who settled a finding, with whom, when and with which outcome; what an outcome says, by its key.
SettlementRow = ByName[str | None | Rows[ByName[str]]]


class FindingRow2(FindingRow):
    """One finding with its code, and who settled it with what; null where it is open."""

    code: Name | None
    settled: SettlementRow | None


class TotalsRow2(TotalsRow):
    """What one day adds up to; `drained_flush_ml` is in no sum."""

    mixing_ml: Amount
    juice_ml: Amount
    drink_ml: Amount
    drained_flush_ml: Amount


class PresenceRow(RecordPart):
    """Who may do a thing and is there, on some days of the week."""

    days: Rows[Name]
    names: Rows[str]


class ScheduleRow2(ScheduleRow):
    """One line of a day: the key of its order, the duty that it asks for, and who has it then."""

    least_ml: Amount | None
    order: Name | None
    duty: Name | None
    who: Rows[PresenceRow]


class WeekdayRow(RecordPart):
    """A day of the week that is not like the ordinary day of a plan."""

    day: Name
    schedule: Rows[ScheduleRow2]
    totals: TotalsRow2


class RecurringRow(RecordPart):
    """What comes every so many days."""

    order: Name
    at: Minute
    every: Name
    schedule: Rows[ScheduleRow2]


class AsNeededRow(RecordPart):
    """What one as-needed dose adds to no sum."""

    order: Name
    one_dose_ml: Amount


class DatesRow(RecordPart):
    """Days that are all alike; `changed`: keys of what changes on the first of them."""

    first: Day = Field(alias="from")
    last: Day | None = Field(alias="until")
    changed: Rows[Name]
    schedule: Rows[ScheduleRow2]
    totals: TotalsRow2
    weekdays: Rows[WeekdayRow]
    recurring: Rows[RecurringRow]
    as_needed_ml: Rows[AsNeededRow]


class TimelineRow2(TimelineRow):
    """Something that begins, ends or is due, and how often it comes again."""

    every: Name | None


class SupplyRow2(SupplyRow):
    """One line of the list; `unit`: what `count` counts, where it is no piece."""

    name: str | None
    unit: Name | None


class TypedRow(RecordPart):
    """A value of the patient file, and the statements, tables and papers that print it."""

    key: Name
    prints: Rows[Name]


class PacketRecord2(PacketRecord):
    """Format 2. `decisions`: what people decided; `rulings`: why each statement is in or out."""

    format: Literal[2]
    findings: Rows[FindingRow2]
    totals: TotalsRow2
    schedule: Rows[ScheduleRow2]
    timeline: Rows[TimelineRow2]
    supplies: Rows[SupplyRow2]
    decisions: Rows[LineRow]
    plans: Rows[DatesRow]
    typed: Rows[TypedRow]
    rulings: Rows[DecisionRow]

    @property
    def ruled(self) -> tuple[DecisionRow, ...]:
        """Why each statement is in or out."""
        return self.rulings
