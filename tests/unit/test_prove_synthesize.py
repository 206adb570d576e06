"""The patient file of a class, and the report that names it."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from builders import library, policy, policy_with
from packets import decision_from

from plainleaf.authoring.prove import Failure, Outcome, examples, lines
from plainleaf.authoring.prove.legal import legal_model
from plainleaf.authoring.prove.report import policy_text
from plainleaf.authoring.prove.search import Search
from plainleaf.authoring.prove.synthesize import Example, NoExampleError, synthesize, written
from plainleaf.authoring.prove.texts import Place
from plainleaf.facts import FACTS, Facts
from plainleaf.inputs.policy import load_policy
from plainleaf.vocabulary.conditions import Condition, answers, every, no, yes

ANY = Search(legal_model())


def made(*conditions: Condition) -> Example:
    return synthesize(ANY.smallest(*conditions), policy(), library())


def facts_of(example: Example) -> Facts:
    return decision_from(example.text, rules=example.policy).facts


# What a class asks for that takes some care to write: orders that share out, dates, medicines.
HARD = [
    every(yes("blended"), no("blended_into_bowel"), answers("pump_through", "jejunal"),
          answers("syringe_through", "gastric"), no("pump_plans_many")),
    every(yes("blended_into_bowel"), yes("open_formula"), yes("powder_formula"),
          answers("gravity_through", "jejunal"), answers("pump_through", "gastric")),
    every(yes("open_formula"), yes("closed_formula"), yes("powder_formula"), yes("blended"),
          yes("pump_plans_many"), no("syringe_feeds"), no("gravity_feeds")),
    every(answers("opening_stage", "first-72-hours"), yes("soreness_time_passed"),
          yes("tube_replaced")),
    every(answers("opening_stage", "mature"), no("soreness_time_passed"), yes("child")),
    every(yes("balloon_check_at_home"), answers("age_group", "infant"), yes("small_infant")),
    every(yes("tube_back_at_home"), no("balloon_check_at_home")),
    every(yes("medicines_together"), yes("as_needed_medicines"), yes("liquid_medicines"),
          yes("crushed_medicines"), yes("small_doses"), yes("medicines_through_jejunal"),
          yes("medicines_through_gastric"), no("timed_gastric")),
    every(yes("diabetes_medicine"), no("insulin"), no("medicines_by_tube")),
    every(yes("diabetes_medicine"), no("insulin"), no("other_route_medicines")),
    every(yes("pump_feeds"), yes("water_every_ordered"), no("every_falls")),
    every(answers("age_group", "infant"), answers("water_kind", "tap")),
    every(yes("water_every_ordered"), no("fed_by_tube"), yes("extra_water_ordered")),
]  # fmt: skip


@pytest.mark.parametrize("number", range(len(HARD)))
def test_a_file_of_a_hard_class_has_its_answers(number: int) -> None:
    known = ANY.smallest(HARD[number])
    facts = facts_of(synthesize(known, policy(), library()))
    assert all(facts.answers[name] == known[name] for name in facts.answers)


ORDER_SET = yes("order_set")


@pytest.mark.parametrize("number", [n for n in range(len(HARD)) if ANY.satisfy(HARD[n], ORDER_SET)])
def test_a_hard_class_can_be_written_in_format_2(number: int) -> None:
    known = ANY.smallest(HARD[number], ORDER_SET)
    example, facts = written(known, policy(), library())
    assert example.text.startswith("format: 2\n")
    both = [name for name, fact in FACTS.items() if not fact.only_2]
    assert [name for name in both if facts.answers[name] != known[name]] == []


def test_what_format_2_asks_in_such_a_file_is_settled() -> None:
    example, _ = written(ANY.smallest(yes("blended_into_bowel"), ORDER_SET), policy(), library())
    decision = decision_from(example.text, rules=example.policy)
    assert "settled:" in example.text and not decision.stopped
    assert all(line.right for line in decision.settled_lines)


def test_the_plainest_patient_needs_no_settings_and_little_text() -> None:
    example = made(yes("outer_disc"))
    assert example.changed == () and example.policy == policy()
    data = yaml.safe_load(example.text)
    assert "feeding" not in data and "medicines" not in data and "visits" not in data
    assert len(example.text.splitlines()) < 50


def test_settings_that_a_class_needs_are_named_and_written(tmp_path: Path) -> None:
    example = made(answers("dressing_place", "under"), yes("tube_back_at_home"))
    assert set(example.changed) >= {"dressing_place", "tube_back_at_home"}
    path = tmp_path / "policy.yaml"
    path.write_text(policy_text(example), encoding="utf-8")
    read = load_policy(path)
    assert {n: e.value for n, e in read.entries.items()} == {
        n: e.value for n, e in example.policy.entries.items()
    }


def test_one_facility_that_cannot_have_a_class_says_so() -> None:
    known = ANY.smallest(answers("dressing_place", "under"))
    with pytest.raises(NoExampleError, match="dressing_place"):
        synthesize(known, policy(), library(), any_facility=False)
    under = policy_with(dressing_place="under")
    assert synthesize(known, under, library(), any_facility=False).changed == ()


def outcome(*failures: Failure) -> Outcome:
    return Outcome(failures, {"statements": 12, "classes": 1234}, ANY, 0.25)


PLACE = Place("feeding.plan/heading", "modules/feeding.yaml", 7)


def test_a_report_names_fault_place_and_patient() -> None:
    fault = Failure("named", PLACE, "names a pump.", ANY.smallest(yes("skin_buttons")))
    told = list(lines(outcome(fault)))
    assert told[0] == "named: modules/feeding.yaml:7 feeding.plan/heading: names a pump."
    assert told[1] == "    01-feeding.plan.heading is skin_buttons true"
    assert told[2].endswith(f"kinds of patient are legal, by {len(ANY.coding.names)} answers.")
    assert told[3:5] == ["     12 statements", "  1,234 classes of patient that the choices can "
                         "tell apart, each tried"]  # fmt: skip
    assert told[-1] == "Faults: 1. 0.2 s."


def test_a_report_without_faults_says_that_all_holds() -> None:
    assert list(lines(outcome()))[-1] == "Everything holds. 0.2 s."


def test_a_fault_that_nobody_shows_has_no_file() -> None:
    fault = Failure("reached", PLACE, "no class of patient ever gets it.")
    told = list(lines(outcome(fault)))
    assert not told[1].startswith("    01")
    assert examples(outcome(fault), policy(), library(), any_facility=True) == {}


def test_files_of_faults() -> None:
    shown = Failure("named", PLACE, "x.", ANY.smallest(yes("skin_buttons")))
    elsewhere = Failure("named", PLACE, "y.", ANY.smallest(answers("dressing_place", "under")))
    both = outcome(shown, elsewhere)
    files = examples(both, policy(), library(), any_facility=True)
    assert sorted(files) == [
        "01-feeding.plan.heading.yaml",
        "02-feeding.plan.heading.policy.yaml",
        "02-feeding.plan.heading.yaml",
    ]
    here = examples(both, policy(), library(), any_facility=False)
    assert sorted(here) == ["01-feeding.plan.heading.yaml", "02-feeding.plan.heading.txt"]
    assert b"no file could be made" in here["02-feeding.plan.heading.txt"]
