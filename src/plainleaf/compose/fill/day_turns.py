"""When things of a plan are done: at which clock time, on which days, how often again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime

from plainleaf.compose.fill.source import say
from plainleaf.facts.derived import DayPlan, Event, Typed, Value
from plainleaf.facts.runs import A_DAY as MINUTES
from plainleaf.facts.runs import minutes_in
from plainleaf.inputs.patient import Medicine
from plainleaf.inputs.patient.order_values import Check
from plainleaf.vocabulary.quantities import Quantity


def turn_label(order: Medicine | Check, due: datetime) -> Value:
    """How often an order comes again, when next, and until when."""
    assert order.every is not None
    label = _every(order.every, due)
    if order.ends is None:
        return label
    return say("every-until", when=label, last=Typed("day", plain_date(order.ends)))


def _every(every: Quantity, due: datetime) -> Value:
    """How often something comes again, and when next."""
    days, rest = divmod(minutes_in(every), MINUTES)
    if rest:
        return say("every-next", span=Typed("span", every), next=Typed("moment", due))
    return say("every-days-next", count=Typed("count", days), next=Typed("day", due.date()))


def plain_date(day: date) -> date:
    """A date, of what may hold a time."""
    return date(day.year, day.month, day.day)


def medicine_of(events: Sequence[Event]) -> Medicine:
    """The medicine that some events belong to."""
    return next(e.medicine for e in events if e.medicine is not None)


def recurs(event: Event) -> bool:
    """Whether it comes every so many days and changes nothing of what goes through the tube."""
    order = event.check or event.medicine
    return order is not None and order.every is not None and event.through == "none"


def all_events_of(plan: DayPlan) -> Iterator[Event]:
    """What is done on any day of a plan."""
    yield from plan.events
    yield from plan.carried
    for weekday in plan.weekdays:
        yield from weekday.events
    for line in plan.recurring:
        yield from line.events


def clock_of(event: Event) -> int | None:
    """The minute of the day; None of what has no set time."""
    return event.minute % MINUTES if event.timed else None


def lasts(event: Event) -> bool:
    """Whether it is done on the date after the one on whose day it stands."""
    return event.begun_before or event.minute >= MINUTES


def on_some_days(event: Event) -> bool:
    """Whether its order is not for every day."""
    orders = (event.feed, event.medicine, event.additive, event.check)
    return any(o is not None and (o.days or getattr(o, "every", None)) for o in orders)
