"""Every published harm event is answered: tests/oracles/harm-events.yaml says by what."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import harm_table
import pytest
import yaml
from builders import BASE, facts_with, levels_with, library, patient_with, statements_with

from plainleaf.vocabulary.errors import PatientError

EVENTS: dict[str, list[dict[str, Any]]] = yaml.load(
    Path(__file__).with_name("harm-events.yaml").read_text("utf-8"), Loader=yaml.BaseLoader
)
ANSWERS = [(event, answer) for event, answers in EVENTS.items() for answer in answers]
KINDS = ("rule", "statement", "absent", "refused", "fact")


def _of_kind(kind: str) -> list[Any]:
    return [
        pytest.param(answer, id=f"{event}-{answer[kind][:40]}-{number}")
        for number, (event, answer) in enumerate(ANSWERS)
        if kind in answer
    ]


def _file(answer: dict[str, Any]) -> tuple[dict[str, Any], str]:
    return answer.get("change", {}), answer.get("base", BASE)


@pytest.mark.parametrize("answer", _of_kind("rule"))
def test_a_rule_catches_the_event_and_nothing_near_it(answer: dict[str, Any]) -> None:
    changes, base = _file(answer)
    assert levels_with(changes, base).get(answer["rule"]) == answer["level"]
    assert answer["rule"] not in levels_with(answer["clear"], base)


@pytest.mark.parametrize("answer", _of_kind("statement"))
def test_a_statement_of_the_handout_answers_the_event(answer: dict[str, Any]) -> None:
    assert answer["statement"] in statements_with(*_file(answer))


@pytest.mark.parametrize("answer", _of_kind("absent"))
def test_no_statement_says_what_harmed(answer: dict[str, Any]) -> None:
    pattern = re.compile(answer["absent"])
    said = statements_with(*_file(answer))
    assert said
    assert {name for name, words in said.items() if pattern.search(words)} == set()


@pytest.mark.parametrize("answer", _of_kind("refused"))
def test_a_file_without_it_is_refused(answer: dict[str, Any]) -> None:
    with pytest.raises(PatientError, match=re.escape(answer["refused"])):
        patient_with(*_file(answer))


@pytest.mark.parametrize("answer", _of_kind("fact"))
def test_a_fact_has_the_safe_answer(answer: dict[str, Any]) -> None:
    assert facts_with(*_file(answer)).answers[answer["fact"]] == answer["answer"]


def test_every_published_event_is_answered() -> None:
    events = {name for name in library().claims if name.startswith("h-")}
    assert set(EVENTS) == events
    assert all(any(kind in answer for kind in KINDS) for _, answer in ANSWERS)


def test_rules_and_events_name_each_other() -> None:
    events_of_rule = {rule.id: set(rule.events) for rule in library().rules}
    for event, answer in ANSWERS:
        if "rule" in answer:
            assert event in events_of_rule[answer["rule"]], (event, answer["rule"])
    answered = {rule for _, answer in ANSWERS if (rule := answer.get("rule"))}
    near = {
        "bowel-feed-by-order", "gj-stomach-feed-by-order", "port-not-on-tube",
        "healing-not-certain", "child-water-figure", "child-water-unclear", "powder-without-recipe",
    }  # fmt: skip
    assert {rule.id for rule in library().rules if rule.events} <= answered | near


def test_the_table_shows_each_event_with_its_answers() -> None:
    rows = harm_table.current().splitlines()[2:]
    assert [row.split("`")[1] for row in rows] == list(EVENTS)
    shown = {answer.get("rule") or answer.get("statement") for _, answer in ANSWERS} - {None}
    assert all(any(f"`{name}`" in row for row in rows) for name in shown)
