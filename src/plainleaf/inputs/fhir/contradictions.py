"""What does not fit together in a feeding order: volume and most, strength and words, clocks.

The program reports and takes no side. Rows FH-13 and FH-14 of the print reference.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import time
from decimal import Decimal, InvalidOperation
from itertools import groupby
from typing import Any

from plainleaf.inputs.fhir.codes import written
from plainleaf.inputs.fhir.nutrition_orders import Draft, span_of, volume_in
from plainleaf.vocabulary.quantities import Quantity, total

_STRENGTH = re.compile(
    r"(\d+(?:\.\d+)?)(?:\s*(?:-|to|and|or)\s*(\d+(?:\.\d+)?))?\s*k?(?:cal|calories)\s*"
    r"(?:/|per|each|an)\s*(?:fl\.?\s*)?(oz|ounce|ml|milliliter)",
    re.IGNORECASE,
)
_CLOCK = re.compile(r"\b(1[0-2]|0?[1-9])(?::([0-5][0-9]))?\s*([ap])\.?m\b", re.IGNORECASE)
_MINUTES = 1440
# Per what a strength is → our unit.
_STRENGTHS = {"mL": "kcal/mL", "oz": "kcal/fl oz"}
# How far a label in kcal per ounce may be from the same in kcal/mL: 30 per oz is sold as 1.0.
_ROUNDED = Decimal("0.03")


def contradictions(drafts: Sequence[Draft]) -> Iterator[str]:
    """One line for each thing in the orders that does not fit another."""
    for order_name, group in groupby(drafts, key=lambda draft: draft.where):
        steps = list(group)
        for says in (*_most(steps), *_strength(steps[0]), *_clocks(steps)):
            yield f"{order_name}: {says}"


def volume_of(steps: Sequence[Draft]) -> Quantity | None:
    """What one order gives in a day, where every part of it is known."""
    parts = [step.a_day for step in steps]
    return total([part.to("mL") for part in parts if part]) if all(parts) and parts else None


def _most(steps: Sequence[Draft]) -> Iterator[str]:
    most, whole = steps[0].most, volume_of(steps)
    if most is None:
        return
    if whole is not None and whole > most.to("mL"):
        yield f"it gives {whole} a day, more than its most of {most}.{_reached(steps, most)}"
    elif steps[-1].open_end:
        yield from _most_of_open(steps, most)


def _reached(steps: Sequence[Draft], most: Quantity) -> str:
    reached = reached_at(steps, most)
    return f" The most is reached at {reached:%H:%M}." if reached else ""


def reached_at(steps: Sequence[Draft], most: Quantity) -> time | None:
    """The clock time at which pump rates have given the most; None where they never do."""
    given = Quantity(Decimal(0), "mL")
    for step in steps:
        if step.rate is None or step.starts is None or step.rate.value == 0:
            return None
        minutes = (most.to("mL") - given).value * 60 / step.rate.value
        if step.runs_for is None or step.runs_for.to("min").value >= minutes:
            minute = _minute(step.starts) + int(minutes)
            return time(minute % _MINUTES // 60, minute % 60)
        given = given + volume_in(step.rate, step.runs_for)
    return None


def _most_of_open(steps: Sequence[Draft], most: Quantity) -> Iterator[str]:
    """The last rate has no end: when the most is reached, and what an end in the text makes."""
    last, full = steps[-1], reached_at(steps, most)
    if full is None or last.starts is None or last.rate is None:
        return
    yield f"it does not say when {last.rate} stops. The most of {most} is reached at {full:%H:%M}."
    begins = _minute(last.starts)
    ends = sorted((_minute(clock) - begins) % _MINUTES for clock in clocks_in(last.instruction))
    ends = [end for end in ends if end]
    if ends:
        minute = (begins + ends[0]) % _MINUTES
        until = time(minute // 60, minute % 60)
        whole = volume_of([*steps[:-1], replace(last, runs_for=span_of(ends[0]))])
        if whole is not None and whole > most.to("mL"):
            yield f"until {until:%H:%M}, which its text names, it gives {whole}: more than {most}."


def _minute(clock: time) -> int:
    return clock.hour * 60 + clock.minute


# --- words against codes ------------------------------------------------------------------


def strengths_in(text: str) -> list[tuple[Decimal, str]]:
    """Strengths that a text names: number and per what.

    >>> strengths_in("go from 1.0 cal/mL to 1.5 cal/mL")
    [(Decimal('1.0'), 'mL'), (Decimal('1.5'), 'mL')]
    """
    strengths = []
    for low, high, unit in _STRENGTH.findall(text):
        per = "oz" if unit.lower().startswith("o") else "mL"
        strengths += [(Decimal(number), per) for number in (low, high) if number]
    return strengths


def _strength(draft: Draft) -> Iterator[str]:
    """Strengths of the text that are not the coded one, each in its own unit."""
    coded = None if draft.coded_energy is None else _coded_strength(draft.coded_energy)
    if coded is None or draft.coded_energy is None:
        return
    other = [
        f"{number:f} per {per}"
        for number, per in strengths_in(draft.instruction)
        if not _same_strength(Quantity(number, _STRENGTHS[per]), coded)
    ]
    if other:
        words = " and ".join(dict.fromkeys(other))
        yield f"its strength is {written(draft.coded_energy)}, and its text speaks of {words}. Ask."


def _coded_strength(coded: Mapping[str, Any]) -> Quantity | None:
    """A coded strength by its number and whether it is one of an ounce; None for no number."""
    unit = str(coded.get("code") or coded.get("unit") or "")
    try:
        value = Decimal(str(coded.get("value")))
    except InvalidOperation:
        return None
    return Quantity(value, _STRENGTHS["oz" if "oz" in unit else "mL"])


def _same_strength(named: Quantity, coded: Quantity) -> bool:
    """Whether two strengths are one: in one unit exactly, in two as labels round them."""
    if named.unit == coded.unit:
        return named == coded
    return abs((named - coded).value) <= named.value * _ROUNDED


def clocks_in(text: str) -> list[time]:
    """Clock times that a text names.

    >>> clocks_in("hold from 7 pm to 7 am")
    [datetime.time(19, 0), datetime.time(7, 0)]
    """
    return [
        time(int(hour) % 12 + (12 if half.lower() == "p" else 0), int(minute or 0))
        for hour, minute, half in _CLOCK.findall(text)
    ]


def _clocks(steps: Sequence[Draft]) -> Iterator[str]:
    coded_times = {clock for step in steps for clock in step.times}
    for step in steps:
        if step.starts is not None:
            coded_times.add(step.starts)
            if step.runs_for is not None:
                end = _minute(step.starts) + int(step.runs_for.to("min").value)
                coded_times.add(time(end % _MINUTES // 60, end % 60))
    if not coded_times:
        return
    other = [
        clock
        for clock in dict.fromkeys(clocks_in(steps[0].instruction))
        if clock not in coded_times
    ]
    if other:
        worded = " and ".join(f"{clock:%H:%M}" for clock in other)
        coded = ", ".join(f"{clock:%H:%M}" for clock in sorted(coded_times))
        yield f"its text names {worded}, and its times on the clinic's clocks are {coded}. Ask."
