"""Tables about the tube and the first days."""

from __future__ import annotations

from datetime import datetime

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource, port_phrase, say, text_of
from plainleaf.facts.derived import Phrase, TimelineEntry, Typed, Value
from plainleaf.facts.opening import opened_at
from plainleaf.facts.visit_words import visit_what, visit_when, visits_to_come


def port_table(source: SlotSource) -> FilledBlock:
    """Each port and what it is for."""
    tube = source.patient.tube
    rows: list[tuple[Cell, ...]] = [
        (
            (port_phrase(port, source.two_ports),),
            tuple(Phrase(f"use-{use}") for use in uses),
        )
        for port, uses in tube.ports.items()
    ]
    if tube.held_by == "balloon":
        name: Cell = (Phrase("port-balloon"),)
        if tube.balloon_port_color:
            name += (say("port-color", color=text_of(tube.balloon_port_color)),)
        rows.append((name, (Phrase("use-balloon"), Phrase("use-balloon-never"))))
    return FilledBlock("port_table", "table", ("head-port", "head-used-for"), tuple(rows))


def tube_card(source: SlotSource) -> FilledBlock:
    """The card to cut out: label and value pairs."""
    patient, values = source.patient, source.facts.values
    tube = patient.tube
    rows: list[tuple[str, Cell]] = [
        ("card-name", (text_of(patient.person.name), text_of(patient.person.record_number))),
        ("card-born", (Typed("day-of-year", patient.person.born),)),
        ("card-kind", (Phrase(f"kind-{tube.kind}"), Phrase(f"build-{tube.build}"))),
        ("card-held", (Phrase(f"held-{tube.held_by}"),)),
        ("card-opening", (Typed("day-of-year", opened_at(tube).date()),)),
        ("card-placed", (Typed("day-of-year", tube.placed.date()),)),
        ("card-size", (Typed("size", tube.size),)),
    ]
    for slot in ("button_length", "mark_at_skin", "balloon_fill"):
        if slot in values:
            rows.append((f"card-{slot.replace('_', '-')}", (values[slot],)))
    if tube.position_checked is not None:
        check = tube.position_checked
        rows.append(("card-checked", (Typed("day-of-year", check.on), text_of(check.how))))
    clinic = patient.contacts.clinic
    rows.append(("card-clinic", (text_of(clinic.name or ""), Typed("phone", clinic.phone))))
    rows.append(("card-after-hours", (Typed("phone", patient.contacts.after_hours.phone),)))
    cells = tuple(((Phrase(label),), cell) for label, cell in rows)
    return FilledBlock("tube_card", "card", ("head-item", "head-value"), cells)


_FIRST_DAYS = ("eating", "dressing", "shower", "soreness", "bath", "swim", "lifting", "buttons")


def _when(entry: TimelineEntry) -> Value:
    """A timeline entry as a date or a moment: from, until, between, or already now."""

    def at(moment: datetime) -> Typed:
        if entry.whole_day:
            return Typed("date", moment.date())
        return Typed("moment", moment)

    if entry.id == "buttons" and entry.ends is not None:
        return say("when-between", first=at(entry.starts), last=at(entry.ends))
    if entry.ends is not None:
        return Phrase("when-over") if entry.past else say("when-until", last=at(entry.ends))
    return Phrase("when-now") if entry.past else say("when-from", first=at(entry.starts))


# With another line or tube, washing waits for an answer, not for a date.
_ASK_WITH_OTHER_LINES = ("shower", "bath", "swim")


def first_days_table(source: SlotSource) -> FilledBlock:
    """What may begin or ends when, counted from placement."""
    by_mouth = source.facts.answers["eats"] != "nothing"
    ask = _ASK_WITH_OTHER_LINES if source.facts.answers["other_lines"] == "true" else ()
    rows: list[tuple[Cell, ...]] = [
        (
            (Phrase(f"timeline-{entry.id}"),),
            (Phrase("when-ask") if entry.id in ask else _when(entry),),
        )
        for entry in source.facts.timeline
        if entry.id in _FIRST_DAYS and (by_mouth or entry.id != "eating")
    ]
    coming = visits_to_come(source.patient.visits, source.patient.prepared_on)
    rows += [((visit_what(visit),), (visit_when(visit, at),)) for at, visit in coming]
    return FilledBlock("first_days_table", "table", ("head-what", "head-when"), tuple(rows))


def other_lines_list(source: SlotSource) -> FilledBlock:
    """The other lines and tubes, as recorded."""
    lines = source.patient.other_lines or ()
    rows = tuple(((text_of(line),),) for line in lines)
    return FilledBlock("other_lines_list", "list", ("head-other-lines",), rows)
