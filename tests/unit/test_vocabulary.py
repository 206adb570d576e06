"""The closed vocabulary: its names are what `derive` answers, and its kinds what it gives."""

from __future__ import annotations

from typing import Any

import pytest
from builders import EXAMPLES, REMOVE, facts_with, policy_with
from format_2 import (
    GROUP_HOME,
    INSULIN,
    NAMES,
    REFEEDING,
    RESTING,
    data_with,
    decided,
    derived,
    with_codes,
)
from module_words import decision_of

from plainleaf.compose.word.wording import KINDS
from plainleaf.facts import CHECKS, FACTS, SLOTS, VOCABULARY
from plainleaf.facts.derived import Phrase
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.facts import YES_NO

# Changes that together give every slot a value (used below).
VISIT = {"what": "Tube check", "when": "2026-03-20 09:00", "where": "desk 2"}
PUMP = {
    "method": "pump",
    "through": "gastric",
    "formula": {"name": "F", "energy": "1 kcal/mL", "water": "84 %", "system": "open"},
    "rate": "60 mL/h",
    "starts": "20:00",
    "runs_for": "10 h",
}
DRINKS = {"patient.drink": "400 mL", "overrides.no_feed_before_lying": "1 h"}
DECIDED = [
    ("resting-port-unflushed", "none", {"water.extra": REMOVE}, RESTING),
    ("water-over-limit", "as-ordered", {"water.limit": "50 mL"}, RESTING),
]
DOCTOR = "B. Quist, MD"
# At night nobody is there who may help with low sugar.
ALONE = {
    "learners.0.duties": ["feeding"], "learners.0.limit": "own wish",
    "learners.0.there": "always",
    "learners.1.duties": ["rescue", "medicines", "flushing", "injections", "sugar-checks"],
    "learners.1.limit": "own wish", "learners.1.there": "Mon-Fri 08:00-20:00",
}  # fmt: skip
STAFF_DATES = {
    "tube.may_put_back": {"who": ["Olga Marsh"]},
    "dates": {"balloon_check_from": "2026-07-20"},
}
RICH: list[tuple[dict[str, Any], str]] = [
    ({}, "g-balloon-syringe"),
    ({"visits": [VISIT], "if_feeding_stops": "Call us.", "water.every": "4 h",
      "water.each": "30 mL", "water.limit": "2 L", "feeding.1": PUMP}, "g-balloon-syringe"),
    ({}, "g-button-child"),
    ({}, "gj-pump-overnight"),
    ({}, "j-surgical-continuous"),
]  # fmt: skip


@pytest.mark.parametrize("base", EXAMPLES)
def test_derive_answers_exactly_the_facts(base: str) -> None:
    answers = facts_with(base=base).answers
    assert set(answers) == set(FACTS)
    for name, answer in answers.items():
        assert answer is None or answer in FACTS[name].answers, name


@pytest.mark.parametrize("number", range(len(RICH)))
def test_every_value_is_a_slot_of_its_kind(number: int) -> None:
    changes, base = RICH[number]
    values = facts_with(changes, base).values
    assert set(values) <= set(SLOTS)
    for name, typed in values.items():
        # A phrase may stand in for a text that the file does not hold (ask-where).
        kinds = {SLOTS[name].kind} | ({"phrase"} if isinstance(typed.value, Phrase) else set())
        assert typed.kind in kinds, name


def test_every_slot_has_a_value_for_some_patient() -> None:
    given = {name for changes, base in RICH for name in facts_with(changes, base).values}
    given |= {name for base in NAMES for name in derived(data_with(base=base)).values}
    given |= set(derived(data_with(STAFF_DATES, GROUP_HOME)).values)
    given |= set(derived(data_with(DRINKS, REFEEDING)).values)
    for finding, do, changes, base in DECIDED:
        data = data_with(changes, base)
        data["settled"] = [decided(finding, "", do, DOCTOR)]
        given |= set(decision_of(with_codes(data)).facts.values)
    data = data_with(ALONE, INSULIN)
    data["settled"].append(decided("rescue-not-covered", "rescue", "emergency-first", DOCTOR))
    given |= set(decision_of(with_codes(data)).facts.values)
    assert given == set(SLOTS)


def test_every_kind_of_slot_can_be_worded() -> None:
    kinds = {slot.kind for slot in SLOTS.values()} - {"phrase"}
    assert kinds <= set(KINDS)


@pytest.mark.parametrize("base", EXAMPLES)
def test_medicine_facts_are_what_the_rules_may_ask(base: str) -> None:
    for medicine in facts_with(base=base).medicines:
        assert set(medicine.answers) == set(VOCABULARY.medicine)
        for name, answer in medicine.answers.items():
            assert answer in VOCABULARY.medicine[name].answers, name


def test_checks_are_facts_of_rules_and_of_nothing_else() -> None:
    assert not set(CHECKS) & (set(FACTS) | set(VOCABULARY.medicine) | set(SLOTS))
    assert not set(FACTS) & set(VOCABULARY.medicine)
    assert all(fact.answers == YES_NO for fact in CHECKS.values())


def test_names_of_facts_and_slots_do_not_clash() -> None:
    assert not set(FACTS) & set(SLOTS)


@pytest.mark.parametrize(
    ("fact", "words"),
    [
        ("tube_kind", terms.TUBE_KINDS),
        ("held_by", terms.RETENTIONS),
        ("opening_stage", terms.STAGES),
        ("age_group", terms.AGE_GROUPS),
        ("eats", terms.BY_MOUTH),
    ],
)
def test_answers_are_the_words_of_the_trade(fact: str, words: tuple[str, ...]) -> None:
    assert FACTS[fact].answers == words


@pytest.mark.parametrize("water", ["tap", "sterile", "boiled"])
def test_a_policy_word_that_becomes_an_answer_is_one(water: str) -> None:
    facts = facts_with(rules_of=policy_with(water_for_most=water))
    assert facts.answers["water_kind"] == water
    assert water in FACTS["water_kind"].answers
