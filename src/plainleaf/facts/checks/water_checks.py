"""Checks on water: the day's sum, goals and limits, single flushes, missing orders.

The sum is water of formula, flushes and
extra water of the printed day (o-water-sum). Home-blended food has no label: its volume stands
apart and is never taken for water. Food and drink by mouth is not counted. Nothing here is an
order (fluid-noev: no guideline figure exists for stable adults).
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from plainleaf.facts.checks.outcome import amount, check, joined, listed, number, result
from plainleaf.facts.derived import Checked
from plainleaf.facts.given import Given
from plainleaf.facts.plans import resting_ports
from plainleaf.facts.runs import runs_all_day
from plainleaf.vocabulary.quantities import Quantity, mL, total

# How far from the goal is worth a question (practice).
GOAL_LOW, GOAL_HIGH = Decimal("0.9"), Decimal("1.1")
# ped-hs: mL per kg for the first 10 kg, the next 10 kg and the rest.
HOLLIDAY_SEGAR = ((10, 100), (10, 50), (None, 20))
# hs-cap (memory).
HOLLIDAY_SEGAR_MOST = mL(2400)
# hs-neonate (memory), ped-hs: not for newborns or babies born early.
HOLLIDAY_SEGAR_FROM_DAYS = 28
# Common practice, no source: a larger flush at one time is likely a slip.
FLUSH_MOST_ADULT = mL(250)
# fl-ped-num (memory, disputed): well above what is in use at each age.
FLUSH_MOST_CHILD = {"infant": mL(10), "young-child": mL(30), "child": mL(60)}


def _most(given: Given) -> Quantity:
    """Water of the plan if home-blended food were all water, in mL."""
    return total([given.totals.water, given.totals.blended])


def _planned(given: Given) -> str:
    """The day's water in words; what home-blended food adds is said, not guessed."""
    words = amount(given.totals.water)
    if given.totals.blended.value == 0:
        return words
    blended = amount(given.totals.blended)
    return f"{words}, and {blended} of home-blended food whose water is not known"


@check("planned", "limit")
def water_over_limit(given: Given) -> Checked:
    """The plan is, or with home-blended food may be, above `water.limit` (restrict-flag)."""
    limit = given.totals.limit
    over = limit is not None and _most(given) > limit
    words = amount(limit) if limit else ""
    return result(over, ["water.limit"], planned=_planned(given), limit=words)


@check("planned", "limit", "left")
def limit_and_drinks(given: Given) -> Checked:
    """A limit that the plan keeps, for a person who also drinks (water-total)."""
    limit = given.totals.limit
    if limit is None or given.person.by_mouth == "nothing" or _most(given) > limit:
        return result(False)
    remaining = amount(limit - _most(given))
    return result(
        True, ["water.limit"], planned=_planned(given), limit=amount(limit), left=remaining
    )


@check("planned", "goal")
def water_below_goal(given: Given) -> Checked:
    """More than 10 % below `water.goal`, even if home-blended food were all water (water-total)."""
    goal = given.totals.goal
    below = goal is not None and _most(given) < goal * GOAL_LOW
    words = amount(goal) if goal else ""
    return result(below, ["water.goal"], planned=_planned(given), goal=words)


@check("planned", "goal")
def water_above_goal(given: Given) -> Checked:
    """More than 10 % above `water.goal` without any home-blended food (water-total)."""
    goal = given.totals.goal
    above = goal is not None and given.totals.water > goal * GOAL_HIGH
    words = amount(goal) if goal else ""
    return result(above, ["water.goal"], planned=_planned(given), goal=words)


@check("planned", "goal")
def water_goal_unclear(given: Given) -> Checked:
    """Home-blended food decides whether `water.goal` is met."""
    goal = given.totals.goal
    if goal is None or given.totals.blended.value == 0:
        return result(False)
    low, high = goal * GOAL_LOW, goal * GOAL_HIGH
    unclear = given.totals.water < low <= _most(given) or (
        given.totals.water <= high < _most(given)
    )
    return result(unclear, ["water.goal"], planned=_planned(given), goal=amount(goal))


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


def _child_details(given: Given, kg: Decimal) -> dict[str, str]:
    figure = holliday_segar(kg)
    share = given.policy.quantity("child_water_most")
    return {
        "planned": _planned(given),
        "figure": amount(figure),
        "most": amount(figure * (share.value / 100)),
        "weight": f"{number(kg, 1)} kg",
    }


@check("planned", "most", "figure", "weight")
def child_water_high(given: Given) -> Checked:
    """A child's water above `child_water_most` of the children's figure (h-na98).

    Unknown without weight, and for newborns and babies born early, whom the figure does not fit.
    """
    if not given.child:
        return result(False)
    if given.kg is None or not _figure_holds(given):
        return result(None)
    share = given.policy.quantity("child_water_most").value / 100
    high = given.totals.water > holliday_segar(given.kg) * share
    return result(high, ["water", "patient.weight"], **_child_details(given, given.kg))


