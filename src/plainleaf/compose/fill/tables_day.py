"""Tables of medicines, the day and its log, and the visits."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource, port_phrase, say, text_of, volume_of
from plainleaf.facts.derived import Event, Phrase, Typed, Value
from plainleaf.facts.runs import runs_all_day
from plainleaf.inputs.patient import Medicine


def dose_value(medicine: Medicine) -> Typed:
    """The dose as it is ordered; it is never rounded in print."""
    return Typed("dose", medicine.dose)


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


def _needed_lines(medicine: Medicine) -> Cell:
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
    """Each dose: time, medicine and dose, how to give it."""
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
            (*_how(source, m), *_needed_lines(m)),
        )
        for _, _, when, m in entries
    )
    return FilledBlock("medicine_table", "table", ("head-time", "head-medicine", "head-how"), rows)


# What is done to a pump without an amount.
_PUMP_ALONE = ("pump-stop", "pump-pause", "pump-hold", "pump-resume")


def event_words(event: Event, two_ports: bool) -> Phrase:
    """One line of the day's schedule."""
    port = port_phrase(event.through, two_ports) if event.through != "none" else None
    port_values = {"port": port} if port and two_ports else {}
    suffix = "-through" if port_values else ""
    if event.kind == "medicine":
        assert event.medicine is not None
        named = {"medicine": text_of(event.medicine.name), "dose": dose_value(event.medicine)}
        name = "event-medicine-outside" if event.through == "none" else f"event-medicine{suffix}"
        return say(name, **named, **port_values)
    if event.kind in _PUMP_ALONE:
        return say(f"event-{event.kind}{suffix}", **port_values)
    assert event.amount is not None
    amount = {"amount": volume_of(event.amount)}
    if event.kind == "pump-start":
        assert event.feed is not None and event.feed.rate is not None
        rate = {"rate": Typed("rate", event.feed.rate)}
        name = "event-pump-all-day" if runs_all_day(event.feed) else "event-pump-start"
        return say(f"{name}{suffix}", **amount, **rate, **port_values)
    if event.kind == "feed":
        assert event.feed is not None
        return say(f"event-{event.feed.method}{suffix}", **amount, **port_values)
    return say(f"event-{event.kind}{suffix}", **amount, **port_values)


def _by_minute(events: Sequence[Event]) -> list[tuple[int, list[Event]]]:
    return [(m, list(group)) for m, group in groupby(events, key=lambda event: event.minute)]


def day_schedule(source: SlotSource) -> FilledBlock:
    """The day by the clock, each time with its doings in order."""
    rows = tuple(
        (
            (Typed("clock-short", events[0].at),),
            tuple(event_words(event, source.two_ports) for event in events),
        )
        for _, events in _by_minute(source.facts.events)
    )
    return FilledBlock("day_schedule", "table", ("head-time", "head-in-order"), rows)


# Lines of the log that stay blank for what was not planned.
_BLANK_LOG_ROWS = 3


def _log_words(events: Sequence[Event]) -> Cell:
    kinds = dict.fromkeys(
        "pump" if event.kind.startswith("pump") else event.kind for event in events
    )
    return tuple(Phrase(f"log-{kind}") for kind in kinds)


def day_log(source: SlotSource) -> FilledBlock:
    """The day's times with room to note what was done."""
    rows: list[tuple[Cell, ...]] = [
        ((Typed("clock-short", events[0].at),), _log_words(events), (), ())
        for _, events in _by_minute(source.facts.events)
    ]
    rows += [((), (), (), ())] * _BLANK_LOG_ROWS
    head = ("head-time", "head-what", "head-done", "head-notes")
    return FilledBlock("day_log", "log", head, tuple(rows))


def visits_table(source: SlotSource) -> FilledBlock:
    """Visits to come, earliest first."""
    coming = sorted(
        (v for v in source.patient.visits if v.when >= source.patient.prepared_on),
        key=lambda visit: visit.when,
    )
    rows = tuple(
        (
            (Typed("moment", visit.when),),
            (text_of(visit.what),),
            (text_of(visit.where) if visit.where else Phrase("ask-where"),),
        )
        for visit in coming
    )
    return FilledBlock("visits_table", "table", ("head-when", "head-what", "head-where"), rows)
