"""Conditions: Kleene's logic, exact words, and refusal of anything else."""

from __future__ import annotations

import pytest

from plainleaf.facts import FACTS
from plainleaf.inputs.read_condition import read_condition
from plainleaf.inputs.strict_yaml import parse
from plainleaf.vocabulary.conditions import ALWAYS, Answer, Condition, all_of, both
from plainleaf.vocabulary.errors import Fault

T, F, U = Answer.TRUE, Answer.FALSE, Answer.UNKNOWN
KNOWN: dict[str, str | None] = {"a": "true", "b": "false", "c": None}
PART = {
    T: Condition("is", fact="a", answers=("true",)),
    F: Condition("is", fact="b", answers=("true",)),
    U: Condition("is", fact="c", answers=("true",)),
}
# Strong three-valued logic of S. C. Kleene, "Introduction to Metamathematics" (1952), section 64.
KLEENE = [
    (T, T, T, T), (T, F, F, T), (T, U, U, T),
    (F, T, F, T), (F, F, F, F), (F, U, F, U),
    (U, T, U, T), (U, F, F, U), (U, U, U, U),
]  # fmt: skip


@pytest.mark.parametrize(("first", "second", "all_", "any_"), KLEENE)
def test_all_and_any_follow_kleene(
    first: Answer, second: Answer, all_: Answer, any_: Answer
) -> None:
    parts = (PART[first], PART[second])
    assert Condition("all", parts).ask(KNOWN) is all_
    assert Condition("any", parts).ask(KNOWN) is any_
    assert all_of(first, second) is all_


@pytest.mark.parametrize(("answer", "opposite"), [(T, F), (F, T), (U, U)])
def test_not_follows_kleene(answer: Answer, opposite: Answer) -> None:
    assert Condition("not", (PART[answer],)).ask(KNOWN) is opposite
    assert ~answer is opposite


def test_always_is_true_even_when_nothing_is_known() -> None:
    assert ALWAYS.ask({}) is T
    assert str(ALWAYS) == "always"


def test_a_fact_that_is_not_there_is_unknown() -> None:
    assert PART[T].ask({}) is U


@pytest.mark.parametrize(
    ("first", "second", "is_"),
    [
        (ALWAYS, PART[T], PART[T]),
        (PART[T], ALWAYS, PART[T]),
        (PART[T], PART[F], Condition("all", (PART[T], PART[F]))),
    ],
    ids=["always-x", "x-always", "x-y"],
)
def test_both(first: Condition, second: Condition, is_: Condition) -> None:
    assert both(first, second) == is_


READ = [
    ("always", "always", ()),
    ("{child: true}", "child is true", ("child",)),
    (
        "{held_by: {one_of: [balloon, bumper]}}",
        "held_by is balloon or bumper",
        ("held_by",),
    ),
    ("{child: true, blended: false}", "child is true and blended is false", ("child", "blended")),
    (
        "{any: [{child: true}, {all: [{eats: full}, {not: {blended: true}}]}]}",
        "child is true or (eats is full and not (blended is true))",
        ("child", "eats", "blended"),
    ),
]


@pytest.mark.parametrize(("text", "says", "asked"), READ, ids=[row[1] for row in READ])
def test_conditions_are_read_and_say_what_they_ask(
    text: str, says: str, asked: tuple[str, ...]
) -> None:
    faults: list[Fault] = []
    condition = read_condition(parse(f"when: {text}", "f").value["when"], FACTS, faults)  # type: ignore[index]
    assert not faults
    assert str(condition) == says
    assert tuple(condition.facts()) == asked


REFUSED = [
    ("sometimes", "is not a condition"),
    ("{}", "is not a condition"),
    ("[]", "is not a condition"),
    ("{weight: 5}", "'weight' is not a fact"),
    ("{water_each: true}", "'water_each' is not a fact"),
    ("{child: yes}", "'child' is never 'yes'"),
    ("{child: maybe}", "'child' is never 'maybe'"),
    ("{child: }", "needs an answer"),
    ("{held_by: [balloon]}", "needs an answer"),
    ("{held_by: {one_of: []}}", "needs an answer"),
    ("{held_by: {one_of: balloon}}", "needs an answer"),
    ("{held_by: {one_of: [[balloon]]}}", "needs an answer"),
    ("{held_by: {none_of: [balloon]}}", "needs an answer"),
    ("{held_by: {one_of: [balloon, glue]}}", "'held_by' is never 'glue'"),
    ("{all: []}", "'all' is not a list of conditions"),
    ("{any: {child: true}}", "'any' is not a list of conditions"),
    ("{not: [{child: true}]}", "is not a condition"),
    ("{all: [{child: true}, {nothing: true}]}", "'nothing' is not a fact"),
]


@pytest.mark.parametrize(("text", "wrong"), REFUSED, ids=[row[0] for row in REFUSED])
def test_anything_else_is_refused(text: str, wrong: str) -> None:
    faults: list[Fault] = []
    read_condition(parse(f"a: 1\nwhen: {text}", "f").value["when"], FACTS, faults)  # type: ignore[index]
    assert [(fault.line, wrong in fault.wrong) for fault in faults] == [(2, True)]
