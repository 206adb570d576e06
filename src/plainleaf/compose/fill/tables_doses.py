"""Tables of doses that differ: by the blood sugar, and by the date."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.medicine_words import (
    in_a_row,
    medicine_name,
    ordered_dose,
    small_syringe,
)
from plainleaf.compose.fill.source import SlotSource, say
from plainleaf.facts.calls import call_for
from plainleaf.facts.courses import course_of
from plainleaf.facts.derived import Typed, Value
from plainleaf.facts.plans import step_spans
from plainleaf.facts.sugar_scale import ScaleRow, scale_row
from plainleaf.inputs.patient import Medicine


def sugar_scale(source: SlotSource) -> FilledBlock:
    """What to do at each blood sugar, for each medicine that has a scale."""
    rows = tuple(
        ((_sugar(row),), tuple(_what_to_do(source, medicine, row)))
        for medicine in source.patient.medicines
        for line, words in (medicine.scale or {}).items()
        for row in (scale_row(line, words),)
    )
    return FilledBlock("sugar_scale", "table", ("head-blood-sugar", "head-what-to-do"), rows)


def _sugar(row: ScaleRow) -> Value:
    low = Typed("blood-sugar", row.low)
    if row.high is None:
        return say(f"sugar-{row.span}", limit=low)
    return say(
        "sugar-range", low=Typed("blood-sugar", row.low), high=Typed("blood-sugar", row.high)
    )


def _what_to_do(source: SlotSource, medicine: Medicine, row: ScaleRow) -> Iterator[Value]:
    name = medicine_name(source, medicine)
    if row.does == "call-before":
        assert row.call is not None
        yield say("scale-call-before", medicine=name)
        yield call_for(source.patient, row.call, medicine.name)
        return
    if row.dose is None:
        yield say(f"scale-{row.does}", medicine=name)
        return
    yield say("scale-dose", medicine=name, dose=ordered_dose(row.dose))
    if row.call is not None:
        yield say("scale-then-call", call=call_for(source.patient, row.call, medicine.name))


def dose_steps(source: SlotSource) -> FilledBlock:
    """The dose from day to day of each medicine that changes by date; what is over is left out."""
    rows = tuple(
        row
        for medicine in source.patient.medicines
        if medicine.steps
        for row in _step_rows(source, medicine)
    )
    head = ("head-dates", "head-medicine", "head-dose")
    return FilledBlock("dose_steps", "table", head, rows)


def _step_rows(source: SlotSource, medicine: Medicine) -> Iterator[tuple[Cell, ...]]:
    spans = step_spans(medicine, source.patient.file)
    today = source.patient.prepared_on.date()
    for (first, last), step in zip(spans, medicine.steps, strict=True):
        if last is not None and last < today:
            continue
        dates: Cell = (_dates(first, last),)
        if step is medicine.steps[-1]:
            dates += tuple(_end(source, medicine))
        dose: Cell = (ordered_dose(step.dose),)
        if step.times:
            dose += (in_a_row([Typed("clock-short", clock) for clock in step.times]),)
        if medicine.through is not None:
            dose += tuple(small_syringe(source, step.dose))
        yield dates, (medicine_name(source, medicine),), dose


def _dates(first: object, last: object) -> Value:
    begins = Typed("date", first)  # type: ignore[arg-type]
    if last is None:
        return say("when-from", first=begins)
    return say("dates-from-to", first=begins, last=Typed("date", last))  # type: ignore[arg-type]


def _end(source: SlotSource, medicine: Medicine) -> Iterator[Value]:
    """The last dose of an order that ends, after which nothing is given."""
    last = course_of(medicine, source.patient.file).last_dose()
    if last is not None:
        yield say("last-dose", last=Typed("moment", last))
