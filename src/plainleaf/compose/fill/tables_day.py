"""Tables of the day by the clock and of its log."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, time
from decimal import ROUND_HALF_UP

from plainleaf.compose.fill.day_feeds import fed_events, feeds_named, food_of
from plainleaf.compose.fill.day_rows import DayByClock, Done, TimeRow, Worded
from plainleaf.compose.fill.day_spans import Line, OfDay, merged, plain_cell, spans_of, variants_of
from plainleaf.compose.fill.day_turns import clock_of
from plainleaf.compose.fill.day_words import DayWords, event_words
from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.medicine_day import off_clock_row
from plainleaf.compose.fill.source import SlotSource, port_phrase, say, volume_of
from plainleaf.facts.derived import Event, Phrase, Totals, Typed, Value
from plainleaf.facts.plans import weekday_of
from plainleaf.vocabulary.quantities import Quantity, mL

__all__ = ["day_log", "day_schedule", "event_words", "time_cell"]


def time_cell(row: TimeRow) -> Cell:
    """The time of a row; after midnight, where dates are named, that they are the new day's."""
    if row.minute is None:
        return (Phrase("time-any"),)
    clock = Typed("clock-short", time(row.minute // 60, row.minute % 60))
    return (clock, Phrase("time-new-day")) if row.new_day else (clock,)


def day_schedule(source: SlotSource) -> FilledBlock:
    """The day by the clock, each time with its doings in order; then what has no time of day, and
    what the day adds up to."""
    clock = DayByClock(source)
    rows = list(map(_as_one, _alike(_clock_rows(source, clock))))
    rows += _off_clock(source, clock)
    rows += _all_day(source, clock)
    return FilledBlock("day_schedule", "table", ("head-time", "head-in-order"), tuple(rows))


def _clock_rows(source: SlotSource, clock: DayByClock) -> list[TimeRow]:
    """A row for each time; with two ports, for each time and port."""
    named, unnamed = (DayWords(source, ports=ports) for ports in (True, False))

    def worded_for(port: str | None) -> Worded:
        words = named if port is None else unnamed
        return lambda done: (line for one in done for line in words.lines(one.event, one.day))

    if source.two_ports:
        return clock.rows_by_port(worded_for)
    return clock.rows(worded_for(None), who=True)


def _alike(rows: Iterable[TimeRow]) -> Iterator[list[TimeRow]]:
    """Times that follow each other and at which the same is done, together."""
    alike: list[TimeRow] = []
    for row in rows:
        if alike and replace(row, minute=alike[0].minute) != alike[0]:
            yield alike
            alike = []
        alike.append(row)
    if alike:
        yield alike


def _as_one(rows: Sequence[TimeRow]) -> tuple[Cell, Cell]:
    """Times with what is done at each of them, and the one port of all of it."""
    times = tuple(said for row in rows for said in time_cell(row))
    port = rows[0].port
    named = () if port in (None, "none") else (port_phrase(str(port), True),)
    return (*times, *named), rows[0].cell


def _off_clock(source: SlotSource, clock: DayByClock) -> Iterator[tuple[Cell, Cell]]:
    """Medicines that no day has a time for."""
    timed = {event.medicine.number for event in clock.every_event() if event.medicine is not None}
    for medicine in source.patient.medicines:
        if medicine.number not in timed:
            yield off_clock_row(source, medicine)


def _all_day(source: SlotSource, clock: DayByClock) -> Iterator[tuple[Cell, Cell]]:
    """What is drunk through the day, what all feedings give, and the sums of the plans."""
    drink = source.patient.person.drink
    if drink is not None:
        yield (Phrase("time-through-day"),), (say("drink-in-all", amount=volume_of(drink)),)
    foods = dict.fromkeys(food_of(e.feed) for e in fed_events(source) if e.feed is not None)
    if foods and not feeds_named(source):
        yield (Phrase("time-each-feeding"),), tuple(foods)
    if source.patient.format == 1:
        return
    spans = spans_of(clock.first, clock.breaks, lambda day: _sums_on(source, day))
    sums = merged(variants_of(spans, plain_cell))
    if 0 < len(sums) <= _LINES_OF_SUMS:
        yield (Phrase("time-in-all"),), sums


def _sums_on(source: SlotSource, day: date) -> OfDay:
    plan = next(p for p in source.facts.plans if p.last is None or day <= p.last)
    named = [w.totals for w in plan.weekdays if w.day == weekday_of(day)]
    lines = tuple(map(Line, _sums(named[0] if named else plan.totals)))
    return OfDay(lines, bool(named))


def _sums(totals: Totals) -> Iterator[Value]:
    """What a day adds up to: formula, and all water."""
    if totals.formula.value > 0:
        yield say("sum-formula", amount=_whole(totals.formula))
    if totals.blended.value > 0:
        yield say("sum-blended", amount=_whole(totals.blended))
    if totals.water.value > 0:
        in_food = totals.water_in_formula.value > 0
        name = "sum-water-with-formula" if in_food else "sum-water"
        yield say(name, amount=_whole(totals.water))


def _whole(amount: Quantity) -> Value:
    """A sum in whole mL: nobody measures it."""
    return volume_of(mL(amount.value.to_integral_value(ROUND_HALF_UP)))


# Sums of more than these plans are for staff, who find them on their sheet.
_LINES_OF_SUMS = 3
# Lines of the log that stay blank for what was not planned.
_BLANK_LOG_ROWS = 3
# What is emptied so often on most days; a line each.
_EMPTYINGS = 4


def _log_kind(event: Event) -> str:
    if event.kind.startswith("pump") or event.kind in ("refill", "set-change"):
        return "pump" if event.kind != "set-change" else "set"
    if event.kind in ("drain-open", "drain-close"):
        return "drain"
    if (event.kind, event.why) == ("extra-water", "flush"):
        return "flush"
    return event.kind


def _log_lines(done: Sequence[Done]) -> Iterator[Line]:
    for kind in dict.fromkeys(_log_kind(one.event) for one in done):
        yield Line(Phrase(f"log-{kind}"))


def _logged(clock: DayByClock, row: TimeRow) -> Cell:
    """What a time may hold on any date; the schedule says on which, where not on all."""
    kinds: Cell = tuple(dict.fromkeys(
        Phrase(f"log-{_log_kind(event)}")
        for event in clock.all_events()
        if clock_of(event) == row.minute
    ))  # fmt: skip
    return row.cell if row.cell == kinds else (*kinds, Phrase("log-some-days"))


def day_log(source: SlotSource) -> FilledBlock:
    """The day's times with room to note what was done."""
    clock = DayByClock(source)
    rows: list[tuple[Cell, ...]] = [
        (time_cell(row)[:1], _logged(clock, row), (), ()) for row in clock.rows(_log_lines)
    ]
    rows += _drained_rows(source)
    rows += [((), (), (), ())] * _BLANK_LOG_ROWS
    head = ("head-time", "head-what", "head-done", "head-notes")
    return FilledBlock("day_log", "log", head, tuple(rows))


def _drained_rows(source: SlotSource) -> list[tuple[Cell, ...]]:
    """Room for what comes out of a draining port, as it is ordered."""
    drainage = source.patient.drainage
    if drainage is None or drainage.record == "not needed":
        return []
    often = _EMPTYINGS if drainage.record == "each emptying" else 1
    name = "log-emptied" if often > 1 else "log-drained-in-all"
    return [((), (Phrase(name),), (), ())] * often
