"""What one facility's settings fix; without them every allowed setting is considered."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.authoring.prove.logic import (
    Constraint,
    answers,
    every,
    never,
    no,
    some,
    whenever,
    yes,
)
from plainleaf.facts.tube import span
from plainleaf.inputs.policy import Policy, days
from plainleaf.vocabulary.conditions import ALWAYS

_WATER_ORDER = ("tap", "boiled", "sterile")


def facility_rules(policy: Policy) -> Iterator[Constraint]:
    """What holds for every patient of one facility."""
    place = answers("dressing_place", policy.word("dressing_place"))
    yield Constraint(place, "the facility's setting", "fact")
    for fact in ("balloon_check_at_home", "tube_back_at_home"):
        if not policy.flag(fact):
            yield Constraint(no(fact), "the facility's setting", "fact")
    if days(policy.quantity("tangle_below_age")) <= 365:
        yield Constraint(never(answers("age_group", "young-child")), "the facility's ages", "fact")
    yield from _soreness(policy)
    yield from _water_kind(policy)


def _soreness(policy: Policy) -> Iterator[Constraint]:
    sore, flag = span(policy.quantity("sore_for")), span(policy.quantity("red_flag_time"))
    first, passed = answers("opening_stage", "first-72-hours"), yes("soreness_time_passed")
    if sore <= flag:
        yield whenever(never(first), passed, "the facility's times")
    if sore > flag:
        yield whenever(first, never(passed), "the facility's times")
    if sore.days >= days(policy.quantity("healed_after_adult")):
        new_adult = every(answers("opening_stage", "new"), no("child"))
        yield whenever(new_adult, never(passed), "the facility's times")


def _water_kind(policy: Policy) -> Iterator[Constraint]:
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
        (infants if until >= 365 else never(ALWAYS), young, "water_for_infants"),
    )
    for rank, word in enumerate(_WATER_ORDER):
        surely = some(*(sure for sure, _, name in reasons if policy.word(name) == word),
                      never(ALWAYS))  # fmt: skip
        maybe = some(*(may for _, may, name in reasons if policy.word(name) == word),
                     never(ALWAYS))  # fmt: skip
        at_least = answers("water_kind", *_WATER_ORDER[rank:])
        yield whenever(surely, at_least, "the strictest water that applies")
        yield whenever(answers("water_kind", word), maybe, "some reason asks for this water")
