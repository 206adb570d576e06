"""Tables of the one-page tube card: shorter than those of the handout, from the same events."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from plainleaf.compose.fill.day_rows import DayByClock, Done
from plainleaf.compose.fill.day_spans import Line
from plainleaf.compose.fill.day_words import DayWords
from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.medicine_words import slug
from plainleaf.compose.fill.source import (
    SlotSource,
    never_in_balloon,
    port_words,
    say,
    text_of,
    use_words,
)
from plainleaf.compose.fill.tables_day import time_cell
from plainleaf.compose.fill.tables_tube import tube_values
from plainleaf.facts.derived import Event, Phrase, Typed, Value
from plainleaf.facts.opening import opened_at
from plainleaf.facts.runs import runs_all_day
from plainleaf.vocabulary.quantities import Quantity

# How much of the day a card shows, from all to nothing.
DAYS = ("all", "no-medicine-names", "feedings", "none")


def _amount(amount: Quantity | None) -> Typed:
    """mL alone: the ounces beside them stand in the handout."""
    assert amount is not None
    return Typed("dose-volume", amount)


def _joined(phrases: Sequence[Phrase]) -> Cell:
    """Phrases one after the other, in one line."""
    whole, *rest = phrases
    for phrase in rest:
        whole = say("card-join", first=whole, next=phrase)
    return (whole,)


def card_facts(source: SlotSource) -> FilledBlock:
    """The tube in label and value pairs, without what stands in the foot of the card."""
    tube = source.patient.tube
    rows: list[tuple[str, Cell]] = [
        ("card-kind", _joined([Phrase(f"kind-{tube.kind}"), Phrase(f"build-{tube.build}")])),
        ("card-held", (Phrase(f"held-{tube.held_by}"),)),
        ("card-size", (Typed("size", tube.size),)),
    ]
    rows += tube_values(source)
    opened, placed = opened_at(tube).date(), tube.placed.date()
    rows.append(("card-opening", (Typed("day-of-year", opened),)))
    if placed != opened:
        rows.append(("card-placed", (Typed("day-of-year", placed),)))
    drink = source.patient.person.drink
    if drink is not None:
        rows.append(("card-drink", (_amount(drink),)))
    cells = tuple(((Phrase(label),), cell) for label, cell in rows)
    return FilledBlock("card_facts", "pairs", ("head-item", "head-value"), cells)


def card_ports(source: SlotSource) -> FilledBlock:
    """Each port with its jobs, and the balloon port with what never goes in."""
    tube = source.patient.tube
    rows: list[tuple[Cell, ...]] = []
    for port, uses in tube.ports.items():
        name = port_words(source, port, "pic-")
        rows.append(((name,), _joined([use_words(port, use) for use in uses])))
    if tube.held_by == "balloon":
        rows.append(((Phrase("port-balloon"),), (never_in_balloon(source, "pic-balloon-never"),)))
    return FilledBlock("card_ports", "table", ("head-port", "head-used-for"), tuple(rows))


_PUMP_ALONE = ("pump-stop", "pump-pause", "pump-hold", "pump-resume")
# Said on the card in the words of the day.
_AS_IN_THE_DAY = ("drain-open", "drain-close", "vent", "check")


def _piece(done: Done, words: DayWords) -> Phrase:
    """One thing to do as a short sentence."""
    event = done.event
    if event.kind == "medicine":
        return _card_dose(event)
    if event.additive is not None:
        return say("card-medicine", medicine=text_of(event.additive.name))
    if event.kind in _PUMP_ALONE:
        return Phrase(f"card-{event.kind}")
    if event.kind == "set-change":
        return Phrase("card-set-change")
    if event.kind in _AS_IN_THE_DAY:
        (line,) = words.lines(replace(event, drained=False), done.day)
        return Phrase("card-line", (("line", line),))
    return _measured(event)


def _card_dose(event: Event) -> Phrase:
    """A medicine by name, with its way where it stays out of the tube."""
    medicine = event.medicine
    assert medicine is not None
    name = text_of(medicine.name)
    if medicine.scale:
        return say("card-medicine-by-table", medicine=name)
    if event.through != "none":
        return say("card-medicine", medicine=name)
    if medicine.route is None:
        return say("card-medicine-outside", medicine=name)
    return say("card-medicine-way", medicine=name, way=Phrase(f"dose-way-{slug(medicine.route)}"))


def _measured(event: Event) -> Phrase:
    """A feeding or water with its amount."""
    amount = _amount(event.amount)
    if event.kind == "refill":
        assert event.feed is not None
        closed = event.feed.formula is not None and event.feed.formula.system == "closed"
        return say("card-hang-next" if closed else "card-refill", amount=amount)
    if event.kind == "pump-start":
        assert event.feed is not None and event.feed.rate is not None
        name = "card-pump-all-day" if runs_all_day(event.feed) else "card-pump-start"
        return say(name, rate=Typed("rate", event.feed.rate), amount=amount)
    if event.kind == "feed":
        assert event.feed is not None
        return say(f"card-feed-{event.feed.method}", amount=amount)
    if event.least is not None:
        least = Typed("dose-volume", event.least)
        return say("card-water", amount=say("volume-range", low=least, high=amount))
    return say("card-water", amount=amount)


def _is_for_medicine(event: Event) -> bool:
    """A medicine, the water around it or the pause of the pump for it; or what is measured."""
    return event.kind in ("medicine", "check") or event.why == "medicine"


def _pieces(done: Sequence[Done], shown: str, words: DayWords) -> Iterator[Phrase]:
    """The doings at one time through one port, as much as is shown."""
    feed_named = False
    for one in done:
        event = one.event
        unnamed = event.kind == "medicine" or (event.kind == "flush" and event.why == "medicine")
        if shown == "no-medicine-names" and unnamed:
            # Names go, and the water around them with them: one sentence for all of it.
            if not feed_named:
                outside = event.through == "none"
                yield Phrase("card-medicines-outside" if outside else "card-medicines")
            feed_named = True
            continue
        if shown == "feedings" and (_is_for_medicine(event) or event.kind == "extra-water"):
            continue
        if shown == "feedings" and event.kind == "flush" and "feed" not in event.why:
            continue
        yield _piece(one, words)


def _card_lines(source: SlotSource, shown: str) -> Callable[[Sequence[Done]], Iterator[Line]]:
    """What is done at one time on the card: by port, where there are two."""
    words = DayWords(source)

    def lines(done: Sequence[Done]) -> Iterator[Line]:
        for port, through in groupby(done, key=lambda one: one.event.through):
            pieces = tuple(_pieces(list(through), shown, words))
            if pieces and source.two_ports and port != "none":
                yield Line(Phrase(f"card-at-{port}"))
            yield from map(Line, pieces)

    return lines


def card_day(source: SlotSource, shown: str, *, grouped: bool = False) -> FilledBlock:
    """The day by the clock in short sentences.

    Args:
        shown: One of `DAYS`; `feedings` keeps feedings with the water around them.
        grouped: Times with the same doings share a row.
    """
    times: dict[object, list[Value]] = {}
    cells: dict[object, Cell] = {}
    clock = DayByClock(source)
    lines = _card_lines(source, shown)
    for row in clock.rows(lines, join="card-next") if shown != "none" else ():
        key = (row.cell, row.new_day) if grouped else row.minute
        at, *new_day = time_cell(row)
        times.setdefault(key, []).append(at)
        cells[key] = (*new_day, *row.cell)
    rows = [((_listed(clocks),), cells[key]) for key, clocks in times.items()]
    name = "card_day_grouped" if grouped else "card_day"
    return FilledBlock(name, "table", ("head-time", "head-in-order"), tuple(rows))


def _listed(times: Sequence[Value]) -> Value:
    whole, *rest = times
    for clock in rest:
        whole = Phrase("card-times", (("first", whole), ("next", clock)))
    return whole
