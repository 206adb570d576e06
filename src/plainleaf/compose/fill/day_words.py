"""The words of one thing to do at a time of the day, with all that the order says of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from plainleaf.compose.fill.medicine_words import (
    dose_value,
    in_a_row,
    medicine_name,
    mix_value,
    ordered_dose,
    slug,
)
from plainleaf.compose.fill.source import SlotSource, port_phrase, say, text_of, volume_of
from plainleaf.facts.derived import Event, Phrase, Typed, Value
from plainleaf.facts.plans import step_spans
from plainleaf.facts.runs import A_DAY, minute_of, minutes_in, pump_span, runs_all_day
from plainleaf.inputs.patient import Feed, Medicine, Patient
from plainleaf.inputs.patient.order_values import SettledOutcome
from plainleaf.vocabulary.doses import Dose
from plainleaf.vocabulary.quantities import Quantity, total

# What is done to a pump without an amount.
_PUMP_ALONE = ("pump-stop", "pump-pause", "pump-hold", "pump-resume")


@dataclass(frozen=True)
class DayOf:
    """The day that an event stands on: its events, its orders, and a date of it."""

    events: tuple[Event, ...]
    orders: Patient
    on: date


def event_words(event: Event, two_ports: bool) -> Phrase:
    """One line of the day's schedule, without what only format 2 says of it."""
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
    amount = {"amount": amount_of(event)}
    if event.kind == "pump-start":
        assert event.feed is not None and event.feed.rate is not None
        rate = {"rate": Typed("rate", event.feed.rate)}
        name = "event-pump-all-day" if runs_all_day(event.feed) else "event-pump-start"
        return say(f"{name}{suffix}", **amount, **rate, **port_values)
    if event.kind == "feed":
        assert event.feed is not None
        return say(f"event-{event.feed.method}{suffix}", **amount, **port_values)
    kind = "flush" if (event.kind, event.why) == ("extra-water", "flush") else event.kind
    return say(f"event-{kind}{suffix}", **amount, **port_values)


def amount_of(event: Event) -> Value:
    """The amount of an event, or the range of it."""
    assert event.amount is not None
    most = volume_of(event.amount)
    if event.least is None:
        return most
    return say("volume-range", low=Typed("dose-volume", event.least), high=most)


