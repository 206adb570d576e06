"""Which combinations of answers a printable patient can have.

A legality model is the list of facts with their answers and of constraints between them. A class
of patient is a combination that satisfies all of them. Each constraint says why it holds and
where that is decided: by the loader, by the function that derives a fact, or by a stop that
nobody may accept (such a class never reaches print, so it needs no words).

Two methods check the list: generated patients satisfy it, and legal combinations become patient
files whose derived facts are the same (tests/properties/test_legal.py).
"""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.authoring.prove.facility import facility_rules
from plainleaf.authoring.prove.logic import (
    Constraint,
    Model,
    alike,
    answers,
    at_most_one,
    every,
    never,
    no,
    some,
    whenever,
    yes,
)
from plainleaf.inputs.policy import Policy
from plainleaf.vocabulary.conditions import Condition
from plainleaf.vocabulary.facts import FACTS, YES_NO

# What no condition asks, and yet decides whether a table has rows: name → what `true` means.
HIDDEN = {
    "timed_gastric": "a medicine with a time of day goes through the gastric port",
    "timed_jejunal": "a medicine with a time of day goes through the jejunal port",
    "timed_elsewhere": "a medicine with a time of day stays out of the tube",
    "every_falls": "the flush every so many hours comes at least once on the printed day",
}


# --- the tube -----------------------------------------------------------------------------------

_G = answers("tube_kind", "gastrostomy")
_J = answers("tube_kind", "jejunostomy")
_GJ = answers("tube_kind", "gastrojejunostomy")
_STANDARD = answers("build", "standard")
_BALLOON = answers("held_by", "balloon")
_MATURE = answers("opening_stage", "mature")
_HEALED_BALLOON = every(_G, _BALLOON, _MATURE)
_HEALED_BUMPER = every(_G, answers("held_by", "bumper"), _MATURE)
_GASTRIC_USES = ("gastric_feeding", "gastric_medicines", "gastric_venting", "gastric_drainage")
_JEJUNAL_USES = ("jejunal_feeding", "jejunal_medicines")


def _tube() -> Iterator[Constraint]:
    yield alike(yes("gastric_port"), some(_G, _GJ), "ports by kind of tube", "loader")
    yield alike(yes("jejunal_port"), some(_J, _GJ), "ports by kind of tube", "loader")
    yield alike(yes("two_ports"), _GJ, "ports by kind of tube", "loader")
    for use in _GASTRIC_USES:
        yield whenever(yes(use), yes("gastric_port"), "a use needs its port", "loader")
    for use in _JEJUNAL_USES:
        yield whenever(yes(use), yes("jejunal_port"), "a use needs its port", "loader")
    gastric_uses = some(*(yes(use) for use in _GASTRIC_USES))
    yield whenever(yes("gastric_port"), gastric_uses, "a port is for something", "loader")
    yield Constraint(
        some(_STANDARD, answers("held_by", "balloon", "bumper")),
        "a button is never held by stitches",
        "rule button-with-stitches",
    )
    disc = every(_STANDARD, never(answers("held_by", "stitches")))
    yield alike(yes("outer_disc"), disc, "which tubes have a disc")
    yield whenever(_STANDARD, yes("mark_known"), "a long tube has its mark", "rule mark-missing")
    yield whenever(yes("mark_known"), _STANDARD, "a button has no mark", "rule mark-on-button")
    for order in ("turn_ordered", "push_in_ordered"):
        why = "only a healed bumper-held gastrostomy is turned or pushed in"
        yield whenever(yes(order), _HEALED_BUMPER, why, "rule turn-or-push-refused")
    yield alike(yes("spare_tube_at_home"), _HEALED_BALLOON, "who keeps a spare tube")
    for fact in ("balloon_check_at_home", "tube_back_at_home"):
        yield whenever(yes(fact), _HEALED_BALLOON, "only with a healed balloon gastrostomy")
    yield whenever(
        yes("balloon_check_at_home"),
        yes("soreness_time_passed"),
        "the first balloon check comes later than any soreness (bounds of the policy)",
    )