@check("planned", "figure", "weight")
def child_water_figure(given: Given) -> Checked:
    """The children's figure can be shown beside the plan (ped-hs); unknown without weight."""
    if not given.child or not _figure_holds(given):
        return result(False)
    if given.kg is None:
        return result(None)
    details = _child_details(given, given.kg)
    del details["most"]
    return result(True, ["water", "patient.weight"], **details)


@check("planned")
def child_water_unclear(given: Given) -> Checked:
    """A newborn or a baby born early: no figure fits, so the sum is only shown (hs-neonate)."""
    unclear = given.child and not _figure_holds(given) and _most(given).value > 0
    return result(unclear, ["water"], planned=_planned(given))


@check("planned", "per_kg", "low", "high")
def adult_water_unusual(given: Given) -> Checked:
    """An adult's water outside `adult_fluid_low` to `adult_fluid_high` per kg (ad-nice).

    Asked only where no goal and no limit is set. With home-blended food only if it cannot be met
    in any way. Unknown without weight.
    """
    totals = given.totals
    if given.child or totals.goal or totals.limit or not given.patient.feeding:
        return result(False)
    if given.kg is None:
        return result(None)
    low = given.policy.quantity("adult_fluid_low") * given.kg
    high = given.policy.quantity("adult_fluid_high") * given.kg
    return result(
        _most(given) < low or totals.water > high,
        ["water", "patient.weight"],
        planned=_planned(given),
        per_kg=number(totals.water.value / given.kg, 1),
        low=amount(low),
        high=amount(high),
    )


def _flushes(given: Given) -> Iterator[tuple[str, str, Quantity]]:
    """Key, words and amount of every flush that is ordered."""
    water = given.water
    for key, words, size in (
        ("before_feed", "before feedings", water.before_feed),
        ("after_feed", "after feedings", water.after_feed),
        ("medicine", "around medicines", water.medicine),
        ("daily", "when it rests", water.daily),
        ("each", "every so many hours", water.each),
    ):
        if size is not None:
            yield f"water.{key}", f"{amount(size, 1)} {words}", size


@check("what")
def flush_large_adult(given: Given) -> Checked:
    """An adult's single flush above 250 mL (practice)."""
    large = [(k, w) for k, w, size in _flushes(given) if size > FLUSH_MOST_ADULT]
    return listed([] if given.child else large)


@check("what", "most")
def flush_large_child(given: Given) -> Checked:
    """A child's single flush above 10 mL (infant), 30 mL (young child) or 60 mL (fl-ped-num)."""
    if not given.child:
        return listed([])
    most = FLUSH_MOST_CHILD[given.age_group]
    return listed([(k, w) for k, w, size in _flushes(given) if size > most], most=amount(most))


@check()
def medicine_flush_missing(given: Given) -> Checked:
    """Medicines go through the tube and `water.medicine` is not written (med-flush)."""
    by_tube = any(medicine.through is not None for medicine in given.patient.medicines)
    return result(by_tube and given.water.medicine is None, ["water.medicine"])


@check("what")
def feed_flush_missing(given: Given) -> Checked:
    """A feeding without its flushes (fl-adult-bolus, fl-adult-cont).

    Feedings with a start and an end need one before and one after; a pump that runs all day needs
    one every so many hours.
    """
    water, feeds = given.water, given.patient.feeding
    all_day = [feed for feed in feeds if feed.method == "pump" and runs_all_day(feed)]
    missing = []
    if len(all_day) < len(feeds):
        if water.before_feed is None:
            missing.append(("water.before_feed", "before feedings"))
        if water.after_feed is None:
            missing.append(("water.after_feed", "after feedings"))
    if all_day and water.every is None:
        missing.append(("water.every", "while the pump runs all day"))
    return listed(missing)


@check()
def every_without_start(given: Given) -> Checked:
    """`water.every` with no pump that times it and no `water.starts`: it would never be given."""
    water = given.water
    pumps = any(feed.method == "pump" for feed in given.patient.feeding)
    return result(water.every is not None and water.starts is None and not pumps, ["water.starts"])


@check("what")
def flush_never_given(given: Given) -> Checked:
    """An ordered flush that the plan never uses (fl-adult-cont); a daily flush may wait."""
    water = given.water
    fed = bool(given.patient.feeding)
    return listed(
        [
            (f"water.{key}", f"water.{key}")
            for key, unused in (
                ("each", water.each is not None and water.every is None),
                ("before_feed", water.before_feed is not None and not fed),
                ("after_feed", water.after_feed is not None and not fed),
            )
            if unused
        ]
    )


@check("ports")
def resting_port_unflushed(given: Given) -> Checked:
    """A port that nothing uses on a day and that no flush reaches (fl-idle)."""
    flushed = {event.through for event in given.events if event.kind == "flush"}
    dry = [port for port in resting_ports(given.patient) if port not in flushed]
    return result(bool(dry), ["water.daily"], ports=joined(dry))
