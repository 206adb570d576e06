"""Tables of the one-page tube card: shorter than those of the handout, from the same events."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import (
    SlotSource,
    never_in_balloon,
    port_words,
    say,
    text_of,
    use_words,
)
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


def _piece(event: Event) -> Phrase:
    """One thing to do as a short sentence."""
    if event.kind == "medicine":
        assert event.medicine is not None
        name = "card-medicine-outside" if event.through == "none" else "card-medicine"
        return say(name, medicine=text_of(event.medicine.name))
    if event.kind in ("pump-stop", "pump-pause", "pump-hold", "pump-resume"):
        return Phrase(f"card-{event.kind}")
    amount = _amount(event.amount)
    if event.kind == "pump-start":
        assert event.feed is not None and event.feed.rate is not None
        name = "card-pump-all-day" if runs_all_day(event.feed) else "card-pump-start"
        return say(name, rate=Typed("rate", event.feed.rate), amount=amount)
    if event.kind == "feed":
        assert event.feed is not None
        return say(f"card-feed-{event.feed.method}", amount=amount)
    return say("card-water", amount=amount)


def _is_for_medicine(event: Event) -> bool:
    """A medicine, the water around it or the pause of the pump for it."""
    return event.kind == "medicine" or event.why == "medicine"


def _pieces(events: Sequence[Event], shown: str) -> Iterator[Phrase]:
    """The doings at one time through one port, as much as is shown."""
    feed_named = False
    for event in events:
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
        yield _piece(event)


def card_day(source: SlotSource, shown: str, *, grouped: bool = False) -> FilledBlock:
    """The day by the clock in short sentences.

    Args:
        shown: One of `DAYS`; `feedings` keeps feedings with the water around them.
        grouped: Times with the same doings share a row.
    """
    times: dict[object, list[Value]] = {}
    cells: dict[object, Cell] = {}
    events = source.facts.events if shown != "none" else ()
    for _, at_once in groupby(events, key=lambda event: event.minute):
        together = list(at_once)
        cell: Cell = ()
        for port, through in groupby(together, key=lambda event: event.through):
            pieces = tuple(_pieces(list(through), shown))
            if pieces and source.two_ports and port != "none":
                cell += (Phrase(f"card-at-{port}"),)
            cell += pieces
        if cell:
            key = cell if grouped else (together[0].minute, cell)
            times.setdefault(key, []).append(Typed("clock-short", together[0].at))
            cells[key] = cell
    rows = tuple(((_listed(clocks),), cells[key]) for key, clocks in times.items())
    name = "card_day_grouped" if grouped else "card_day"
    return FilledBlock(name, "table", ("head-time", "head-in-order"), rows)


def _listed(times: Sequence[Value]) -> Value:
    whole, *rest = times
    for clock in rest:
        whole = Phrase("card-times", (("first", whole), ("next", clock)))
    return whole
