"""The model of legal classes agrees with real patient files, both ways."""

from __future__ import annotations

import random

import pytest
from builders import EXAMPLES, facts_with, library, policy
from hypothesis import given
from hypothesis import strategies as st
from packets import decision_from
from strategies import Made, few, patients

from plainleaf.authoring.prove.guards import BLOCK_GUARDS
from plainleaf.authoring.prove.legal import Model, legal_model, plain_answer
from plainleaf.authoring.prove.search import Search, holds
from plainleaf.authoring.prove.synthesize import Example, synthesize, written
from plainleaf.compose.fill import fill
from plainleaf.facts import FACTS, SLOTS, Constraint, Facts
from plainleaf.facts.declare import ORDER_SET
from plainleaf.vocabulary.conditions import Condition, answers

ANY, HERE = Search(legal_model()), Search(legal_model(policy()))


def classes_of(model: Model, order_set: str) -> Search:
    """The classes that a file of format 1, or one of format 2, can show."""
    form = Constraint(answers(ORDER_SET, order_set), "the format", "loader")
    return Search(Model(model.variables, (*model.constraints, form), model.plain))


ANY_1, ORDER_SETS = classes_of(ANY.model, "false"), classes_of(ANY.model, "true")
HERE_1 = classes_of(HERE.model, "false")
# No fact tells whether these have a value, or it is a nought; their guards hold more seldom.
SELDOM = {
    "skin_button_count",
    "clinic_hours", "balloon_port_color", "pour_at_most", "refill_every", "water_each",
    "water_with_medicine", "button_length",
}  # fmt: skip


def guards_agree(facts: Facts) -> None:
    """A guard that holds gives a value; one that does not gives none, but for a few."""
    for name in SLOTS:
        if holds(SLOTS[name].sure, facts.answers):
            assert name in facts.values, name
        elif name not in SELDOM:
            assert name not in facts.values, name


@given(patients())
@few(60)
def test_a_patient_who_may_be_printed_is_legal(made: Made) -> None:
    known = {name: made.facts.answers[name] or "" for name in FACTS}
    broken = [c.why for c in HERE.model.constraints if set(c.holds.facts()) <= set(FACTS)
              and not holds(c.holds, known)]  # fmt: skip
    assert broken == []
    assert HERE.satisfy(given=known) is not None and ANY.satisfy(given=known) is not None
    guards_agree(made.facts)


@pytest.mark.parametrize("base", EXAMPLES)
def test_the_examples_are_legal(base: str) -> None:
    facts = facts_with({"other_lines": []}, base)
    assert HERE.satisfy(given={name: facts.answers[name] or "" for name in FACTS}) is not None


def read(example: Example) -> None:
    """The file loads, nothing stops it, and every sentence and table of it can be filled."""
    decision = decision_from(example.text, rules=example.policy)
    facts, selection = decision.facts, decision.selection
    assert [finding.id for finding in decision.findings if finding.blocks] == []
    assert selection.split_choices == () and selection.unknown == ()
    packet = fill(decision)
    blocks = [st.block for m in packet.modules for s in m.sections for st in s.statements]
    assert [block.name for block in blocks if block is not None and not block.rows] == []
    guards_agree(facts)
    for name, guard in BLOCK_GUARDS.items():
        printed = any(block is not None and block.name == name for block in blocks)
        assert holds(guard, facts.answers) or not printed, name


@given(st.integers(min_value=0, max_value=2**32))
@few(60)
def test_a_legal_class_is_a_patient_somewhere(seed: int) -> None:
    known = ANY_1.sample(random.Random(seed))
    example = synthesize(known, policy(), library())
    facts = decision_from(example.text, rules=example.policy).facts
    assert {name: facts.answers[name] for name in FACTS} == {name: known[name] for name in FACTS}
    read(example)


def known_of(facts: Facts) -> dict[str, str]:
    """The answers of a patient, all of which are known."""
    return {name: facts.answers[name] or "" for name in FACTS}


@given(st.integers(min_value=0, max_value=2**32))
@few(30)
def test_an_order_set_near_a_legal_class_is_legal(seed: int) -> None:
    example, facts = written(ORDER_SETS.sample(random.Random(seed)), policy(), library())
    assert example.text.startswith("format: 2\n")
    assert ANY.satisfy(given=known_of(facts)) is not None


ONLY_2 = [
    answers(fact.name, word)
    for fact in FACTS.values()
    if fact.only_2
    for word in fact.answers
    if word != plain_answer(fact)
]


@pytest.mark.parametrize("so", ONLY_2, ids=lambda so: f"{so.fact} {so.answers[0]}")
def test_what_only_format_2_says_can_be_written(so: Condition) -> None:
    example, facts = written(ANY.smallest(so), policy(), library())
    assert holds(so, facts.answers)
    assert ANY.satisfy(given=known_of(facts)) is not None
    read(example)


@given(st.integers(min_value=0, max_value=2**32))
@few(60)
def test_a_class_of_one_facility_is_a_patient_there(seed: int) -> None:
    known = HERE_1.sample(random.Random(seed))
    example = synthesize(known, policy(), library(), any_facility=False)
    assert example.changed == ()
    read(example)
