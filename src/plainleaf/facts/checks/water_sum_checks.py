"""Checks on the day's water: its sum, goals and limits, in every plan.

The sum is water of formula, flushes and extra water of the printed day (o-water-sum), in format 2
also what medicines are mixed in, and what is ordered to drink. Home-blended food has no label: its
volume stands apart and is never taken for water. A limit looks at the fullest day of a plan, a goal
at the emptiest. Nothing here is an order (fluid-noev: no guideline figure for stable adults).
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from plainleaf.facts.checks.outcome import amount, check, each, number, part, result
from plainleaf.facts.derived import Checked, DayPlan, Totals
from plainleaf.facts.given import Given
from plainleaf.vocabulary.quantities import Quantity, mL, total

# How far from the goal is worth a question (practice).
GOAL_LOW, GOAL_HIGH = Decimal("0.9"), Decimal("1.1")
# ped-hs: mL per kg for the first 10 kg, the next 10 kg and the rest.
HOLLIDAY_SEGAR = ((10, 100), (10, 50), (None, 20))
# hs-cap (memory).
HOLLIDAY_SEGAR_MOST = mL(2400)
# hs-neonate (memory), ped-hs: not for newborns or babies born early.
HOLLIDAY_SEGAR_FROM_DAYS = 28


def each_plan(
    given: Given, keys: tuple[str, ...], words_of: Callable[[DayPlan], dict[str, str] | None]
) -> Checked:
    """A check of every plan: plans with the same words are one part, named by its first day.

    Args:
        words_of: Words for the message, or None where nothing is to be said of a plan.
    """
    plans = given.plans
    first_days: dict[tuple[tuple[str, str], ...], str] = {}
    for plan in plans:
        words = words_of(plan)
        if words is not None:
            first = plan.first.isoformat() if len(plans) > 1 else ""
            first_days.setdefault(tuple(words.items()), first)
    return each(part(*keys, about=first, **dict(words)) for words, first in first_days.items())


def _most(totals: Totals) -> Quantity:
    """Water of a day if home-blended food were all water, in mL."""
    return total([totals.water, totals.blended])


def planned_words(totals: Totals) -> str:
    """A day's water in words; what home-blended food adds is said, not guessed."""
    words = amount(totals.water)
    if totals.blended.value == 0:
        return words
    return f"{words}, and {amount(totals.blended)} of home-blended food whose water is not known"


def reaches_goal(day: Totals) -> bool:
    """Whether a day is no more than 10 % below its goal, if home-blended food were all water."""
    return day.goal is None or _most(day) >= day.goal * GOAL_LOW


@check("planned", "limit")
def water_over_limit(given: Given) -> Checked:
    """The plan is, or with home-blended food may be, above `water.limit` (restrict-flag)."""

    def words_of(plan: DayPlan) -> dict[str, str] | None:
        day, limit = plan.fullest, plan.fullest.limit
        if limit is None or _most(day) <= limit:
            return None
        return {"planned": planned_words(day), "limit": amount(limit)}

    return each_plan(given, ("water.limit",), words_of)


@check("planned", "limit", "left")
def limit_and_drinks(given: Given) -> Checked:
    """A limit that the plan keeps, for a person who also drinks (water-total)."""
    if given.person.by_mouth == "nothing":
        return result(False)

    def words_of(plan: DayPlan) -> dict[str, str] | None:
        day, limit = plan.fullest, plan.fullest.limit
        if limit is None or _most(day) > limit:
            return None
        remaining = amount(limit - _most(day))
        return {"planned": planned_words(day), "limit": amount(limit), "left": remaining}

    return each_plan(given, ("water.limit",), words_of)


@check("planned", "goal")
def water_below_goal(given: Given) -> Checked:
    """More than 10 % below `water.goal`, even if home-blended food were all water (water-total)."""

    def words_of(plan: DayPlan) -> dict[str, str] | None:
        day, goal = plan.emptiest, plan.emptiest.goal
        if goal is None or reaches_goal(day):
            return None
        return {"planned": planned_words(day), "goal": amount(goal)}

    return each_plan(given, ("water.goal",), words_of)


@check("planned", "goal")
def water_above_goal(given: Given) -> Checked:
    """More than 10 % above `water.goal` without any home-blended food (water-total)."""

    def words_of(plan: DayPlan) -> dict[str, str] | None:
        day, goal = plan.emptiest, plan.emptiest.goal
        if goal is None or day.water <= goal * GOAL_HIGH:
            return None
        return {"planned": planned_words(day), "goal": amount(goal)}

    return each_plan(given, ("water.goal",), words_of)


