"""Facts about water: which water, what is flushed when, goals and limits, a resting port."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from plainleaf.facts.declare import (
    LOADER,
    ORDER_SET,
    Asked,
    Constraint,
    Slot,
    alike,
    slot,
    unasked,
    whenever,
    word,
    yes_no,
)
from plainleaf.facts.derived import Event, SlotValue
from plainleaf.facts.feed_words import volume_range
from plainleaf.facts.given import Given
from plainleaf.facts.plans import resting_ports
from plainleaf.inputs.policy import Policy, days
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.conditions import (
    ALWAYS,
    NEVER,
    Condition,
    answers,
    every,
    never,
    no,
    some,
    yes,
)
from plainleaf.vocabulary.quantities import Quantity

# From gentle to strict; where several reasons meet, the strictest water is used.
_WATER_ORDER = ("tap", "boiled", "sterile")


def strictest_water(policy: Policy, *, weak: bool, jejunum: bool, age: int) -> str:
    """Which water goes through the tube: the strictest that applies (rows water-home …).

    Args:
        age: In days.
    """
    wanted = [policy.word("water_for_most")]
    if weak:
        wanted.append(policy.word("water_for_weak_immunity"))
    if jejunum:
        wanted.append(policy.word("water_for_jejunum"))
    if age < days(policy.quantity("infant_water_until")):
        wanted.append(policy.word("water_for_infants"))
    return max(wanted, key=_WATER_ORDER.index)


def _water_by_order(g: Given) -> str | None:
    ordered = (g.patient.overrides or {}).get("water_kind")
    return None if ordered is None else str(ordered)


def water_kind(g: Given) -> str:
    """Which water goes through the tube of a patient: by order, else the strictest that applies."""
    ordered = _water_by_order(g)
    if ordered is not None:
        return ordered
    weak = bool(g.person.conditions & terms.WEAK_IMMUNITY)
    return strictest_water(g.policy, weak=weak, jejunum="jejunal" in g.tube.ports, age=g.age_days)


def _water_of_the_facility(policy: Policy) -> Iterator[Constraint]:
    """The strictest water that applies; a baby's water only where the age settles it.

    On 29 February a baby of 365 days is still under one year; that one day is not considered.
    """
    until = days(policy.quantity("infant_water_until"))
    infants = answers("age_group", "infant")
    young = answers("age_group", "infant", "young-child", "child") if until > 365 else infants
    reasons = (
        (ALWAYS, ALWAYS, "water_for_most"),
        (yes("weak_immunity"), yes("weak_immunity"), "water_for_weak_immunity"),
        (yes("jejunal_port"), yes("jejunal_port"), "water_for_jejunum"),
        (infants if until >= 365 else NEVER, young, "water_for_infants"),
    )
    for rank, kind in enumerate(_WATER_ORDER):
        due = [reason for reason in reasons if policy.word(reason[2]) == kind]
        surely, maybe = some(*(r[0] for r in due), NEVER), some(*(r[1] for r in due), NEVER)
        surely, maybe = every(surely, no("water_by_order")), some(maybe, yes("water_by_order"))
        at_least = answers("water_kind", *_WATER_ORDER[rank:])
        yield whenever(surely, at_least, "the strictest water that applies")
        yield whenever(answers("water_kind", kind), maybe, "some reason asks for this water")


def clog_water(given: Given) -> Quantity | None:
    """Warm water for a clog: ordered, or for adults the policy's; never an adult's for a child."""
    if given.water.unclog is not None:
        return given.water.unclog
    return None if given.child else given.policy.quantity("clog_water_adult")


def unused(port: str) -> Condition:
    """A port that is there, and that no feeding and no timed medicine uses."""
    fed = some(*(answers(f"{method}_through", port) for method in terms.METHODS))
    return every(yes(f"{port}_port"), never(fed), no(f"timed_{port}"))


_EVERY, _FALLS = yes("water_every_ordered"), yes("every_falls")
_FLUSHED = some(
    every(
        yes("fed_by_tube"),
        some(yes("water_before_feed_ordered"), yes("water_after_feed_ordered")),
    ),
    every(yes("resting_port"), yes("water_daily_ordered")),
    yes("extra_water_ordered"),
    _FALLS,
    yes("timed_gastric"),
    yes("timed_jejunal"),
)
# In a file that says why, a flush goes through any port.
_EXTRA_THROUGH = some(
    yes("order_set"),
    *(yes(f"{port}_{use}") for port in terms.PORTS for use in ("feeding", "medicines")),
)


def _on_any_day(g: Given) -> Iterator[Event]:
    """What is done on any day of any plan."""
    for plan in g.plans:
        yield from plan.events
        for weekday in plan.weekdays:
            yield from weekday.events
        for turn in plan.recurring:
            yield from turn.events


def flushes_at_a_time(g: Given) -> bool:
    """Whether a flush or extra water stands in any day."""
    return any(event.kind in ("flush", "extra-water") for event in _on_any_day(g))


def _ordered(name: str, means: str, key: str, shown: str, *legal: Constraint) -> Asked[Given]:
    return yes_no(
        name, means, lambda g: getattr(g.water, key) is not None,
        needs=f"water.{key}", shown={f"water.{key}": shown} if shown else {}, legal=legal,
    )  # fmt: skip


WATER_FACTS: tuple[Asked[Given], ...] = (
    word(
        "flush_by", terms.FLUSH_BY, "how water goes in",
        lambda g: g.water.by or g.policy.word("flush_by"), needs="water.by",
    ),
    word(
        "water_kind", ("tap", "sterile", "boiled"), "which water, by policy", water_kind,
        legal_at=_water_of_the_facility,
    ),
    yes_no(
        "water_by_order", "which water is ordered, not left to the facility",
        lambda g: _water_by_order(g) is not None, needs="overrides.water_kind", only_2=True,
        shown={"overrides.water_kind": "sterile"},
    ),
    _ordered("water_before_feed_ordered", "a flush before each feeding", "before_feed", "5 mL"),
    _ordered("water_after_feed_ordered", "a flush after each feeding", "after_feed", "5 mL"),
    _ordered("water_every_ordered", "a flush every so many hours", "every", ""),
    _ordered("water_daily_ordered", "a daily flush for a resting tube", "daily", "5 mL"),
    _ordered(
        "extra_water_ordered", "extra water at set times", "extra", "",
        whenever(yes("extra_water_ordered"), _EXTRA_THROUGH,
                 "extra water goes through a port for feeding or medicines",
                 "rule port-not-for-this"),
    ),
    yes_no(
        "resting_port", "a port that is not used every day",
        lambda g: bool(resting_ports(g.patient)), needs="tube.ports", plain="true",
        legal=(alike(yes("resting_port"), some(unused("gastric"), unused("jejunal")),
                     "a port that no feeding or timed medicine uses"),),
    ),
    _ordered("fluid_limit", "the doctor set a most fluid a day", "limit", "2000 mL"),
    _ordered("fluid_goal", "the dietitian set a goal a day", "goal", "1200 mL"),
    yes_no(
        "unclog_amount_known", "an amount for a clog is known",
        lambda g: clog_water(g) is not None, needs="water.unclog", plain="true",
        legal=(whenever(no("child"), yes("unclog_amount_known"),
                        "adults have the policy's amount"),),
    ),
    yes_no(
        "flush_planned", "a flush or extra water stands in the day", flushes_at_a_time,
        needs="water",
        legal=(
            whenever(_FLUSHED, yes("flush_planned"), "what is flushed at a time"),
            whenever(yes("flush_planned"), some(_FLUSHED, yes("additives_given")),
                     "what is flushed at a time; medicines have their flush",
                     "rule medicine-flush-missing"),
        ),
    ),
    yes_no(
        "day_planned", "something is done at a time of day, on any day",
        lambda g: any(True for _ in _on_any_day(g)),
        needs="feeding",
        legal=(alike(
            yes("day_planned"),
            some(yes("fed_by_tube"), yes("flush_planned"), yes("timed_elsewhere"),
                 yes("more_planned")),
            "what has a time of day",
        ),),
    ),
)  # fmt: skip

# What no condition asks, and yet decides whether a table has rows.
WATER_UNASKED: tuple[Asked[Given], ...] = (
    unasked(
        "every_falls", "the flush every so many hours comes at least once on the printed day",
        whenever(_FALLS, _EVERY, "what the fact means"),
        whenever(every(_EVERY, some(no("pump_feeds"), answers("pump_pattern", "all-day"))), _FALLS,
                 "it has a start", "rule every-without-start"),
    ),
    unasked(
        "more_planned", "a drain, a check at home or the like has a time of day",
        whenever(yes("more_planned"), yes(ORDER_SET), "only format 2 can say it", LOADER),
    ),
    unasked(
        "every_never_falls", "it comes on no printed day; such orders fill each day of format 2",
        alike(yes("every_never_falls"), every(_EVERY, never(_FALLS)), "what the fact means"),
        only_1=True,
    ),
)  # fmt: skip


def _water(key: str) -> Callable[[Given], SlotValue | None]:
    def derive(g: Given) -> SlotValue | None:
        value: Quantity | None = getattr(g.water, key)
        least: Quantity | None = getattr(g.water, f"{key}_least", None)
        return None if value is None else volume_range(least, value)

    return derive


WATER_SLOTS: tuple[Slot[Given], ...] = (
    slot("water_before_feed", "volume", "flush before a feeding",
         _water("before_feed"), yes("water_before_feed_ordered")),
    slot("water_after_feed", "volume", "flush after a feeding",
         _water("after_feed"), yes("water_after_feed_ordered")),
    # medicine-flush-missing is a stop that nobody may accept.
    slot("water_with_medicine", "volume", "flush around a medicine",
         _water("medicine"), yes("medicines_by_tube")),
    slot("water_daily", "volume", "flush of a resting tube",
         _water("daily"), yes("water_daily_ordered")),
    slot("water_each", "volume", "flush every so many hours", _water("each"), _EVERY),
    slot("water_every", "span", "time between flushes", _water("every"), _EVERY),
    slot("clog_water", "volume", "warm water for a clog", clog_water, yes("unclog_amount_known")),
    slot("fluid_limit_amount", "volume", "most fluid a day", _water("limit"), yes("fluid_limit")),
    slot("fluid_goal_amount", "volume", "goal a day", _water("goal"), yes("fluid_goal")),
)  # fmt: skip