class DayWords:
    """Words the events of one patient."""

    def __init__(self, source: SlotSource) -> None:
        self.source = source
        self.two_ports = source.two_ports

    def lines(self, event: Event, day: DayOf) -> Iterator[Value]:
        """What is done, in one line or more."""
        if self.source.patient.format == 1:
            yield event_words(event, self.two_ports)
        elif event.kind in ("feed", "pump-start"):
            yield from self._feeding(event, day)
        elif event.kind == "medicine":
            yield self._dose(event)
        else:
            line = self._other(event, day)
            yield self._noted(line, Phrase("note-drains")) if event.drained else line

    def _noted(self, line: Value, *notes: Value) -> Value:
        return say("day-note", line=line, note=in_a_row(notes)) if notes else line

    def _port(self, event: Event) -> Value:
        return port_phrase(event.through, self.two_ports)

    def _decided(self, finding: str, *do: str) -> list[SettledOutcome]:
        outcomes = self.source.patient.outcomes
        return [o for o in outcomes if o.finding == finding and (not do or o.do in do)]

    # --- medicines ------------------------------------------------------------------------------

    def _dose(self, event: Event) -> Value:
        """A dose with its way, how it is made ready, and in what."""
        medicine = event.medicine
        assert medicine is not None
        named = {"medicine": medicine_name(self.source, medicine), "dose": dose_value(medicine)}
        parts = [*self._way(event), *_made_ready(event)]
        line: Value = say("event-medicine", **named)
        line = in_a_row([line, *parts])
        notes = [*self._beside_feeding(medicine)]
        return self._noted(line, *notes, *([Phrase("note-drains")] if event.drained else []))

    def _way(self, event: Event) -> Iterator[Value]:
        medicine = event.medicine
        assert medicine is not None
        if event.through == "none":
            yield Phrase(f"dose-way-{slug(medicine.route or 'mouth')}")
        elif self.two_ports:
            yield say("dose-way-through", port=self._port(event))

    def _beside_feeding(self, medicine: Medicine) -> Iterator[Value]:
        """Given at the time of a feeding, where that was decided."""
        for outcome in self._decided("feed-in-hold"):
            if medicine.number in outcome.medicines:
                yield Phrase("note-with-feeding-as-ordered")
        for outcome in self._decided("medicine-in-feed", "pause-feed"):
            if medicine.number in outcome.medicines:
                yield Phrase("note-stop-feeding-for-it")

    # --- feedings -------------------------------------------------------------------------------

    def _feeding(self, event: Event, day: DayOf) -> Iterator[Value]:
        feed = event.feed
        assert feed is not None
        first = self._first_filling(event, day)
        if first is not None:
            yield say("event-pour", amount=volume_of(first))
        line = in_a_row([event_words(event, self.two_ports), *_how_much(event, feed)])
        yield self._noted(line, *self._as_ordered(event, feed, day))
        if event.kind == "pump-start":
            yield from self._of_run(feed, day)

    def _first_filling(self, event: Event, day: DayOf) -> Quantity | None:
        """What is poured at the start of a run whose bag is filled again later."""
        feed = event.feed
        if event.kind != "pump-start" or feed is None or event.amount is None:
            return None
        later = [
            other.amount
            for other in day.events
            if other.kind == "refill" and other.feed == feed and other.amount is not None
        ]
        poured = feed.formula is None or feed.formula.system != "closed"
        return event.amount - total(later) if later and poured else None

    def _as_ordered(self, event: Event, feed: Feed, day: DayOf) -> Iterator[Value]:
        """What was decided of two feedings that meet or stand close."""
        for outcome in self._decided("feeds-overlap"):
            if str(feed.number + 1) in outcome.about and _beside_pump(event, feed, day.orders):
                yield Phrase("note-pump-keeps-running")
                return
        for finding in ("feeds-overlap", "feeds-too-close"):
            if any(str(feed.number + 1) in o.about for o in self._decided(finding)):
                yield Phrase("note-as-ordered")
                return

    def _of_run(self, feed: Feed, day: DayOf) -> Iterator[Value]:
        """What was decided of a pump run: its smaller amount, and what is thrown away."""
        if feed.held_minutes and self._decided("feed-hold-costs"):
            yield Phrase("event-no-longer-run")
        ordered = self.source.patient.feeding[feed.number]
        names = {str(feed.number + 1), _step_begun(ordered, day.on, self.source.patient.file)}
        for outcome in self._decided("closed-hangs-too-long"):
            after = outcome.fields["after"]
            if names & set(outcome.about) and isinstance(after, Quantity):
                minute = pump_span(feed)[0] + minutes_in(after)
                yield self._thrown_away(minute, after)
                return

    def _thrown_away(self, minute: int, after: Quantity) -> Value:
        """When the rest of a bag is thrown away and a new one hung."""
        later, clock = divmod(minute, A_DAY)
        name = ("event-throw-away", "event-throw-away-next-day")[later > 0]
        at = Event(clock, "refill", "none").at
        return say(name, span=Typed("span", after), time=Typed("clock-short", at))

    # --- the rest -------------------------------------------------------------------------------

    def _other(self, event: Event, day: DayOf) -> Value:
        feed = event.feed
        if event.kind == "refill":
            assert feed is not None
            closed = feed.formula is not None and feed.formula.system == "closed"
            return say("event-hang-next" if closed else "event-refill", amount=amount_of(event))
        if event.kind == "set-change":
            assert feed is not None
            return Phrase(f"event-set-change-{feed.method}")
        if event.kind in ("drain-open", "drain-close"):
            return self._drain(event)
        if event.kind == "vent":
            venting = self.source.patient.venting
            assert venting is not None
            return say("event-vent", port=self._port(event), span=Typed("span", venting.lasts))
        if event.check is not None:
            return Phrase(f"event-check-{slug(event.check.what)}")
        if event.additive is not None:
            return self._additive(event)
        return event_words(event, self.two_ports)

    def _drain(self, event: Event) -> Value:
        drainage = self.source.patient.drainage
        assert drainage is not None
        fed = "-for-feeding" if event.why == "feed" else ""
        into = f"-{drainage.into}" if event.kind == "drain-open" else ""
        return say(f"event-{event.kind}{into}{fed}", port=self._port(event))

    def _additive(self, event: Event) -> Value:
        additive = event.additive
        assert additive is not None
        dose = ordered_dose(additive.amount)
        line: Value = say("event-medicine", medicine=text_of(additive.name), dose=dose)
        way = [say("dose-way-through", port=self._port(event))] if self.two_ports else []
        return in_a_row([line, *way, say("dose-in", mix=mix_value(additive.mix))])


def _made_ready(event: Event) -> Iterator[Value]:
    """How a dose is made ready, with what it is mixed in."""
    medicine = event.medicine
    assert medicine is not None
    if medicine.prepare is not None and medicine.prepare != "as it is":
        yield Phrase(f"dose-made-{slug(medicine.prepare)}")
    if event.mix is not None:
        yield say("dose-in", mix=mix_value(event.mix))


def _how_much(event: Event, feed: Feed) -> Iterator[Value]:
    """In how many containers, and over how long."""
    if feed.cartons is not None:
        yield Typed("dose", Dose(feed.cartons.count, feed.cartons.unit))
    if event.kind == "feed" and feed.over is not None:
        yield say("amount-over", span=over_words(feed))


def over_words(feed: Feed) -> Value:
    """How long a feeding takes, or from how long to how long."""
    assert feed.over is not None
    most = Typed("span", feed.over)
    if feed.over_least is None:
        return most
    return say("span-range", low=Typed("count", int(feed.over_least.to("min").value)), high=most)


def _step_begun(feed: Feed, day: date, file: str) -> str:
    """The first day of the step that holds on a date, as a decision names it; empty without."""
    spans = step_spans(feed, file) if feed.steps else []
    return next(
        (first.isoformat() for first, last in spans if first <= day and (not last or day <= last)),
        "",
    )


def _beside_pump(event: Event, feed: Feed, orders: Patient) -> bool:
    """Whether another pump runs through the same port when a feeding begins."""
    for other in orders.feeding:
        if other.method != "pump" or other.through != feed.through or other == feed:
            continue
        start, end = pump_span(other)
        minute = event.minute % A_DAY
        if any(start < m < end for m in (minute, minute + A_DAY)):
            return True
    return False


__all__ = ["DayOf", "DayWords", "amount_of", "event_words", "minute_of", "over_words"]
