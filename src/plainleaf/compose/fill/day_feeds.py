"""What the day by the clock says of feedings: what is fed, how much, and what runs beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from plainleaf.compose.fill.source import SlotSource, formula_text, say
from plainleaf.facts.derived import Event, Phrase, Typed, Value
from plainleaf.facts.feed_words import span_range
from plainleaf.facts.plans import step_spans
from plainleaf.facts.plans.sittings import all_sittings
from plainleaf.facts.runs import A_DAY, pump_span, runs_all_day
from plainleaf.inputs.patient import Feed, Patient
from plainleaf.vocabulary.doses import Dose

# Feedings of one food on so few rows of the day are each told with it.
_FEW_FEEDINGS = 2


def fed_events(source: SlotSource) -> list[Event]:
    """What begins a feeding, of every day of the plans."""
    plans = source.facts.plans
    days = [events for p in plans for events in (p.events, *(w.events for w in p.weekdays))]
    return [e for events in days for e in events if e.kind in ("feed", "pump-start")]


def feeds_named(source: SlotSource) -> bool:
    """Whether each feeding of the day says what is fed; else the end of the day says it once."""
    fed = fed_events(source)
    times = {(event.minute % A_DAY, event.feed.number) for event in fed if event.feed is not None}
    foods = {food_of(event.feed) for event in fed if event.feed is not None}
    return len(times) <= _FEW_FEEDINGS or len(foods) > 1


def food_of(feed: Feed) -> Value:
    """What a feeding gives: a formula by its name and strength, or food made at home."""
    if feed.formula is None:
        return Phrase("blended-food")
    return formula_text(feed.formula.name, feed.formula.energy)


def how_much(event: Event, feed: Feed) -> Iterator[Value]:
    """In how many containers, and over how long."""
    if feed.cartons is not None:
        yield Typed("dose", Dose(feed.cartons.count, feed.cartons.unit))
    if event.kind == "feed" and feed.over is not None:
        yield say("amount-over", span=over_words(feed))
    whole = not runs_all_day(feed) and not feed.held_minutes
    if event.kind == "pump-start" and feed.runs_for is not None and whole:
        yield say("amount-over", span=Typed("span", feed.runs_for))


def over_words(feed: Feed) -> Value:
    """How long a feeding takes, or from how long to how long."""
    assert feed.over is not None
    span = span_range(feed.over_least, feed.over)
    return span if isinstance(span, Phrase) else Typed("span", span)


def step_begun(feed: Feed, day: date, file: str) -> str:
    """The first day of the step that holds on a date, as a decision names it; empty without."""
    spans = step_spans(feed, file) if feed.steps else []
    return next(
        (first.isoformat() for first, last in spans if first <= day and (not last or day <= last)),
        "",
    )


def beside_pump(event: Event, feed: Feed, orders: Patient) -> bool:
    """Whether another pump runs through the same port when a feeding begins."""
    for other in orders.feeding:
        if other.method != "pump" or other.through != feed.through or other == feed:
            continue
        start, end = pump_span(other)
        minute = event.minute % A_DAY
        if any(start < m < end for m in (minute, minute + A_DAY)):
            return True
    return False


def in_a_feeding(event: Event, orders: Patient) -> bool:
    """Whether a feeding runs through the port of an event when it is due."""
    minute = event.minute % A_DAY
    return any(
        sitting.feed.through == event.through and sitting.start < at < sitting.end
        for sitting in all_sittings(orders)
        for at in (minute, minute + A_DAY)
    )


def pump_pauses(event: Event, events: Iterable[Event]) -> bool:
    """Whether the day has a line that pauses the pump at the time of an event."""
    return any(other.kind == "pump-pause" and other.minute == event.minute for other in events)