# --- people -------------------------------------------------------------------------------------

_CHILDREN = answers("age_group", "infant", "young-child", "child")
_SMALL_CHILDREN = answers("age_group", "infant", "young-child")


def _person() -> Iterator[Constraint]:
    yield alike(yes("child"), _CHILDREN, "age groups under 18 years")
    caught = some(_SMALL_CHILDREN, yes("confused"))
    yield alike(yes("tangle_risk"), caught, "who can be caught in tubing")
    yield whenever(yes("insulin"), yes("diabetes_medicine"), "insulin lowers blood sugar")
    yield whenever(
        yes("insulin"), yes("other_route_medicines"), "insulin stays out of the tube",
        "rule insulin-through-tube",
    )  # fmt: skip
    yield whenever(
        yes("diabetes_medicine"),
        some(yes("medicines_by_tube"), yes("other_route_medicines")),
        "a medicine is on the list",
    )
    yield whenever(
        every(yes("diabetes_medicine"), yes("fed_by_tube")),
        yes("feed_stop_plan"),
        "a plan for when feeding stops",
        "rule feed-stop-plan-missing",
    )


# --- feeding ------------------------------------------------------------------------------------

_METHODS = ("syringe", "gravity", "pump")
_POURED = ("blended", "open_formula", "closed_formula", "powder_formula")
_INTO_BOWEL = some(*(answers(f"{method}_through", "jejunal") for method in _METHODS))
_INTO_STOMACH = some(*(answers(f"{method}_through", "gastric") for method in _METHODS))


def _feeding() -> Iterator[Constraint]:
    for method in _METHODS:
        none = answers(f"{method}_through", "none")
        yield alike(no(f"{method}_feeds"), none, "a method goes through a port")
        for port in ("gastric", "jejunal"):
            yield whenever(
                answers(f"{method}_through", port), yes(f"{port}_feeding"),
                "feeding goes through a port that is for feeding", "rule port-not-for-this",
            )  # fmt: skip
    yield alike(no("pump_feeds"), answers("pump_pattern", "none"), "a pump has its hours")
    fed = some(*(yes(f"{method}_feeds") for method in _METHODS))
    yield alike(yes("fed_by_tube"), fed, "fed by one method or more")
    for fact, method in (
        ("syringe_amounts_differ", "syringe"),
        ("gravity_amounts_differ", "gravity"),
        ("pump_plans_many", "pump"),
    ):
        yield whenever(yes(fact), yes(f"{method}_feeds"), "an order of this method")
    formulas = some(*(yes(fact) for fact in _POURED[1:]))
    yield alike(yes("formula_feeds"), formulas, "formula comes in one of three ways")
    yield alike(
        yes("fed_by_tube"), some(yes("blended"), yes("formula_feeds")),
        "every feeding is formula or blended", "loader",
    )  # fmt: skip
    single = every(
        yes("pump_feeds"), no("pump_plans_many"), no("syringe_feeds"), no("gravity_feeds")
    )
    yield whenever(single, at_most_one(*(yes(fact) for fact in _POURED)), "one order, one food")
    yield from _blended()


def _blended() -> Iterator[Constraint]:
    bowel = yes("blended_into_bowel")
    yield whenever(bowel, every(yes("blended"), _INTO_BOWEL), "what the fact means")
    stomach_only = every(yes("blended"), never(bowel))
    yield whenever(stomach_only, _INTO_STOMACH, "blended food goes through some port")
    yield whenever(
        every(stomach_only, _INTO_BOWEL), yes("formula_feeds"), "what the bowel gets is formula"
    )


# --- water and medicines ------------------------------------------------------------------------


def _unused(port: str) -> Condition:
    fed = some(*(answers(f"{method}_through", port) for method in _METHODS))
    return every(yes(f"{port}_port"), never(fed), no(f"timed_{port}"))


