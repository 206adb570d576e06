"""Checks on the feeding orders: sums, times, amounts and labels.

All figures only ask for a second look;
none is an order.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from plainleaf.facts.checks.outcome import (
    ListedItem,
    amount,
    check,
    clock,
    each,
    feed_words,
    joined,
    listed,
    number,
    part,
    result,
)
from plainleaf.facts.checks.water_sum_checks import each_plan
from plainleaf.facts.derived import Checked, DayPlan
from plainleaf.facts.feed_stages import all_stages
from plainleaf.facts.given import Given
from plainleaf.facts.runs import A_DAY, minute_of, minutes_in, pump_span
from plainleaf.facts.supplies import fed_per_day
from plainleaf.inputs.patient import Feed, Formula, Patient
from plainleaf.vocabulary.quantities import Quantity, mL, read_quantity, total
from plainleaf.vocabulary.terms import PORTS

# A daily total is written in whole mL; closer than this is the same (practice).
SAME_TOTAL = mL(1)
# bolus-vol (memory): usual adult ceiling at one time.
BOLUS_MOST_ADULT = mL(500)
# bolus-child (memory): often 10 to 20 mL per kg.
BOLUS_MOST_CHILD_PER_KG = 20
# ad-nice: kcal per kg and day, adults.
ENERGY_LOW, ENERGY_HIGH = 25, 35
# The word of format 2 for full meals.
FULL_MEALS = "regular"
# fw-table (memory) with room on both sides: no label lies outside.
LABEL_ENERGY = (read_quantity("0.4 kcal/mL", "energy density"),
                read_quantity("2.5 kcal/mL", "energy density"))  # fmt: skip
LABEL_WATER = (60, 95)


@dataclass(frozen=True)
class _Session:
    """One feeding of the day: start and end in minutes; the end may pass midnight."""

    feed: Feed
    start: int
    end: int

    def runs_at(self, minute: int) -> bool:
        """Whether it runs at a minute; its first and last do not count."""
        whole = self.end - self.start >= A_DAY
        return whole or any(self.start < m < self.end for m in (minute, minute + A_DAY))

    def meets(self, other: _Session) -> bool:
        """Whether both are on one day of the week."""
        days, others = self.feed.days, other.feed.days
        return not days or not others or not set(days).isdisjoint(others)


def _sessions(orders: Patient, port: str) -> list[_Session]:
    """Every feeding of the day through a port, by start."""
    sessions = []
    for feed in orders.feeding:
        if feed.through != port:
            continue
        if feed.starts is not None:
            sessions.append(_Session(feed, *pump_span(feed)))
        for feed_time in feed.times:
            long = _minutes_at_once(feed)
            sessions.append(_Session(feed, minute_of(feed_time), minute_of(feed_time) + long))
    return sorted(sessions, key=lambda session: (session.start, session.feed.number))


def _by_port(given: Given) -> Iterator[list[_Session]]:
    """The feedings through each port, of every plan."""
    for orders in given.dated_orders:
        yield from (_sessions(orders, port) for port in PORTS)


def _minutes_at_once(feed: Feed) -> int:
    """How long a feeding at a set time takes: as ordered, or as the pump gives its amount."""
    if feed.over is not None:
        return minutes_in(feed.over)
    if feed.rate is None or feed.amount is None:
        return 0
    return minutes_in(feed.amount / feed.rate)


def _pairs(given: Given) -> Iterator[tuple[_Session, _Session]]:
    """Every ordered pair of different feedings of one day through one port."""
    for sessions in _by_port(given):
        for first in sessions:
            yield from ((first, x) for x in sessions if x is not first and first.meets(x))


def _pair(first: _Session, other: _Session, given: Given) -> ListedItem:
    words = (
        f"{feed_words(first.feed, given.patient)} at {clock(first.start)} and "
        f"{feed_words(other.feed, given.patient)} from {clock(other.start)}"
    )
    return ListedItem(f"feeding[{first.feed.number}]", words, (f"feeding[{other.feed.number}]",))


@check("what")
def feeds_at_one_time(given: Given) -> Checked:
    """Two feedings that begin at one time through one port."""
    return listed(
        [
            _pair(first, other, given)
            for first, other in _pairs(given)
            if first.start == other.start and first.feed.number < other.feed.number
        ]
    )


@check("what")
def feeds_overlap(given: Given) -> Checked:
    """A feeding that begins while another runs through the same port."""
    return listed(
        [
            _pair(first, other, given)
            for first, other in _pairs(given)
            if first.start != other.start and other.runs_at(first.start)
        ]
    )


@check("what", "apart")
def feeds_too_close(given: Given) -> Checked:
    """Syringe or gravity feedings of one port that start closer than `feeds_apart` (bolus-vol)."""
    least = given.policy.quantity("feeds_apart")
    close = []
    for sessions in _by_port(given):
        fast = [session for session in sessions if session.feed.method != "pump"]
        for first, other in zip(fast, [*fast[1:], *fast[:1]], strict=True):
            gap = (other.start - first.start) % A_DAY
            if 0 < gap < minutes_in(least) and first.meets(other):
                words = f"{clock(first.start)} and {clock(other.start)}"
                beside = (f"feeding[{first.feed.number}]",)
                close.append(ListedItem(f"feeding[{other.feed.number}].times", words, beside))
    return listed(close, apart=str(least))


@check("method")
def method_on_two_ports(given: Given) -> Checked:
    """One method through both ports: a packet of format 1 teaches each method for one port."""
    both = [
        method
        for method in ("syringe", "gravity", "pump")
        if len({feed.through for feed in given.patient.feeding if feed.method == method}) > 1
    ]
    taught = given.patient.format == 1 and bool(both)
    return result(taught, ["feeding"], method=joined(both))


def _fed(feed: Feed) -> Quantity:
    """What one day of a feeding without steps gives, in mL."""
    if feed.amount is not None:
        return total([feed.amount] * len(feed.times))
    return fed_per_day(feed)


@check("what")
def daily_total_differs(given: Given) -> Checked:
    """`daily_total` is 1 mL or more away from what the order adds up to (o-cyc, o-fhir-neg)."""
    wrong = []
    for feed in given.patient.feeding:
        if feed.steps:
            continue  # each step is asked by step_total_differs
        ordered, computed = feed.daily_total, _fed(feed)
        if ordered is None or abs((ordered - computed).to("mL").value) < SAME_TOTAL.value:
            continue
        words = (
            f"{feed_words(feed, given.patient)}: {amount(computed, 1)}, not {amount(ordered, 1)}"
        )
        wrong.append((f"feeding[{feed.number}].daily_total", words))
    return listed(wrong)


def _given_at_once(given: Given) -> Iterator[tuple[str, str, str, Quantity]]:
    """Key, first day of a step, words and amount of each feeding by syringe or gravity and of
    the most extra water; of steps that are alike only the first."""
    seen: set[tuple[int, Quantity]] = set()
    for stage in all_stages(given.patient):
        feed, size = stage.feed, stage.amount
        if size is None or feed.method == "pump" or (feed.number, size) in seen:
            continue
        seen.add((feed.number, size))
        step = f".steps[{stage.step - 1}]" if stage.step else ""
        key = f"feeding[{feed.number}]{step}.amount"
        yield key, stage.first_day, feed_words(feed, given.patient), size
    water = given.water
    extras = water.extras or ((water.extra,) if water.extra is not None else ())
    if extras:
        most = max((extra.amount for extra in extras), key=lambda size: size.to("mL").value)
        yield "water.extra.amount", "", "extra water", most


@check("what")
def bolus_large_adult(given: Given) -> Checked:
    """An adult gets more than 500 mL at one time (bolus-vol, memory)."""
    return each(
        part(key, about=first, what=f"{words}: {amount(size)}")
        for key, first, words, size in _given_at_once(given)
        if not given.child and size > BOLUS_MOST_ADULT
    )


@check("what")
def bolus_large_child(given: Given) -> Checked:
    """A child gets more than 20 mL per kg at one time (bolus-child, memory); needs a weight."""
    if given.child and given.kg is None:
        return result(None)
    kg = given.kg if given.child else None
    return each(
        part(
            key,
            about=first,
            what=f"{words}: {amount(size)} is {number(size.to('mL').value / kg, 1)} mL per kg",
        )
        for key, first, words, size in _given_at_once(given)
        if kg and size.to("mL").value > BOLUS_MOST_CHILD_PER_KG * kg
    )


def _little_is_meant(given: Given) -> bool:
    """Whether full meals are eaten too, so that little energy by tube says nothing."""
    return given.person.by_mouth == "full" or FULL_MEALS in given.person.mouth


@check("energy", "per_kg")
def energy_unusual(given: Given) -> Checked:
    """Energy of an adult outside 25 to 35 kcal per kg and day, in any plan (ad-nice).

    Unknown without weight or with home-blended food. Low energy says nothing where the person
    eats full meals too.
    """
    kg = given.kg
    if given.child or not given.patient.feeding:
        return result(False)
    if kg is None or all(plan.totals.energy is None for plan in given.plans):
        return result(None)

    def words_of(plan: DayPlan) -> dict[str, str] | None:
        energy = plan.totals.energy
        if energy is None:
            return None
        per_kg = energy.value / kg
        low = per_kg < ENERGY_LOW and not _little_is_meant(given)
        if not low and per_kg <= ENERGY_HIGH:
            return None
        return {"energy": amount(energy), "per_kg": number(per_kg, 1)}

    return each_plan(given, ("feeding", "patient.weight"), words_of)


def _odd_label(formula: Formula) -> list[str]:
    low, high = LABEL_ENERGY
    odd = [] if low <= formula.energy <= high else [f"energy {formula.energy}"]
    if not LABEL_WATER[0] <= formula.water.value <= LABEL_WATER[1]:
        odd.append(f"water {formula.water}")
    return odd


@check("what")
def label_doubtful(given: Given) -> Checked:
    """A formula label outside 0.4 to 2.5 kcal/mL or 60 to 95 % water (fw-table, memory)."""
    return listed(
        [
            (f"feeding[{feed.number}].formula", words)
            for feed in given.patient.feeding
            if feed.formula is not None
            for words in _odd_label(feed.formula)
        ]
    )
