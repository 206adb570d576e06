"""Plans cut the time without a gap, each order stands where it holds, and each sum is a sum."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import pairwise

from dated_patients import NAMES, planned
from hypothesis import given
from hypothesis import strategies as st
from strategies import few

from plainleaf.facts.derived import DayPlan, Event, Totals
from plainleaf.facts.given import Given
from plainleaf.inputs.patient import Feed, Medicine, Patient
from plainleaf.inputs.patient.order_values import Additive, Check, FeedStep
from plainleaf.vocabulary.opening_hours import DAYS
from plainleaf.vocabulary.quantities import Quantity

Order = Feed | Medicine | Additive | Check
# Days after that of the packet; some orders began before it, some end before it.
OFFSETS = st.integers(-5, 40)


@st.composite
def _dated(draw: st.DrawFn, order: Order, first: date) -> Order:
    """An order with dates, and perhaps weekdays; what has steps already keeps its own."""
    if getattr(order, "steps", ()):
        return order
    begins = draw(st.none() | OFFSETS.map(lambda n: first + timedelta(days=n)))
    ends = draw(st.none() | OFFSETS.map(lambda n: first + timedelta(days=n)))
    tied = getattr(order, "tied", None) or getattr(order, "every", None)
    days = () if tied else tuple(draw(st.just([]) | st.lists(st.sampled_from(DAYS), unique=True)))
    if begins is not None and ends is not None and ends < begins:
        begins, ends = ends, begins
    return replace(order, begins=begins, ends=ends, days=days)


def _of(number: int, unit: str) -> Quantity:
    return Quantity(Decimal(number), unit)


@st.composite
def _stepped(draw: st.DrawFn, feed: Feed) -> Feed:
    """A pump by hours that goes up in steps, over the end of some month."""
    if feed.starts is None or feed.begins is None or draw(st.booleans()):
        return feed
    steps = tuple(
        FeedStep(
            Quantity(Decimal(days), "d"), Quantity(Decimal(rate), "mL/h"), None, None, None, ()
        )
        for days, rate in draw(
            st.lists(st.tuples(st.integers(1, 9), st.integers(5, 90)), min_size=2, max_size=4)
        )
    )
    last = replace(steps[-1], lasts=None) if draw(st.booleans()) else steps[-1]
    return replace(feed, steps=(*steps[:-1], last))


@st.composite
def dated(draw: st.DrawFn) -> Given:
    """One of the six files, prepared on some day, with other dates."""
    source = planned(draw(st.sampled_from(NAMES)))
    patient = source.patient
    day = draw(st.dates(date(2026, 1, 1), date(2028, 12, 31)))
    feeds = [draw(_stepped(draw(_dated(f, day)))) for f in patient.feeding if not f.steps]
    changed = replace(
        patient,
        prepared_on=datetime.combine(day, patient.prepared_on.time()),
        feeding=(*feeds, *(f for f in patient.feeding if f.steps)),
        medicines=tuple(draw(_dated(m, day)) for m in patient.medicines),
        additives=tuple(draw(_dated(a, day)) for a in patient.additives),
        watch=tuple(draw(_dated(c, day)) for c in patient.watch),
    )
    return replace(source, patient=changed)


def plans_of(made: Given) -> tuple[DayPlan, ...]:
    return made.planner.plans()


@few(20)
@given(dated())
def test_plans_follow_each_other_without_a_gap_and_differ(made: Given) -> None:
    plans = plans_of(made)
    assert plans[0].first == made.day
    assert plans[-1].last is None
    for before, plan in pairwise(plans):
        assert before.last == plan.first - timedelta(days=1)
        assert before.last >= before.first
        assert plan.changed
        assert before.orders != plan.orders


def _holds(order: Order, day: date) -> bool:
    """Whether an order holds on a day, counted day by day and by nothing of the program."""
    if (order.begins and day < order.begins) or (order.ends and day > order.ends):
        return False
    steps = getattr(order, "steps", ())
    if not steps or steps[-1].lasts is None:
        return True
    assert order.begins is not None
    return (day - order.begins).days < sum(int(step.lasts.to("d").value) for step in steps)


def _standing(orders: Patient, key: str) -> set[int]:
    return {line.number for line in getattr(orders, key)}


@few(20)
@given(dated(), st.integers(0, 70))
def test_an_order_stands_in_each_plan_that_it_covers_and_in_no_other(
    made: Given, later: int
) -> None:
    day = made.day + timedelta(days=later)
    plan = next(p for p in plans_of(made) if p.last is None or day <= p.last)
    patient = made.patient
    for key in ("feeding", "medicines"):
        wanted = {line.number for line in getattr(patient, key) if _holds(line, day)}
        assert _standing(plan.orders, key) == wanted
    assert plan.orders.additives == tuple(a for a in patient.additives if _holds(a, day))
    assert plan.orders.watch == tuple(c for c in patient.watch if _holds(c, day))
    _, totals = made.planner.on(day)
    assert plan.emptiest.water <= totals.water <= plan.fullest.water


def _sum(events: tuple[Event, ...], *kinds: str) -> Decimal:
    amounts = (e.amount.to("mL").value for e in events if e.kind in kinds and e.amount)
    return sum(amounts, Decimal(0))


def _kept(events: tuple[Event, ...], *, drained: bool) -> tuple[Event, ...]:
    return tuple(event for event in events if event.drained == drained)


def _mixed(events: tuple[Event, ...], liquids: set[str]) -> Decimal:
    mixes = (e.mix for e in events if e.mix is not None and e.through != "none")
    return sum((m.amount.most.value for m in mixes if m.amount and m.liquid in liquids), Decimal(0))


def _adds_up(events: tuple[Event, ...], totals: Totals) -> None:
    kept, gone = _kept(events, drained=False), _kept(events, drained=True)
    every = {"water", "apple juice", "orange juice", "milk"}
    assert totals.formula.value + totals.blended.value == _sum(events, "feed", "pump-start")
    assert totals.flush.value == _sum(kept, "flush")
    assert totals.extra_water.value == _sum(kept, "extra-water")
    assert totals.mixing.value == _mixed(kept, {"water"})
    assert totals.juice.value == _mixed(kept, every - {"water"})
    assert totals.drained.value == _sum(gone, "flush", "extra-water") + _mixed(gone, every)
    parts = (
        totals.water_in_formula, totals.flush, totals.extra_water, totals.mixing, totals.juice,
        totals.drink,
    )  # fmt: skip
    assert totals.water.value == sum(part.value for part in parts)


@few(20)
@given(dated(), st.integers(0, 70))
def test_totals_are_the_sums_of_the_events(made: Given, later: int) -> None:
    for plan in plans_of(made):
        _adds_up(plan.events, plan.totals)
        for weekday in plan.weekdays:
            _adds_up(weekday.events, weekday.totals)
    _adds_up(*made.planner.on(made.day + timedelta(days=later)))


@few(15)
@given(dated(), st.integers(0, 70))
def test_a_date_is_the_day_of_its_plan(made: Given, later: int) -> None:
    """What recurs on no fixed weekday is the only thing that a plan's days do not hold."""
    day = made.day + timedelta(days=later)
    plan = next(p for p in plans_of(made) if p.last is None or day <= p.last)
    named = {weekday.day: weekday.totals for weekday in plan.weekdays}
    _, totals = made.planner.on(day)
    assert totals == named.get(DAYS[day.weekday()], plan.totals)


@few(15)
@given(dated())
def test_events_stand_in_order_and_know_who(made: Given) -> None:
    for plan in plans_of(made):
        minutes = [event.minute for event in plan.events]
        assert minutes == sorted(minutes)
        weekdays = min(7, (plan.last - plan.first).days + 1) if plan.last else 7
        for event in plan.events:
            assert sum(len(presence.days) for presence in event.who) == weekdays
