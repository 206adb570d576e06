"""Tables of feedings and flushes, and of the month's supplies."""

from __future__ import annotations

from decimal import Decimal

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource, formula_text, port_phrase, say, volume_of
from plainleaf.compose.fill.tables_water import flush_rows
from plainleaf.facts.derived import Event, Phrase, Supply, Typed, Value
from plainleaf.facts.runs import pump_span, runs_all_day
from plainleaf.vocabulary.quantities import Quantity


def feed_table(source: SlotSource) -> FilledBlock:
    """Each feeding: time, what and how, how much."""
    rows: list[tuple[Cell, ...]] = []
    for event in source.facts.events:
        if event.kind not in ("feed", "pump-start") or event.feed is None:
            continue
        rows.append(((_feed_time(event),), _feed_what(source, event), _feed_amount(event)))
    return FilledBlock(
        "feed_table", "table", ("head-time", "head-what", "head-how-much"), tuple(rows)
    )


def _feed_time(event: Event) -> Value:
    assert event.feed is not None
    if event.kind == "feed":
        return Typed("clock-short", event.at)
    if runs_all_day(event.feed):
        return say("time-all-day", start=Typed("clock-short", event.at))
    _, end = pump_span(event.feed)
    stop = Event(end, "pump-stop", event.through).at
    return say(
        "time-from-to", start=Typed("clock-short", event.at), stop=Typed("clock-short", stop)
    )


def _feed_what(source: SlotSource, event: Event) -> Cell:
    feed = event.feed
    assert feed is not None
    what = (
        formula_text(feed.formula.name, feed.formula.energy)
        if feed.formula
        else Phrase("blended-food")
    )
    lines: Cell = (what, Phrase(f"method-{feed.method}"))
    if source.two_ports:
        lines += (port_phrase(feed.through, True),)
    return lines


def _feed_amount(event: Event) -> Cell:
    feed = event.feed
    assert feed is not None and event.amount is not None
    lines: Cell = (volume_of(event.amount),)
    if feed.rate is not None:
        lines += (Typed("rate", feed.rate),)
    if feed.over is not None:
        lines += (say("amount-over", span=Typed("span", feed.over)),)
    return lines


def _flush_rows(source: SlotSource) -> list[tuple[Value, str, Quantity]]:
    """When, port and amount of each kind of flush that the printed day holds, once each."""
    seen: dict[tuple[str, str], Quantity] = {}
    for event in source.facts.events:
        if event.kind == "flush" and event.amount is not None:
            seen.setdefault((event.why, event.through), event.amount)
    order = ("before-feed", "after-feed", "every", "medicine", "daily")
    rows: list[tuple[Value, str, Quantity]] = []
    for why, port in sorted(seen, key=lambda key: (order.index(key[0]), key[1])):
        every = source.patient.water.every
        when: Value = Phrase(f"flush-{why}")
        if why == "every" and every is not None:
            when = say("flush-every", span=Typed("span", every))
        rows.append((when, port, seen[why, port]))
    return rows


def flush_table(source: SlotSource) -> FilledBlock:
    """Each kind of flush that the printed day holds, and the extra water."""
    head = ("head-when", "head-how-much-water")
    if source.patient.format != 1:
        return FilledBlock("flush_table", "table", head, flush_rows(source))
    rows: list[tuple[Cell, ...]] = []
    for when, port, amount in _flush_rows(source):
        lines: Cell = (when,)
        if source.two_ports:
            lines += (port_phrase(port, True),)
        rows.append((lines, (volume_of(amount),)))
    extra = source.patient.water.extra
    for clock in extra.times if extra else ():
        assert extra is not None
        clock_words = say("extra-water-at", time=Typed("clock-short", clock))
        rows.append(((clock_words,), (volume_of(extra.amount),)))
    return FilledBlock("flush_table", "table", head, tuple(rows))


# Less than half an ounce left in the last container is not worth a line.
_WORTH_SAYING = Quantity(Decimal(15), "mL")


def _supply_row(supply: Supply) -> tuple[Cell, ...]:
    if supply.id != "formula" or supply.size is None or supply.a_day is None:
        return ((Phrase(f"supply-{supply.id}"),), (Typed("count", supply.count),))
    assert supply.name is not None and supply.energy is not None
    called = formula_text(supply.name, supply.energy)
    name = say("supply-formula", name=called, size=Typed("container", supply.size))
    lines: Cell = (name, say("supply-a-day", count=Typed("count", supply.a_day)))
    if supply.left_over is not None and supply.left_over >= _WORTH_SAYING:
        lines += (say("supply-left-over", amount=volume_of(supply.left_over)),)
    return (lines, (Typed("count", supply.count),))


def supplies_table(source: SlotSource) -> FilledBlock:
    """What a month needs."""
    rows = tuple(_supply_row(supply) for supply in source.facts.supplies)
    return FilledBlock("supplies_table", "table", ("head-item", "head-for-a-month"), rows)
