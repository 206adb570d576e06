"""Tables of feedings and flushes, and of the month's supplies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from plainleaf.compose.fill.day_feeds import over_words
from plainleaf.compose.fill.day_rows import DayByClock
from plainleaf.compose.fill.day_spans import A_DAY as ONE_DAY
from plainleaf.compose.fill.day_spans import (
    Line,
    OfDay,
    listed,
    merged,
    plain_cell,
    spans_of,
    variants_of,
)
from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.medicine_words import slug
from plainleaf.compose.fill.source import (
    SlotSource,
    formula_text,
    port_phrase,
    say,
    text_of,
    volume_of,
)
from plainleaf.compose.fill.tables_water import flush_rows
from plainleaf.facts.derived import Event, Phrase, Supply, Typed, Value
from plainleaf.facts.runs import A_DAY, pump_span, runs_all_day
from plainleaf.vocabulary import words_2
from plainleaf.vocabulary.doses import Dose
from plainleaf.vocabulary.quantities import Quantity


@dataclass(frozen=True)
class _Feeding:
    """A feeding at one time of the day, on all dates on which it is given."""

    minute: int
    event: Event


def feed_table(source: SlotSource) -> FilledBlock:
    """Each feeding: time, what and how, how much; where dates differ, by their dates."""
    clock = DayByClock(source)
    rows = [_feed_row(source, clock, feeding) for feeding in _feedings(clock)]
    if source.patient.format != 1:
        rows = list(_alike_together(rows))
    head = ("head-time", "head-what", "head-how-much")
    return FilledBlock("feed_table", "table", head, tuple(rows))


def _alike_together(rows: Sequence[tuple[Cell, ...]]) -> Iterator[tuple[Cell, ...]]:
    """Rows that differ in nothing but their time as one, with all their times."""
    times: dict[tuple[Cell, ...], list[Value]] = {}
    for (at,), *rest in rows:
        times.setdefault(tuple(rest), []).append(at)
    return (((listed(clocks),), *rest) for rest, clocks in times.items())


def _feedings(clock: DayByClock) -> list[_Feeding]:
    """The feedings of all days by the clock, each order and time once."""
    starts = clock.plans[0].starts
    found: dict[tuple[int, int], _Feeding] = {}
    for event in clock.all_events():
        if event.kind in ("feed", "pump-start") and event.feed is not None:
            minute = event.minute % A_DAY
            found.setdefault((minute, event.feed.number), _Feeding(minute, event))
    return sorted(found.values(), key=lambda one: (one.minute - starts) % A_DAY)


def _feed_row(source: SlotSource, clock: DayByClock, feeding: _Feeding) -> tuple[Cell, ...]:
    feed = feeding.event.feed
    assert feed is not None
    times = {
        _feed_time(e)
        for e in clock.all_events()
        if e.kind == feeding.event.kind and e.feed is not None
        and (e.feed.number, e.minute % A_DAY) == (feed.number, feeding.minute)
    }  # fmt: skip
    alike = len(times) == 1

    def given_on(day: date) -> OfDay:
        given = [
            one.event
            for one in clock.done(feeding.minute, day)
            if one.event.kind == feeding.event.kind and one.event.feed is not None
            and one.event.feed.number == feed.number
        ]  # fmt: skip
        lines = [line for event in given[:1] for line in _amount_lines(event, timed=not alike)]
        return OfDay(tuple(map(Line, lines)), bool(feed.days))

    first = clock.first + ONE_DAY if feeding.minute < clock.plans[0].starts else clock.first
    spans = spans_of(first, clock.breaks_at(feeding.minute), given_on)
    amounts = merged(variants_of(spans, plain_cell), "card-times")
    start: Value = times.pop() if alike else Typed("clock-short", feeding.event.at)
    return ((start,), _feed_what(source, feeding.event), amounts)


def _amount_lines(event: Event, *, timed: bool) -> Cell:
    """How much a feeding gives; with its end where that is not the same on all dates."""
    return (*_feed_amount(event), *((_feed_time(event),) if timed else ()))


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
    if feed.cartons is not None:
        lines += (Typed("dose", Dose(feed.cartons.count, feed.cartons.unit)),)
    if feed.rate is not None:
        lines += (Typed("rate", feed.rate),)
    if feed.over is not None:
        lines += (say("amount-over", span=over_words(feed)),)
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


def _supply_row(supply: Supply) -> tuple[Cell, ...]:
    lines: Cell = (_supply_name(supply),)
    if supply.id == "formula" and supply.a_day is not None:
        lines += (say("supply-up-to-a-day", count=Typed("count", supply.a_day)),)
    left, size = supply.left_over, supply.size
    # Less than one container is what is left in the last one.
    if left is not None and size is not None and left >= size:
        lines += (Phrase("supply-some-thrown-away"),)
    return (lines, (_supply_count(supply),))


def _supply_name(supply: Supply) -> Value:
    if supply.id not in ("formula", "powder"):
        return Phrase(f"supply-{supply.id}")
    assert supply.name is not None
    if supply.name in words_2.INGREDIENTS:
        return Phrase(f"supply-{slug(supply.name)}")
    if supply.size is None or supply.energy is None:
        return text_of(supply.name)
    called = formula_text(supply.name, supply.energy)
    return say("supply-formula", name=called, size=Typed("container", supply.size))


def _supply_count(supply: Supply) -> Value:
    """How many, or how much of what is no piece; what nothing settles is asked."""
    if supply.count == 0:
        return Phrase("supply-ask-us")
    if supply.unit == "mL":
        return Typed("container", Quantity(Decimal(supply.count), "mL"))
    if supply.unit:
        return Typed("dose", Dose(Decimal(supply.count), supply.unit))
    return Typed("count", supply.count)


def supplies_table(source: SlotSource) -> FilledBlock:
    """What a month needs."""
    rows = tuple(_supply_row(supply) for supply in source.facts.supplies)
    return FilledBlock("supplies_table", "table", ("head-item", "head-for-a-month"), rows)
