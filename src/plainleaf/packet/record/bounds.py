"""What a value of a record may be: every number, text, list and date from a file has its bounds."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime
from typing import Annotated, Any, TypeVar

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    PlainValidator,
    WithJsonSchema,
)

# Far above what any packet holds, far below what would harm: a record has some hundred rows, and
# its longest text is the table of a day. Amounts are mL, kcal or pieces.
LONGEST_NAME = 300
LONGEST_TEXT = 200_000
MOST_ROWS = 100_000
LARGEST_AMOUNT = 1_000_000_000
# A patient file holds years up to 2100; what is counted from them may lie later.
FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2199, 12, 31)

_DAY = "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"
_MINUTE = "^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}$"
Row = TypeVar("Row")


class RecordPart(BaseModel):
    """A part of a record: exactly its keys, exactly their types, never changed."""

    model_config = ConfigDict(
        frozen=True,
        strict=True,
        extra="forbid",
        allow_inf_nan=False,
        str_max_length=LONGEST_TEXT,
        defer_build=True,
    )


def _amount(value: object) -> int | float:
    # What is no number at all (NaN) lies in no range.
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if is_number and 0 <= value <= LARGEST_AMOUNT:  # type: ignore[operator]
        return value  # type: ignore[return-value]
    raise ValueError(f"is no number from 0 to {LARGEST_AMOUNT}")


def _day(value: object) -> date:
    if isinstance(value, str) and re.fullmatch(_DAY, value):
        value = date.fromisoformat(value)
    if type(value) is not date or not FIRST_DAY <= value <= LAST_DAY:
        raise ValueError(f"is no day from {FIRST_DAY} to {LAST_DAY}")
    return value


def _minute(value: object) -> datetime:
    if isinstance(value, str) and re.fullmatch(_MINUTE, value):
        value = datetime.fromisoformat(value)
    if not isinstance(value, datetime) or not FIRST_DAY <= value.date() <= LAST_DAY:
        raise ValueError(f"is no moment from {FIRST_DAY} to {LAST_DAY}, without zone")
    return value


def _text(pattern: str) -> Any:
    return Field(pattern=pattern, max_length=LONGEST_NAME)


def _schema(pattern: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "pattern": pattern})


Name = Annotated[str, Field(min_length=1, max_length=LONGEST_NAME)]
# Ten characters of a packet, sixteen of a text, sixty-four of a file.
Version = Annotated[str, _text("^[0-9a-f]{10}$")]
TextDigest = Annotated[str, _text("^[0-9a-f]{16}$")]
Digest = Annotated[str, _text("^[0-9a-f]{64}$")]
# A file of the packet's own folder, not a hidden one.
FileName = Annotated[str, _text(r"^[^./\\\x00-\x1f\x7f-\x9f][^/\\\x00-\x1f\x7f-\x9f]*$")]
Clock = Annotated[str, _text("^([01][0-9]|2[0-3]):[0-5][0-9]$")]
Count = Annotated[int, Field(ge=0, le=LARGEST_AMOUNT)]
Amount = Annotated[
    int | float,
    PlainValidator(_amount),
    WithJsonSchema({"type": "number", "minimum": 0, "maximum": LARGEST_AMOUNT}),
]
Day = Annotated[
    date, BeforeValidator(_day), PlainSerializer(date.isoformat, return_type=str), _schema(_DAY)
]
Minute = Annotated[
    datetime,
    BeforeValidator(_minute),
    PlainSerializer(lambda moment: moment.isoformat(timespec="minutes"), return_type=str),
    _schema(_MINUTE),
]
Rows = Annotated[tuple[Row, ...], Field(max_length=MOST_ROWS)]
ByName = Annotated[Mapping[Name, Row], Field(max_length=MOST_ROWS)]
