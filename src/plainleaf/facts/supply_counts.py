"""What is used up from the day of the packet on, counted on the days as they are planned.

A container that was opened is used up later as long as it may stand: poured formula by
`opened_fridge`, a recipe by its own time, a ready-to-hang container by its hang time and within
its day. What is left then is thrown away. Only what the orders and the facility's change times
settle is counted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import ROUND_CEILING, Decimal
from functools import cached_property

from plainleaf.facts.about_water import water_kind
from plainleaf.facts.derived import DayPlan, Event, Supply
from plainleaf.facts.given import Given
from plainleaf.facts.opened_containers import Draw, Opened, opened_for
from plainleaf.facts.plans import DayOrders, fillings, mixed, refills, weekday_of
from plainleaf.facts.runs import A_DAY
from plainleaf.inputs.patient import Formula
from plainleaf.inputs.patient.order_values import RecipePart
from plainleaf.vocabulary.patient_file.scalars_2 import CARTONS
from plainleaf.vocabulary.quantities import Quantity, mL, total

# A month of supplies is 30 days; common practice, no source.
MONTH_DAYS = 30
_NOTHING = mL(0)
# Of what is used and nothing settles how much of it.
_UNSETTLED = 0


def covered_days(given: Given) -> int:
    """The days that a list covers: a month and the facility's reserve."""
    return MONTH_DAYS + int(given.policy.quantity("supplies_reserve").to("d").value)


@dataclass(frozen=True)
class SupplyDays:
    """The days that a list covers, each with what is done on it."""

    given: Given

    @cached_property
    def days(self) -> list[tuple[date, tuple[Event, ...]]]:
        """Each date with its events; what recurs on no fixed weekday is no feeding."""
        first = self.given.day
        dates = [first + timedelta(days=n) for n in range(covered_days(self.given))]
        more = _refilled(self.given)
        return [(day, (*_events_of(self._plan(day), day), *more)) for day in dates]

    def _plan(self, day: date) -> DayPlan:
        return next(p for p in self.given.plans if p.last is None or day <= p.last)

    @property
    def count(self) -> int:
        """How many days there are."""
        return len(self.days)

    def events(self, kind: str) -> Iterator[tuple[date, Event]]:
        """Events of a kind with their date."""
        return ((day, e) for day, events in self.days for e in events if e.kind == kind)

    def changed_every(self, span: Quantity) -> int:
        """How many are used of what is changed so often."""
        return _up(Decimal(self.count) / span.to("d").value)


def _events_of(plan: DayPlan, day: date) -> tuple[Event, ...]:
    named = {weekday.day: weekday.events for weekday in plan.weekdays}
    return named.get(weekday_of(day), plan.events)


def _refilled(given: Given) -> tuple[Event, ...]:
    """When a pump's bag is filled again, for a file of format 1, whose days do not say it."""
    orders = DayOrders(given.patient, given.policy, given.patient)
    filled = fillings(orders) if given.undated else {}
    feeds = given.patient.feeding
    return tuple(e for n, runs in filled.items() for e in refills(orders, feeds[n], runs))


def _up(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_CEILING))


def _delta(span: Quantity) -> timedelta:
    return timedelta(minutes=float(span.to("min").value))


# --- formula -------------------------------------------------------------------------------------


def _draws(day: date, events: Sequence[Event], formula: Formula) -> list[Draw]:
    """What is taken of a formula on a day; a pump's first filling is what its refills leave."""
    draws: list[Draw] = []
    for event in events:
        if event.feed is None or event.feed.formula != formula or event.amount is None:
            continue
        minute = event.minute + (A_DAY if event.begun_before else 0)
        amount = event.amount.to("mL")
        if event.kind == "pump-start":
            same = [e for e in events if e.kind == "refill" and e.feed == event.feed]
            amount = amount - total([e.amount for e in same if e.amount is not None])
        if event.kind in ("feed", "pump-start", "refill"):
            moment = datetime.combine(day, datetime.min.time()) + timedelta(minutes=minute)
            draws.append(Draw(moment, amount))
    return draws


def _opened(days: SupplyDays, formula: Formula, size: Quantity) -> Opened:
    """What is opened of a formula; each printed day begins with a new ready-to-hang container."""
    drawn = [_draws(day, events, formula) for day, events in days.days]
    if formula.system == "closed":
        keeps = _delta(days.given.policy.quantity("hang_closed"))
        each = [opened_for(_in_order(draws), size, keeps) for draws in drawn]
        return Opened(
            sum(day.count for day in each),
            max((day.count for day in each), default=0),
            total([day.wasted for day in each]),
        )
    recipe = formula.recipe
    keeps = _delta(days.given.policy.quantity("opened_fridge") if recipe is None else recipe.fridge)
    return opened_for(_in_order(draw for draws in drawn for draw in draws), size, keeps)


def _in_order(draws: Iterable[Draw]) -> list[Draw]:
    return sorted(draws, key=lambda draw: draw.moment)


def _formulas(days: SupplyDays) -> list[Formula]:
    fed = [e.feed.formula for _, events in days.days for e in events if e.feed is not None]
    return list(dict.fromkeys(formula for formula in fed if formula is not None))


