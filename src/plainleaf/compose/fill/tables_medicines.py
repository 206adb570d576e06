"""Tables of the medicines."""

from __future__ import annotations

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.medicine_rows import medicine_row, row_place
from plainleaf.compose.fill.medicine_words import dose_value
from plainleaf.compose.fill.source import SlotSource, port_phrase, say, text_of
from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.inputs.patient import Medicine


def _how(source: SlotSource, medicine: Medicine) -> Cell:
    """How to get one medicine ready, in lines."""
    if medicine.through is None:
        return (Phrase("how-not-by-tube"),)
    lines: Cell = ()
    if source.two_ports:
        lines += (say("how-through", port=port_phrase(medicine.through, True)),)
    facts = next(m for m in source.facts.medicines if m.medicine.number == medicine.number)
    if medicine.prepare is not None:
        lines += (text_of(medicine.prepare),)
    elif facts.answers["modified_release"] == "true" or medicine.crush == "never":
        lines += (Phrase("how-never-crush"),)
    elif medicine.crush == "pharmacist-approved":
        lines += (Phrase("how-crush"),)
    elif facts.answers["medicine_form"] == "liquid":
        lines += (Phrase("how-liquid"),)
    else:
        lines += (Phrase("how-ask-pharmacist"),)
    return lines


def _medicine_times(medicine: Medicine) -> list[tuple[int, Value]]:
    if medicine.as_needed:
        return [(2000, Phrase("time-only-when-needed"))]
    return [(t.hour * 60 + t.minute, Typed("clock-short", t)) for t in medicine.times]


def needed_lines(medicine: Medicine) -> Cell:
    """What an as-needed medicine is for and how often; without an entry the page says ask."""
    if not medicine.as_needed:
        return ()
    reason: Value = say("needed-for", reason=text_of(medicine.reason or ""))
    often: Value = say("needed-at-most", often=text_of(medicine.at_most or ""))
    return (
        reason if medicine.reason else Phrase("needed-ask-reason"),
        often if medicine.at_most else Phrase("needed-ask-often"),
    )


def medicine_table(source: SlotSource) -> FilledBlock:
    """Each medicine: when, what and how; in format 1 each of its times has a row."""
    if source.patient.format == 1:
        return _row_for_each_time(source)
    facts = sorted(source.facts.medicines, key=lambda m: row_place(m.medicine))
    rows = tuple(medicine_row(source, medicine) for medicine in facts)
    return FilledBlock("medicine_table", "table", ("head-when", "head-medicine", "head-how"), rows)


def _row_for_each_time(source: SlotSource) -> FilledBlock:
    entries = [
        (minute, medicine.number, when, medicine)
        for medicine in source.patient.medicines
        for minute, when in _medicine_times(medicine)
    ]
    entries.sort(key=lambda entry: entry[:2])
    rows = tuple(
        (
            (when,),
            (text_of(m.name), text_of(m.form), dose_value(m)),
            (*_how(source, m), *needed_lines(m)),
        )
        for _, _, when, m in entries
    )
    return FilledBlock("medicine_table", "table", ("head-time", "head-medicine", "head-how"), rows)
