"""The model of legal combinations: where each part is decided, and that it says enough."""

from __future__ import annotations

import pytest
from builders import library, policy

from plainleaf.authoring.prove.count import count_classes
from plainleaf.authoring.prove.guards import BLOCK_GUARDS
from plainleaf.authoring.prove.legal import OF_ONE_FORMAT, Model, legal_model
from plainleaf.authoring.prove.search import Search, holds
from plainleaf.facts import FACTS, UNASKED
from plainleaf.inputs.content import BLOCKS
from plainleaf.vocabulary.conditions import ALWAYS, answers, every, never, no, yes
from plainleaf.vocabulary.settling import SETTLED_BY

ANY, HERE = Search(legal_model()), Search(legal_model(policy()))
# Stops that nobody may accept and that no fact of the vocabulary shows: amounts, dates, names …
NO_FACT_SHOWS = {
    "balloon-fill-missing", "balloon-fill-too-much", "balloon-fill-without-balloon",
    "child-weight-missing", "nobody-hands-on", "learner-twice", "dates-do-not-fit",
    "text-never-taught", "policy-overdue", "policy-not-in-force", "daily-total-differs",
    "feeds-at-one-time",
    # what it stops stands in other constraints: a port by kind, one port a method, an order
    "port-not-on-tube", "method-on-two-ports", "put-back-refused",
}  # fmt: skip


def test_the_model_has_every_fact() -> None:
    assert set(ANY.model.variables) == set(FACTS) | set(UNASKED)
    assert not set(FACTS) & set(UNASKED)


def test_the_plainest_patient_is_legal_as_it_is_written() -> None:
    assert ANY.satisfy(ALWAYS) == ANY.model.plain
    for constraint in ANY.model.constraints:
        assert holds(constraint.holds, ANY.model.plain), constraint.why


def test_each_rule_that_decides_is_a_stop_that_nobody_may_accept() -> None:
    rules = {rule.id: rule for rule in library().rules}
    for constraint in ANY.model.constraints:
        assert constraint.why
        kind, _, name = constraint.decided_by.partition(" ")
        assert kind in ("loader", "fact", "rule", "settled"), constraint
        if kind == "rule":
            assert rules[name].level == "stop" and not rules[name].acceptable, name
        if kind == "settled":
            assert rules[name].level == "confirm" and len(SETTLED_BY[name].outcomes) == 1, name


def test_each_stop_that_nobody_may_accept_is_in_the_model_or_known_not_to_be() -> None:
    # No fact shows what an order set of format 2 says: each of its stops asks a check.
    asked = (rule for rule in library().rules if not rule.file.endswith("order-set-rules.yaml"))
    stops = {rule.id for rule in asked if rule.level == "stop" and not rule.acceptable}
    decided = {c.decided_by.removeprefix("rule ") for c in ANY.model.constraints}
    assert stops - decided == NO_FACT_SHOWS


def test_no_constraint_follows_from_the_others() -> None:
    model = ANY.model
    idle = []
    for number, one in enumerate(model.constraints):
        if one.why == OF_ONE_FORMAT:
            continue  # one of format 2 may ask for another of format 2
        others = (*model.constraints[:number], *model.constraints[number + 1 :])
        without = Search(Model(model.variables, others, model.plain))
        if without.satisfy(never(one.holds)) is None:
            idle.append(str(one.holds))
    assert idle == []


IMPOSSIBLE = [
    every(answers("tube_kind", "gastrostomy"), yes("jejunal_port")),
    every(answers("build", "low-profile"), answers("held_by", "stitches")),
    every(answers("build", "low-profile"), yes("mark_known")),
    every(answers("tube_kind", "jejunostomy"), yes("turn_ordered")),
    every(answers("opening_stage", "new"), yes("spare_tube_at_home")),
    every(answers("age_group", "infant"), no("tangle_risk")),
    every(yes("insulin"), no("diabetes_medicine")),
    every(yes("insulin"), yes("fed_by_tube"), no("feed_stop_plan")),
    every(answers("syringe_through", "gastric"), no("gastric_feeding")),
    every(yes("pump_feeds"), no("fed_by_tube")),
    every(yes("fed_by_tube"), no("formula_feeds"), no("blended")),
    every(yes("medicines_through_jejunal"), answers("tube_kind", "gastrostomy")),
    every(yes("water_before_feed_ordered"), yes("fed_by_tube"), no("flush_planned")),
    every(yes("fed_by_tube"), no("day_planned")),
]
POSSIBLE = [
    every(answers("tube_kind", "gastrojejunostomy"), answers("syringe_through", "jejunal")),
    every(answers("tube_kind", "gastrojejunostomy"), answers("held_by", "stitches")),
    every(answers("opening_stage", "mature"), no("soreness_time_passed")),
    every(answers("opening_stage", "first-72-hours"), yes("shower_allowed_now")),
    every(yes("as_needed_medicines"), yes("resting_port"), no("flush_planned")),
    every(yes("pump_feeds"), yes("water_every_ordered"), no("flush_planned")),
    every(answers("age_group", "adult"), yes("small_infant")),
    every(answers("build", "low-profile"), no("length_known")),
]


@pytest.mark.parametrize("number", range(len(IMPOSSIBLE)))
def test_what_cannot_be(number: int) -> None:
    assert ANY.satisfy(IMPOSSIBLE[number]) is None


@pytest.mark.parametrize("number", range(len(POSSIBLE)))
def test_what_can_be(number: int) -> None:
    assert ANY.satisfy(POSSIBLE[number]) is not None


def test_one_facility_narrows_what_can_be() -> None:
    under = answers("dressing_place", "under")
    assert ANY.satisfy(under) is not None and HERE.satisfy(under) is None
    weak_tap = every(yes("weak_immunity"), answers("water_kind", "tap"), no("water_by_order"))
    assert ANY.satisfy(weak_tap) is not None and HERE.satisfy(weak_tap) is None
    assert count_classes(HERE) < count_classes(ANY)


def test_every_block_and_no_stranger_has_a_guard() -> None:
    assert set(BLOCK_GUARDS) == set(BLOCKS)