def _water() -> Iterator[Constraint]:
    resting = some(_unused("gastric"), _unused("jejunal"))
    yield alike(yes("resting_port"), resting, "a port that no feeding or timed medicine uses")
    uses = ("gastric_feeding", "gastric_medicines", *_JEJUNAL_USES)
    yield whenever(
        yes("extra_water_ordered"), some(*(yes(use) for use in uses)),
        "extra water goes through a port for feeding or medicines", "rule port-not-for-this",
    )  # fmt: skip
    yield whenever(no("child"), yes("unclog_amount_known"), "adults have the policy's amount")
    every_, falls = yes("water_every_ordered"), yes("every_falls")
    yield whenever(falls, every_, "what the fact means")
    sure = some(no("pump_feeds"), answers("pump_pattern", "all-day"))
    yield whenever(every(every_, sure), falls, "it has a start", "rule every-without-start")
    flushed = some(
        every(
            yes("fed_by_tube"),
            some(yes("water_before_feed_ordered"), yes("water_after_feed_ordered")),
        ),
        every(yes("resting_port"), yes("water_daily_ordered")),
        yes("extra_water_ordered"),
        falls,
        yes("timed_gastric"),
        yes("timed_jejunal"),
    )
    yield alike(
        yes("flush_planned"), flushed, "what is flushed at a time; medicines have their flush",
        "rule medicine-flush-missing",
    )  # fmt: skip
    timed = some(yes("fed_by_tube"), yes("flush_planned"), yes("timed_elsewhere"))
    yield alike(yes("day_planned"), timed, "what has a time of day")


def _medicines() -> Iterator[Constraint]:
    by_tube = yes("medicines_by_tube")
    ports = ("gastric", "jejunal")
    through = some(*(yes(f"medicines_through_{port}") for port in ports))
    yield alike(by_tube, through, "a medicine by tube has its port")
    for port in ports:
        has = yes(f"medicines_through_{port}")
        yield whenever(
            has, yes(f"{port}_medicines"), "medicines go through a port that is for them",
            "rule port-not-for-this",
        )  # fmt: skip
        yield whenever(yes(f"timed_{port}"), has, "what the fact means")
        why = "a medicine has times or is as needed"
        yield whenever(every(has, no("as_needed_medicines")), yes(f"timed_{port}"), why, "loader")
    for fact in (
        "liquid_medicines",
        "crushed_medicines",
        "small_doses",
        "as_needed_medicines",
    ):
        yield whenever(yes(fact), by_tube, "the fact is about medicines by tube")
    together = some(yes("timed_gastric"), yes("timed_jejunal"))
    yield whenever(yes("medicines_together"), together, "they have a time in common")
    yield whenever(yes("timed_elsewhere"), yes("other_route_medicines"), "what the fact means")


# The plainest patient: an adult who eats, with a healed gastrostomy that rests.
_PLAIN = {
    "build": "standard",
    "held_by": "bumper",
    "opening_stage": "mature",
    "age_group": "adult",
    "eats": "full",
    **dict.fromkeys(
        (
            "gastric_port", "gastric_feeding", "outer_disc", "mark_known", "resting_port",
            "unclog_amount_known", "shower_allowed_now", "bath_allowed_now", "swim_allowed_now",
            "lifting_allowed_now", "first_dressing_off", "eating_time_passed",
            "soreness_time_passed",
        ),
        "true",
    ),
}  # fmt: skip


def legal_model(policy: Policy | None = None) -> Model:
    """The model for one facility, or for every facility that the settings allow.

    Args:
        policy: None considers every setting that differs from place to place.
    """
    variables = {name: fact.answers for name, fact in FACTS.items()}
    variables |= dict.fromkeys(HIDDEN, YES_NO)
    plain = {
        name: _PLAIN.get(name, "false" if words == YES_NO else words[0])
        for name, words in variables.items()
    }
    constraints = [*_tube(), *_person(), *_feeding(), *_water(), *_medicines()]
    if policy is not None:
        constraints += facility_rules(policy)
    return Model(variables, tuple(constraints), plain)
