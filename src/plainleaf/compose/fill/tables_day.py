"""Tables of the day and its log, and the visits."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.medicine_words import dose_value
from plainleaf.compose.fill.source import SlotSource, port_phrase, say, text_of, volume_of
from plainleaf.facts.derived import Event, Phrase, Typed
from plainleaf.facts.runs import runs_all_day

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
