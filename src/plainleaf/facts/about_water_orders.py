"""Facts about water in a file of format 2: what is left out by decision, goals from a day on."""

from __future__ import annotations

from datetime import date
from typing import Any

from plainleaf.facts.about_feeding import port_phrase_of
from plainleaf.facts.about_water import flushes_at_a_time, unused
from plainleaf.facts.declare import (
    ORDER_SET,
    Asked,
    Constraint,
    Slot,
    alike,
    slot,
    whenever,
    yes_no,
)
from plainleaf.facts.derived import Phrase, SlotValue, Typed
from plainleaf.facts.given import Given
from plainleaf.facts.plans import resting_ports
from plainleaf.vocabulary.conditions import answers, every, never, no, some, yes

_FLUSH_MISSING = some(no("water_before_feed_ordered"), no("water_after_feed_ordered"))

# What gives water on a day.
_SOME_WATER = some(
    yes("fed_by_tube"), yes("flush_planned"), yes("drink_ordered"), yes("additives_given")
)


def _no_feed_flush(g: Given) -> bool:
    """In format 2 what no order says is either decided, or given by the clock round an all-day
    run."""
    water = g.water
    if g.undated or not g.patient.feeding or (water.before_feed and water.after_feed):
        return False
    return bool(g.outcomes_of("feed-flush-missing", "none")) or water.every is not None


def _settled(
    name: str, means: str, finding: str, do: str, *legal: Constraint, **shown: Any
) -> Asked[Given]:
    """What a decision on a finding makes true.

    Args:
        shown: Keys that raise the finding, with `__` for a period.
    """
    return yes_no(
        name, means, lambda g: bool(g.outcomes_of(finding, do)), needs="settled", only_2=True,
        shown={key.replace("__", "."): value for key, value in shown.items()},
        shown_outcome=(finding, do, {}), legal=legal,
    )  # fmt: skip


def _dry_ports(g: Given) -> list[str]:
    """Ports that nothing uses and no flush reaches."""
    flushed = {event.through for plan in g.plans for event in plan.events if event.kind == "flush"}
    flushed |= {extra.through for extra in g.water.extras if extra.why == "flush"}
    return [port for port in resting_ports(g.patient) if port not in flushed]


def _rest_by_clock(g: Given) -> bool:
    """In format 2 every flush of every day is ordered, unless a port stays dry."""
    return not g.undated and flushes_at_a_time(g) and not _dry_ports(g)


WATER_ORDER_FACTS: tuple[Asked[Given], ...] = (
    yes_no(
        "no_feed_flush", "no flush of its own before or after a feeding, by decision",
        _no_feed_flush, needs="water", only_2=True,
        shown_outcome=("feed-flush-missing", "none", {}),
        legal=(
            whenever(yes("no_feed_flush"), every(yes("fed_by_tube"), _FLUSH_MISSING),
                     "what the fact means"),
            whenever(every(yes(ORDER_SET), yes("fed_by_tube"), _FLUSH_MISSING),
                     yes("no_feed_flush"), "else it is asked", "settled feed-flush-missing"),
        ),
    ),
    yes_no(
        "rest_by_clock", "every port is flushed as the table says, also one that is not used",
        _rest_by_clock, needs="water", only_2=True,
        legal=(
            alike(yes("rest_by_clock"),
                  every(yes(ORDER_SET), yes("flush_planned"), no("rest_unflushed")),
                  "what the fact means", "settled resting-port-unflushed"),
        ),
    ),
    _settled(
        "rest_unflushed", "a port that is not used is not flushed, by decision",
        "resting-port-unflushed", "none",
        whenever(yes("rest_unflushed"), every(yes("resting_port"), no("water_daily_ordered")),
                 "what the fact means"),
        whenever(every(yes(ORDER_SET), yes("resting_port"), no("water_daily_ordered"),
                       no("extra_water_ordered"),
                       some(no("every_falls"), every(unused("gastric"), unused("jejunal")))),
                 yes("rest_unflushed"), "else it is asked", "settled resting-port-unflushed"),
        whenever(every(yes("every_falls"), no("two_ports")), no("rest_unflushed"),
                 "it is flushed"),
    ),
    _settled(
        "limit_passed", "the plan gives more than the limit, as ordered",
        "water-over-limit", "as-ordered",
        whenever(yes("limit_passed"), every(yes("fluid_limit"), _SOME_WATER),
                 "what the fact means"),
        water__limit="1 mL",
    ),
    _settled(
        "child_water_by_order", "a child's water is more than the usual figure, as ordered",
        "child-water-high", "as-ordered",
        whenever(yes("child_water_by_order"), every(yes("child"), _SOME_WATER),
                 "what the fact means"),
    ),
    _settled(
        "flush_kept_back", "an ordered flush that the day never uses waits for our word",
        "flush-never-given", "leave-open", water__each="5 mL",
    ),
    yes_no(
        "goal_by_date", "a goal a day, with the day from which it holds",
        lambda g: not g.undated and g.water.goal is not None, needs="water.goal", only_2=True,
        legal=(whenever(yes("goal_by_date"), yes("fluid_goal"), "what the fact means"),),
    ),
    yes_no(
        "drink_ordered", "so much a day is drunk by mouth, as ordered",
        lambda g: g.person.drink is not None, needs="patient.drink", only_2=True,
        shown={"patient.drink": "100 mL"},
        legal=(whenever(yes("drink_ordered"), never(answers("eats", "nothing")),
                        "drink goes with food or drink by mouth",
                        "rule nothing-and-something"),),
    ),
)  # fmt: skip


def _goal(g: Given) -> SlotValue | None:
    """The goal; as the least where more was decided, and from a later day where that was."""
    if g.undated or g.water.goal is None:
        return None
    said: Typed | Phrase = Typed("volume", g.water.goal)
    if g.outcomes_of("water-above-goal", "as-ordered"):
        said = Phrase("goal-at-least", (("amount", said),))
    later = g.outcomes_of("water-below-goal", "later")
    if later:
        first = max(day for o in later if isinstance(day := o.fields["date"], date))
        return Phrase("goal-from", (("goal", said), ("first", Typed("date", first))))
    return said if isinstance(said, Phrase) else g.water.goal


def _planned(g: Given) -> SlotValue | None:
    """Water of the fullest day, where it was decided that it may pass the limit."""
    if not g.outcomes_of("water-over-limit", "as-ordered"):
        return None
    return max(plan.fullest.water for plan in g.plans)


def _dry_port(g: Given) -> Phrase | None:
    ports = _dry_ports(g) if g.outcomes_of("resting-port-unflushed", "none") else []
    return port_phrase_of(g, ports[0]) if ports else None


WATER_ORDER_SLOTS: tuple[Slot[Given], ...] = (
    slot("water_planned", "volume", "water of the fullest day", _planned, yes("limit_passed")),
    slot("goal_said", "volume", "goal a day, and from when", _goal, yes("goal_by_date")),
    slot("drink_amount", "volume", "to drink each day", lambda g: g.person.drink,
         yes("drink_ordered")),
    slot("dry_port_name", "phrase", "the port that is not flushed", _dry_port,
         yes("rest_unflushed")),
)  # fmt: skip