@check("planned", "goal")
def water_goal_unclear(given: Given) -> Checked:
    """Home-blended food decides whether `water.goal` is met."""

    def words_of(plan: DayPlan) -> dict[str, str] | None:
        day, goal = plan.emptiest, plan.emptiest.goal
        if goal is None or day.blended.value == 0:
            return None
        low, high = goal * GOAL_LOW, goal * GOAL_HIGH
        unclear = day.water < low <= _most(day) or day.water <= high < _most(day)
        return {"planned": planned_words(day), "goal": amount(goal)} if unclear else None

    return each_plan(given, ("water.goal",), words_of)


def holliday_segar(kg: Decimal) -> Quantity:
    """The children's maintenance figure in mL a day, for a weight in kg.

    100 mL per kg for the first 10 kg, 50 for the next 10 and 20 for the rest, at most 2,400 mL.
    Not for newborns or babies born early. Source: rows ped-hs, hs-cap; o-hs-25, o-hs-table.

    >>> holliday_segar(Decimal(25))
    Quantity('1600 mL')
    """
    remaining, figure = kg, Decimal(0)
    for step, per_kg in HOLLIDAY_SEGAR:
        part = remaining if step is None else min(remaining, Decimal(step))
        figure, remaining = figure + part * per_kg, remaining - part
    return min(mL(figure), HOLLIDAY_SEGAR_MOST)


def _figure_holds(given: Given) -> bool:
    """Whether the children's figure may be used for this age at all (ped-hs, hs-neonate)."""
    early = given.age_years < 1 and "preterm" in given.person.conditions
    return given.age_days >= HOLLIDAY_SEGAR_FROM_DAYS and not early


def _child_words(given: Given, kg: Decimal, day: Totals) -> dict[str, str]:
    figure = holliday_segar(kg)
    share = given.policy.quantity("child_water_most")
    return {
        "planned": planned_words(day),
        "figure": amount(figure),
        "most": amount(figure * (share.value / 100)),
        "weight": f"{number(kg, 1)} kg",
    }


_CHILD_KEYS = ("water", "patient.weight")


@check("planned", "most", "figure", "weight")
def child_water_high(given: Given) -> Checked:
    """A child's water above `child_water_most` of the children's figure (h-na98).

    Unknown without weight, and for newborns and babies born early, whom the figure does not fit.
    """
    kg = given.kg
    if not given.child:
        return result(False)
    if kg is None or not _figure_holds(given):
        return result(None)
    share = given.policy.quantity("child_water_most").value / 100
    most = holliday_segar(kg) * share
    return each_plan(
        given,
        _CHILD_KEYS,
        lambda plan: _child_words(given, kg, plan.fullest) if plan.fullest.water > most else None,
    )


@check("planned", "figure", "weight")
def child_water_figure(given: Given) -> Checked:
    """The children's figure can be shown beside the plan (ped-hs); unknown without weight."""
    kg = given.kg
    if not given.child or not _figure_holds(given):
        return result(False)
    if kg is None:
        return result(None)

    def words_of(plan: DayPlan) -> dict[str, str]:
        words = _child_words(given, kg, plan.fullest)
        del words["most"]
        return words

    return each_plan(given, _CHILD_KEYS, words_of)


@check("planned")
def child_water_unclear(given: Given) -> Checked:
    """A newborn or a baby born early: no figure fits, so the sum is only shown (hs-neonate)."""
    if not given.child or _figure_holds(given):
        return result(False)
    return each_plan(
        given,
        ("water",),
        lambda plan: (
            {"planned": planned_words(plan.fullest)} if _most(plan.fullest).value > 0 else None
        ),
    )


@check("planned", "per_kg", "low", "high")
def adult_water_unusual(given: Given) -> Checked:
    """An adult's water outside `adult_fluid_low` to `adult_fluid_high` per kg (ad-nice).

    Asked only where no goal and no limit is set. With home-blended food only if it cannot be met
    in any way. Unknown without weight.
    """
    kg, water = given.kg, given.water
    if given.child or water.goal or water.limit or not given.patient.feeding:
        return result(False)
    if kg is None:
        return result(None)
    low = given.policy.quantity("adult_fluid_low") * kg
    high = given.policy.quantity("adult_fluid_high") * kg

    def words_of(plan: DayPlan) -> dict[str, str] | None:
        little = _most(plan.emptiest) < low
        if not little and plan.fullest.water <= high:
            return None
        day = plan.emptiest if little else plan.fullest
        per_kg = number(day.water.value / kg, 1)
        return {"planned": planned_words(day), "per_kg": per_kg, "low": amount(low),
                "high": amount(high)}  # fmt: skip

    return each_plan(given, _CHILD_KEYS, words_of)
