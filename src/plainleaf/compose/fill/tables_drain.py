"""Tables of a port that drains or lets air out; their rows follow the order."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource, say
from plainleaf.facts.derived import Phrase, Typed
from plainleaf.facts.opening import span
from plainleaf.inputs.patient.order_values import Drainage, Venting

# Lines of the log for one sheet.
_LOG_ROWS = 12


def _clock(at: time) -> Typed:
    return Typed("clock", at)


def _times(drainage: Drainage) -> Cell:
    """From when to when it drains."""
    if not drainage.times or drainage.lasts is None:
        return (Phrase("drain-always"),)
    long = span(drainage.lasts)
    return tuple(
        say(
            "drain-span",
            start=_clock(start),
            stop=_clock((datetime.combine(datetime.min, start) + long).time()),
        )
        for start in drainage.times
    )


def _may_close(drainage: Drainage) -> Cell:
    """When it may be closed, each with its most."""
    return tuple(
        say("drain-close-at-most", when=Phrase(f"drain-close-{when}"), span=Typed("span", long))
        for when, long in drainage.may_close.items()
    )


def _drain_rows(drainage: Drainage) -> Iterator[tuple[str, Cell]]:
    yield "drain-when", _times(drainage)
    yield "drain-into", (Phrase(f"drain-into-{drainage.into}"),)
    yield "drain-close", _may_close(drainage)
    if drainage.record != "not needed":
        yield "drain-record", (Phrase(f"drain-record-{drainage.record.replace(' ', '-')}"),)


def _vent_rows(venting: Venting) -> Iterator[tuple[str, Cell]]:
    yield "vent-when", tuple(Phrase(f"vent-when-{when.replace(' ', '-')}") for when in venting.when)
    yield "vent-how", (Phrase(f"vent-how-{venting.how}"),)
    yield "vent-how-long", (Typed("span", venting.lasts),)


def _table(name: str, rows: Iterator[tuple[str, Cell]]) -> FilledBlock:
    cells = tuple(((Phrase(label),), cell) for label, cell in rows)
    return FilledBlock(name, "table", ("head-what", "head-your-order"), cells)


def drain_table(source: SlotSource) -> FilledBlock:
    """When a port drains, into what, and how long it may be closed."""
    drainage = source.patient.drainage
    return _table("drain_table", iter(()) if drainage is None else _drain_rows(drainage))


def vent_table(source: SlotSource) -> FilledBlock:
    """When air is let out, with what and for how long."""
    venting = source.patient.venting
    return _table("vent_table", iter(()) if venting is None else _vent_rows(venting))


def drain_log(source: SlotSource) -> FilledBlock:
    """Room to write down what drained."""
    head = ("head-when", "log-drained", "head-color", "head-notes")
    return FilledBlock("drain_log", "log", head, (((), (), (), ()),) * _LOG_ROWS)
