"""Clock times and spans of a schedule, as far as it gives them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import time
from typing import Any
from zoneinfo import ZoneInfo

from plainleaf.inputs.fhir.codes import PERIODS, local_moment
from plainleaf.inputs.fhir.notes import Notes
from plainleaf.inputs.strict_yaml import read_clock
from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.quantities import Quantity, read_quantity

_MINUTES = 1440


def duration_of(name: str, repeat: Mapping[str, Any], notes: Notes) -> Quantity | None:
    """How long something runs; None where the schedule does not say, which is told."""
    if "duration" not in repeat:
        return None
    span = _span(repeat["duration"], repeat.get("durationUnit"))
    if span is None or "durationMax" in repeat:
        notes.add(name, "how long it runs is not one span in min, h or d. It was not taken.")
        return None
    return span


def _span(value: Any, unit: Any) -> Quantity | None:
    try:
        return read_quantity(f"{value} {PERIODS.get(str(unit), '')}", "time span")
    except UnitError:
        return None


def times_of(
    name: str, repeat: Mapping[str, Any], events: Sequence[str], zone: ZoneInfo, notes: Notes
) -> tuple[time, ...]:
    """Clock times of a schedule on the clinic's clocks; empty where it gives none."""
    if repeat.get("timeOfDay"):
        return _clocks(name, repeat["timeOfDay"], notes)
    start = (repeat.get("boundsPeriod") or {}).get("start")
    begins = [_local(text, zone) for text in (*events, *([start] if start else []))]
    clocks = [clock for clock in begins if clock is not None]
    if "period" in repeat and len(clocks) == 1:
        return _repeated(name, clocks[0], repeat, notes)
    if not clocks:
        notes.add(name, "gives no clock time.")
    return tuple(sorted(set(clocks)))


def _clocks(name: str, given: Sequence[Any], notes: Notes) -> tuple[time, ...]:
    try:
        return tuple(sorted({read_clock(str(text).removesuffix(":00")) for text in given}))
    except UnitError as error:
        notes.add(name, f"{error.wrong} Its times were not taken.")
        return ()


def _local(text: str, zone: ZoneInfo) -> time | None:
    """The clock time of a date with time and offset; None for a date alone."""
    moment = local_moment(text, zone)
    return None if moment is None else moment.time()


def _repeated(name: str, start: time, repeat: Mapping[str, Any], notes: Notes) -> tuple[time, ...]:
    """Every so often from a start, where a day holds it a whole number of times."""
    span = _span(repeat["period"], repeat.get("periodUnit"))
    count = int(repeat.get("frequency", 1))
    if span is not None and 0 < count <= _MINUTES and "periodMax" not in repeat:
        minutes = span.to("min").value / count
        if minutes and minutes % 1 == 0 and _MINUTES % int(minutes) == 0:
            first = start.hour * 60 + start.minute
            every = range(first, first + _MINUTES, int(minutes))
            return tuple(sorted(time(m % _MINUTES // 60, m % 60) for m in every))
    notes.add(name, "how often it is given does not divide a day. Write the times.")
    return ()
