"""The words of one thing to do at a time of the day, with all that the order says of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from plainleaf.compose.fill.day_feeds import (
    beside_pump,
    feeds_named,
    food_of,
    how_much,
    in_a_feeding,
    over_words,
    pump_pauses,
    step_begun,
)
from plainleaf.compose.fill.day_spans import Line
from plainleaf.compose.fill.day_turns import clock_of
from plainleaf.compose.fill.medicine_day import (
    made_ready,
    medicine_dose,
    medicine_needed,
    medicine_notes,
    medicine_way,
)
from plainleaf.compose.fill.medicine_rows import port_closed
from plainleaf.compose.fill.medicine_words import (
    dose_value,
    in_a_row,
    mix_value,
    ordered_dose,
    slug,
)
from plainleaf.compose.fill.source import (
    SlotSource,
    port_phrase,
    say,
    text_of,
    volume_of,
)
from plainleaf.facts.derived import Event, Phrase, Typed, Value
from plainleaf.facts.runs import A_DAY, minute_of, minutes_in, pump_span, runs_all_day
from plainleaf.inputs.patient import Feed, Medicine, Patient
from plainleaf.inputs.patient.order_values import SettledOutcome
from plainleaf.vocabulary.doses import Dose
from plainleaf.vocabulary.quantities import Quantity, total

# What is done to a pump without an amount.
_PUMP_ALONE = ("pump-stop", "pump-pause", "pump-hold", "pump-resume")


@dataclass(frozen=True)
class DayOf:
    """The day that an event stands on: its events, its orders, and a date on which they hold."""

    events: tuple[Event, ...]
    orders: Patient
    on: date

    def at(self, minute: int | None) -> Sequence[Event]:
        """What is done at a minute of the day, in order; None: at no set time."""
        return self._by_clock.get(minute, ())

    @cached_property
    def _by_clock(self) -> Mapping[int | None, Sequence[Event]]:
        at: dict[int | None, list[Event]] = {}
        for event in self.events:
            at.setdefault(clock_of(event), []).append(event)
        return at


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
    """Words the events of one patient.

    `ports`: whether each line names its port, because the row does not.
    """

    def __init__(self, source: SlotSource, *, ports: bool) -> None:
        self.source = source
        self.ports = ports and source.two_ports
        self.feeds_named = feeds_named(source)
        # Each dose that is told alike → an event of it, which keeps its medicine, and the lines.
        self._doses: dict[object, tuple[Event, tuple[Value, ...]]] = {}

    def lines(self, event: Event, day: DayOf) -> Iterator[Line]:
        """What is done, in one line or more, and what to heed with it."""
        if event.kind in ("feed", "pump-start"):
            yield from self._feeding(event, day)
        elif event.kind == "medicine":
            yield from self._dose(event, day)
        else:
            line = self._other(event, day)
            lost = event.drained and event.why != "medicine"
            yield Line(self._noted(line, *([Phrase("note-drains")] if lost else [])), event)

    def _noted(self, line: Value, *notes: Value) -> Value:
        return say("day-note", line=line, note=in_a_row(notes)) if notes else line

    def _port(self, event: Event) -> Value:
        return port_phrase(event.through, self.source.two_ports)

    def _decided(self, finding: str, *do: str) -> list[SettledOutcome]:
        outcomes = self.source.patient.outcomes
        return [o for o in outcomes if o.finding == finding and (not do or o.do in do)]

    # --- medicines ------------------------------------------------------------------------------

    def _dose(self, event: Event, day: DayOf) -> Iterator[Line]:
        """A dose with all that is said of it; that is worked out once."""
        pauses = in_a_feeding(event, day.orders) and not pump_pauses(event, day.events)
        known = id(event.medicine), event.through, event.drained, pauses
        if known not in self._doses:
            self._doses[known] = event, tuple(self._of_dose(event, pauses=pauses))
        first, *others = self._doses[known][1]
        yield Line(first, event)
        yield from map(Line, others)

    def _of_dose(self, event: Event, *, pauses: bool) -> Iterator[Value]:
        """A dose with its way, how it is made ready and in what; then what else to heed."""
        assert event.medicine is not None
        dose: Dose | None = event.medicine.dose
        medicine = self.source.patient.medicines[event.medicine.number]
        ready = made_ready(medicine, event.mix) if self.source.patient.format != 1 else ()
        line = medicine_dose(self.source, medicine, dose)
        line = in_a_row([line, *self._way(event), *ready])
        yield self._noted(line, *self._beside_feeding(medicine))
        if not medicine.as_needed:
            yield from medicine_needed(self.source, medicine)
        yield from port_closed(self.source) if event.drained else ()
        yield from medicine_notes(self.source, medicine, dose, pauses=pauses)

    def _way(self, event: Event) -> Iterator[Value]:
        medicine = event.medicine
        assert medicine is not None
        if event.through == "none":
            yield medicine_way(medicine)
        elif self.ports:
            yield say("dose-way-through", port=self._port(event))

    def _beside_feeding(self, medicine: Medicine) -> Iterator[Value]:
        """Given at the time of a feeding, where that was decided."""
        for outcome in self._decided("feed-in-hold"):
            if medicine.number in outcome.medicines:
                yield Phrase("note-with-feeding-as-ordered")

    # --- feedings -------------------------------------------------------------------------------

    def _feeding(self, event: Event, day: DayOf) -> Iterator[Line]:
        feed = event.feed
        assert feed is not None
        if self.feeds_named:
            yield Line(food_of(feed))
        first = self._first_filling(event, day)
        if first is not None:
            yield Line(say("event-pour", amount=volume_of(first)), event)
        line = in_a_row([event_words(event, self.ports), *how_much(event, feed)])
        yield Line(self._noted(line, *self._as_ordered(event, feed, day)), event)
        if event.kind == "pump-start":
            yield from map(Line, self._of_run(feed, day))

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
            if str(feed.number + 1) in outcome.about and beside_pump(event, feed, day.orders):
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
        names = {str(feed.number + 1), step_begun(ordered, day.on, self.source.patient.file)}
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
        if "flush" in (event.kind, event.why) and event.kind in ("flush", "extra-water"):
            return self._water(event)
        return event_words(event, self.ports)

    def _water(self, event: Event) -> Value:
        if self.ports:
            return say("day-water-through", amount=amount_of(event), port=self._port(event))
        return say("day-water", amount=amount_of(event))

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
        way = [say("dose-way-through", port=self._port(event))] if self.ports else []
        return in_a_row([line, *way, say("dose-in", mix=mix_value(additive.mix))])


__all__ = ["DayOf", "DayWords", "amount_of", "event_words", "minute_of", "over_words"]
