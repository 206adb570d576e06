"""`why --sentence`: every printed sentence leads back to its making."""

from __future__ import annotations

import re
from functools import cache

import pytest
from builders import ROOT, library, policy, policy_with
from packets import decision_from, settled_text

from plainleaf.authoring.provenance.explanation import setting_line
from plainleaf.authoring.provenance.why_sentence import (
    deciding,
    find,
    nearest,
    pieces_of,
    places,
    why_sentence,
)
from plainleaf.cli.main import main
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.conditions import Answer, Condition

GJ = "gj-pump-overnight-ready"


@cache
def case(base: str = GJ) -> Decision:
    return decision_from(settled_text(base=base))


def answered(decision: Decision, text: str) -> tuple[str, bool]:
    """The answer as people read it, and whether the sentence prints."""
    answer = why_sentence(decision, text)
    return "\n".join(answer.lines()), answer.prints


def test_the_answer_as_data_holds_the_same() -> None:
    data = why_sentence(case(), "lift no more than 10 lb (4.5 kg)").data()
    assert set(data) == {"prints", "places", "more", "nearest"}
    (place,) = data["places"]
    assert (place["role"], place["id"]) == ("statement", "first-days.body.lift-later")
    values = {value["name"]: value["value"] for value in place["values"]}
    assert values["lift_limit"] == "10 lb (4.5 kg)"
    settings = {entry["name"]: entry for entry in place["settings"]}
    assert settings["lift_after"]["approved_by"] is None
    assert {source["id"]: source["status"] for source in place["sources"]}["lift"] == "memory"
    furniture = why_sentence(case(), "It is for one person and one tube, for no one else.").data()[
        "places"
    ][0]
    assert set(furniture) == set(place)
    assert furniture["rule"] is furniture["line"] is None
    unknown = why_sentence(case(), "Please do not lift anything heavy").data()
    assert (unknown["prints"], unknown["places"], len(unknown["nearest"])) == (False, [], 3)


@pytest.mark.parametrize("base", [GJ, "g-button-child"])
def test_every_printed_sentence_is_found(base: str) -> None:
    pieces = pieces_of(case(base))
    for piece in pieces:
        text = piece.words.plain
        if text:
            assert piece.words.plain in {p.words.plain for p in find(pieces, text)}, text


def test_every_statement_leads_to_its_line() -> None:
    for place in places(library()).values():
        file = ROOT / "teaching" / place.module.file
        line = file.read_text("utf-8").splitlines()[place.statement.line - 1]
        assert f"id: {place.statement.id}" in line


def test_the_answer_holds_all_that_stands_behind_a_sentence() -> None:
    answer, prints = answered(case(), "lift no more than 10 lb (4.5 kg)")
    assert prints
    place = places(library())["first-days.body.lift-later"]
    for expected in (
        "statement: first-days.body.lift-later",
        f"first-days.yaml:{place.statement.line}",
        "rule: ",
        "lifting_allowed_now = false",
        "patient file: tube.placed",
        "setting: lift_after",
        "{lift_limit} = 10 lb (4.5 kg)",
        "lift_after = 28 d (row lift, the longest of its range; approved by nobody yet",
        "lift [memory]",
    ):
        assert expected in answer, expected


def test_who_approved_a_setting_is_told() -> None:
    entry = policy().entries["lift_after"]
    line = setting_line(policy_with().entries["lift_after"])
    assert line.startswith("lift_after = 28 d") and "approved by nobody yet" in line
    assert entry.origin in line


def test_a_part_in_other_capitals_and_spaces_is_found() -> None:
    answer, prints = answered(case(), "  LIFT no\u00a0more   than ")
    assert prints and "first-days.body.lift-later" in answer


def test_a_line_of_a_table_leads_to_its_statement() -> None:
    answer, prints = answered(case(), "levothyroxine: 1 tablet")
    assert prints and "statement: your-day.schedule.list" in answer


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("A flush: water that keeps", "heading: flushing.give"),
        ("Your day by the clock", "title: page-day"),
        ("It is for one person and one tube, for no one else.", "phrases.yaml"),
        ("It is the middle of the night. Tell me which signs", "ask: "),
    ],
)
def test_print_that_is_no_statement_is_answered_too(text: str, expected: str) -> None:
    answer, prints = answered(case(), text)
    assert prints and expected in answer


def test_a_sentence_that_this_patient_does_not_get_says_why() -> None:
    answer, prints = answered(case(), "The tube ends in your stomach.")
    assert not prints
    assert "Not printed for this patient" in answer
    assert "tube_kind = gastrojejunostomy" in answer


def test_an_unknown_sentence_shows_the_nearest_three() -> None:
    answer, prints = answered(case(), "Please do not lift anything heavy")
    assert not prints
    assert answer.count('": "') + answer.count(': "') == 3
    assert len(nearest(pieces_of(case()), "lift no more than ten pounds")) == 3
    found = nearest(pieces_of(case()), "Flush tube with the water at the stomach port")
    assert any("ort" in said for said, _ in found)


def test_an_empty_text_is_no_sentence() -> None:
    assert answered(case(), "  ")[1] is False


def test_only_the_facts_that_decided_are_told() -> None:
    def is_true(fact: str) -> Condition:
        return Condition("is", fact=fact, answers=("true",))

    known: dict[str, str | None] = {"child": "true", "confused": "false", "insulin": "false"}
    either = Condition("any", (is_true("confused"), is_true("child")))
    both = Condition("all", (is_true("child"), is_true("confused"), is_true("insulin")))
    assert deciding(either, known) == ("child",)
    assert deciding(both, known) == ("confused",)
    assert deciding(Condition("not", (both,)), known) == ("confused",)
    assert deciding(Condition("all"), known) == ()


def test_what_decided_is_enough() -> None:
    """With every other fact unknown, each decision of a packet comes out the same."""
    known = case().facts.answers
    for decision in case().selection.rulings:
        told = {fact: known[fact] for fact in deciding(decision.condition, known)}
        if decision.answer is not Answer.UNKNOWN:
            assert decision.condition.ask(told) is decision.answer, decision.statement


def test_the_command_answers(capsys: pytest.CaptureFixture[str]) -> None:
    file = str(ROOT / "examples" / f"{GJ}.yaml")
    assert main(["why", file, "--sentence", "Water keeps"]) == 0
    shown = capsys.readouterr().out
    assert re.search(r"The nearest:|statement: ", shown)