def formula_lines(days: SupplyDays) -> Iterator[Supply]:
    """Each formula with its containers, or what its recipe takes."""
    for formula in _formulas(days):
        if formula.recipe is not None:
            batches = _opened(days, formula, formula.recipe.makes.to("mL")).count
            for part in formula.recipe.take:
                yield from _part_lines(part, batches)
        elif formula.container is not None and formula.system != "powder":
            opened = _opened(days, formula, formula.container.to("mL"))
            yield Supply(
                "formula", opened.count, formula.name, formula.container, opened.a_day,
                opened.wasted, formula.energy,
            )  # fmt: skip


# What a kitchen has, or what is no supply.
_AT_HOME = ("water", "boiled water", "breast milk", "oil")


def _part_lines(part: RecipePart, batches: int) -> Iterator[Supply]:
    """What a recipe takes of a powder, in grams, or of another formula."""
    if part.of in _AT_HOME:
        return
    amount = part.amount
    if amount.weight is not None:
        yield Supply("powder", _up(amount.weight.to("g").value * batches), part.of, unit="g")
    elif amount.unit in CARTONS:
        yield Supply("formula", _up(amount.count * batches), part.of)
    else:
        kind = "powder" if amount.unit == "g" else "formula"
        yield Supply(kind, _up(amount.count * batches), part.of, unit=amount.unit)


def _additive_lines(days: SupplyDays) -> Iterator[Supply]:
    for number, additive in enumerate(days.given.patient.additives):
        key = f"additives[{number}]"
        doses = sum(1 for _, event in days.events("additive") if event.order == key)
        weighed = additive.amount.equals or additive.amount
        if doses:
            yield Supply("powder", _up(weighed.value * doses), additive.name, unit=weighed.unit)


# --- the rest ------------------------------------------------------------------------------------


def _set_lines(days: SupplyDays) -> Iterator[Supply]:
    for method in ("pump", "gravity"):
        by_day = [
            sum(1 for e in events if e.kind == "set-change" and e.feed and e.feed.method == method)
            for _, events in days.days
        ]
        if any(by_day):
            yield Supply(f"{method}-sets", sum(by_day), a_day=max(by_day))


def _syringe_lines(days: SupplyDays) -> Iterator[Supply]:
    """Syringes for feeding and water, and one for each medicine that is measured in mL."""
    change = days.given.policy.quantity("syringe_change")
    yield Supply("syringes", days.changed_every(change))
    small = {
        one.medicine.number
        for one in days.given.medicines
        if one.answers["small_dose_medicine"] == "true"
    }
    measured = {
        medicine.number
        for plan in days.given.plans
        for medicine in plan.orders.medicines
        if medicine.through is not None and medicine.dose and medicine.dose.unit == "mL"
    }
    for name, numbers in (("medicine", measured - small), ("low-dose", measured & small)):
        if numbers:
            yield Supply(f"{name}-syringes", days.changed_every(change) * len(numbers))


def _water_lines(days: SupplyDays) -> Iterator[Supply]:
    """Sterile water for all that goes through the tube, where it is asked for."""
    if water_kind(days.given) != "sterile":
        return
    given = [
        amount
        for kind in ("flush", "extra-water", "medicine", "additive")
        for _, event in days.events(kind)
        for amount in (event.amount, mixed(event) if event.mix and event.mix.liquid == "water"
                       else None)
        if amount is not None
    ]  # fmt: skip
    whole = total(given)
    if whole > _NOTHING:
        yield Supply("sterile-water", _up(whole.value), unit="mL")


def _ordered_lines(days: SupplyDays) -> Iterator[Supply]:
    """What is changed as often as an order says."""
    patient = days.given.patient
    overrides = patient.overrides or {}
    every = overrides.get("extension_set_change")
    if patient.tube.build == "low-profile":
        often = days.changed_every(every) if isinstance(every, Quantity) else _UNSETTLED
        yield Supply("extension-sets", often)
    dressing = overrides.get("dressing")
    if dressing in ("daily", "when wet"):
        daily = dressing == "daily"
        yield Supply("gauze", days.count if daily else _UNSETTLED, a_day=1 if daily else None)
        yield Supply("tape", _UNSETTLED)
    if patient.drainage is not None and patient.drainage.into == "bag":
        yield Supply("drainage-bags", days.changed_every(patient.drainage.change_bag))
    gloves = sum(1 for _, e in days.events("medicine") if e.medicine and e.medicine.gloves)
    if gloves:
        yield Supply("gloves", gloves)


_LINES: tuple[Callable[[SupplyDays], Iterator[Supply]], ...] = (
    formula_lines,
    _additive_lines,
    _set_lines,
    _syringe_lines,
    _water_lines,
    _ordered_lines,
)


def counted_supplies(given: Given) -> tuple[Supply, ...]:
    """The list of a file whose orders have dates, in print order.

    A count of 0 is a thing that is used and that nothing settles how much of; `gloves` are pairs.
    """
    days = SupplyDays(given)
    return tuple(line for lines in _LINES for line in lines(days))
