"""A dose by the blood sugar before it: whether each value that a meter shows has one line.

A meter shows whole mg/dL or tenths of mmol/L, so that nothing lies between 199 and 200 mg/dL. A
scale begins with `below` and ends with `or more`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from plainleaf.vocabulary.doses import Dose, read_dose_and_equal
from plainleaf.vocabulary.quantities import Quantity, read_number

# Unit → what a meter counts in; common practice, no source.
STEPS = {"mg/dL": Decimal(1), "mmol/L": Decimal("0.1")}
_LINE = re.compile(r"(?:(below) )?(\S+)(?: to (\S+))? (mg/dL|mmol/L)(?: (or more))?")
_CALL = re.compile(r"call (\w+)")


@dataclass(frozen=True)
class ScaleLine:
    """One line: the values of its unit from `first`, up to `end`, which is not of it.

    Both count steps of the meter; `end` None has no upper end.
    """

    words: str
    unit: str
    first: int
    end: int | None
    is_below: bool

    @property
    def empty(self) -> bool:
        """Whether no value falls under it, as of a line that begins with the larger."""
        return self.end is not None and self.end <= self.first


def scale_line(words: str) -> ScaleLine:
    """A line from its key.

    >>> scale_line("70 to 159 mg/dL").end
    160
    """
    match = _LINE.fullmatch(words)
    assert match is not None, words
    below, low, high, unit, more = match.groups()
    number = read_number(low)
    if below:
        return ScaleLine(words, unit, 0, _up(number, unit), is_below=True)
    end = None if more else _down(read_number(high or low), unit) + 1
    return ScaleLine(words, unit, _up(number, unit), end, is_below=False)


def _up(number: Decimal, unit: str) -> int:
    return int((number / STEPS[unit]).to_integral_value(ROUND_CEILING))


def _down(number: Decimal, unit: str) -> int:
    return int((number / STEPS[unit]).to_integral_value(ROUND_FLOOR))


def _shown(value: int, unit: str) -> str:
    return f"{value * STEPS[unit]} {unit}"


def scale_gaps(lines: Iterable[str]) -> list[str]:
    """Values that no line holds, in words; lines of another unit hold none of the first.

    >>> scale_gaps(["below 70 mg/dL", "72 to 99 mg/dL", "100 mg/dL or more"])
    ['70 to 71 mg/dL']
    """
    every = [scale_line(words) for words in lines]
    missing = [f"no value falls under '{line.words}'" for line in every if line.empty]
    for unit in dict.fromkeys(line.unit for line in every):
        missing += _gaps_of([line for line in every if line.unit == unit and not line.empty], unit)
    if not any(line.is_below for line in every):
        missing.append("it does not begin with a line of 'below'")
    return missing


def _gaps_of(lines: list[ScaleLine], unit: str) -> list[str]:
    """Gaps between the lines of one unit, from zero on."""
    missing, reached = [], 0
    for line in sorted(lines, key=lambda line: line.first):
        if line.first > reached:
            missing.append(_between(reached, line.first - 1, unit))
        if line.end is None:
            return missing
        reached = max(reached, line.end)
    return [*missing, f"{_shown(reached, unit)} or more"]


def _between(first: int, last: int, unit: str) -> str:
    if first == last:
        return _shown(first, unit)
    return f"{first * STEPS[unit]} to {_shown(last, unit)}"


def scale_overlaps(lines: Iterable[str]) -> list[str]:
    """Values that two lines hold, in words.

    >>> scale_overlaps(["below 70 mg/dL", "60 to 99 mg/dL", "100 mg/dL or more"])
    ['60 to 69 mg/dL']
    """
    every = sorted((scale_line(w) for w in lines), key=lambda line: (line.unit, line.first))
    full = [line for line in every if not line.empty]
    return [
        words
        for number, line in enumerate(full)
        for other in full[number + 1 :]
        if line.unit == other.unit and (words := _common(line, other))
    ]


def _common(line: ScaleLine, other: ScaleLine) -> str:
    first = max(line.first, other.first)
    ends = [end for end in (line.end, other.end) if end is not None]
    if not ends:
        return f"{_shown(first, line.unit)} or more"
    return _between(first, min(ends) - 1, line.unit) if first < min(ends) else ""


def low_limit(scale: Mapping[str, str]) -> Quantity | None:
    """The amount of the line of `below`, if there is one."""
    for words in scale:
        match = _LINE.fullmatch(words)
        if match is not None and match[1]:
            return Quantity(read_number(match[2]), match[4])
    return None


def called_by(scale: Mapping[str, str]) -> tuple[str, ...]:
    """Keys of the contacts that its lines call, each once.

    >>> called_by({"340 mg/dL or more": "9 units, then call after_hours"})
    ('after_hours',)
    """
    return tuple(dict.fromkeys(key for words in scale.values() for key in _CALL.findall(words)))


def doses_of(scale: Mapping[str, str]) -> tuple[str, ...]:
    """The doses of its lines, as they are written."""
    doses = (words.partition(", then ")[0] for words in scale.values())
    return tuple(words for words in doses if words[0].isdigit() or words.startswith("half"))


@dataclass(frozen=True)
class ScaleRow:
    """One line of a scale taken apart.

    `span`: below, range or more, of `low` and, for a range, `high`. `does`: dose, no-dose,
    low-sugar-plan or call-before; `call`: the key of the contact to call, before or after the dose.
    """

    span: str
    low: Quantity
    high: Quantity | None
    does: str
    dose: Dose | None = None
    call: str | None = None


def scale_row(line: str, words: str) -> ScaleRow:
    """One line of a scale from its key and value.

    >>> scale_row("340 mg/dL or more", "9 units, then call after_hours").call
    'after_hours'
    """
    match = _LINE.fullmatch(line)
    assert match is not None, line
    below, low, high, unit, more = match.groups()
    span = "below" if below else "more" if more else "range"
    last = Quantity(read_number(high), unit) if high else None
    called = _CALL.search(words)
    does = {"no dose": "no-dose", "low-sugar plan": "low-sugar-plan"}.get(words, "dose")
    if words.endswith(" before giving"):
        does = "call-before"
    dose = read_dose_and_equal(words.partition(", then ")[0]) if does == "dose" else None
    call = called[1] if called else None
    return ScaleRow(span, Quantity(read_number(low), unit), last, does, dose, call)
