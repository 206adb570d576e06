"""The part `teach_back` of `packet.json`: what the sheet asks, of whom, and in which words."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from plainleaf.packet.record.bounds import ByName, Minute, Name, RecordPart, Rows, Version

# Plain text as text, a merged value as [text, kind].
RunRow = str | tuple[str, str]
WordsRow = Rows[RunRow]


class TableRow(RecordPart):
    """A table of a statement; a cell is a list of lines."""

    name: Name
    look: Name
    head: Rows[WordsRow]
    rows: Rows[Rows[Rows[WordsRow]]]


class SheetStatementRow(RecordPart):
    """A statement that the sheet names: words, a table, or neither."""

    kind: Name
    words: WordsRow | None = None
    block: TableRow | None = None


class LearnerRow(RecordPart):
    """Someone who is taught."""

    name: str
    relation: Name
    language: Name
    handout: Name
    hands_on: bool
    phone: str | None
    duties: Rows[Name] | None = None


class ItemRow(RecordPart):
    """A question or a skill with the statements that it is about; `page` of the handout."""

    id: Name
    module: Name
    kind: Literal["tell", "show"]
    critical: bool
    points: Rows[Name]
    duty: Rows[Name] = ()
    topic: str = ""
    page: str = ""


class SignerRow(RecordPart):
    """Who signs, and the key of the fields."""

    key: Name
    who: str


class SpeechRow(RecordPart):
    """The words of the sheet in one language."""

    language: Name
    direction: Literal["ltr", "rtl"]
    marks: str
    identity: str
    version: str
    staff_mark: str
    titles: ByName[WordsRow]
    asks: ByName[WordsRow]
    again: ByName[WordsRow]
    statements: ByName[SheetStatementRow]


class PhonesRow(RecordPart):
    """Whom the papers name; `hospice` where it is called before the emergency number."""

    clinic: str
    after_hours: str
    emergency: str
    hospice: str | None = None


class SheetRecord(RecordPart):
    """One sheet. `print_size` in points; `tries`: boxes after which a plan is due. `format`: which
    form it has, by which its fields are read; `letters`: of its lines for sessions, from form 2.
    """

    format: Literal[1, 2]
    version: Version
    made: Minute
    staff_language: Name
    print_size: Annotated[int, Field(ge=6, le=100)]
    tries: Annotated[int, Field(ge=1, le=20)]
    letters: Rows[Name] = ()
    interpreter_needed: bool
    learners: Rows[LearnerRow]
    items: Rows[ItemRow]
    needs: Rows[Name]
    signers: Rows[SignerRow]
    danger: ByName[Rows[Name]]
    phones: PhonesRow
    words: ByName[SpeechRow]
