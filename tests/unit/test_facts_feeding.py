"""Facts about feeding and water."""

from __future__ import annotations

from typing import Any

import pytest
from builders import REMOVE, facts_with

A, B, C = "g-balloon-syringe", "g-bumper-blended", "g-button-child"
GJ, J = "gj-pump-overnight", "j-surgical-continuous"
FORMULA = {"name": "F", "energy": "1 kcal/mL", "water": "84 %", "system": "open"}


def pump(starts: str, hours: str, **more: Any) -> dict[str, Any]:
    return {
        "method": "pump", "through": "gastric", "formula": FORMULA, "rate": "60 mL/h",
        "starts": starts, "runs_for": hours, **more,
    }  # fmt: skip


# A run is overnight when the pump runs at two in the morning (common practice, no source).
PATTERNS = [
    ([], "none"),
    ([pump("18:00", "12 h")], "overnight"),
    ([pump("00:00", "6 h")], "overnight"),
    ([pump("08:00", "10 h")], "part-day"),
    ([pump("20:00", "6 h")], "part-day"),  # ends at two
    ([pump("02:00", "6 h")], "part-day"),  # begins at two
    ([pump("01:59", "6 h")], "overnight"),
    ([pump("00:00", "24 h")], "all-day"),
    ([pump("08:00", "4 h"), pump("22:00", "8 h")], "overnight"),
]


@pytest.mark.parametrize(("feeds", "is_"), PATTERNS, ids=[f"{n}" for n in range(len(PATTERNS))])
def test_when_a_pump_runs(feeds: list[dict[str, Any]], is_: str) -> None:
    assert facts_with({"feeding": feeds}).answers["pump_pattern"] == is_


ANSWERS: list[tuple[str, str, dict[str, Any], str | None]] = [
    ("syringe_feeds", A, {}, "true"),
    ("gravity_feeds", A, {}, "false"),
    ("gravity_feeds", C, {}, "true"),
    ("pump_feeds", GJ, {}, "true"),
    ("fed_by_tube", A, {"feeding": []}, "false"),
    ("pump_through", GJ, {}, "jejunal"),
    ("pump_through", A, {}, "none"),
    ("syringe_through", A, {}, "gastric"),
    # one method through two ports: not one answer, so none
    ("pump_through", GJ, {"feeding.1": pump("08:00", "2 h")}, None),
    ("syringe_amounts_differ", A, {}, "false"),
    ("syringe_amounts_differ", A, {"feeding.1": {
        "method": "syringe", "through": "gastric", "formula": FORMULA, "amount": "100 mL",
        "times": ["10:00"]}}, "true"),
    ("pump_plans_many", A, {"feeding": [pump("08:00", "2 h"), pump("20:00", "2 h")]}, "true"),
    ("blended", B, {}, "true"),
    ("blended_into_bowel", B, {}, "false"),
    ("blended_into_bowel", J, {"feeding.0.formula": REMOVE, "feeding.0.blended": "true"}, "true"),
    ("flush_planned", A, {}, "true"),
    ("flush_planned", A, {"feeding": [], "medicines": [], "water.daily": REMOVE}, "false"),
    ("flush_planned", A, {"feeding": [], "medicines": [], "water.daily": "30 mL"}, "true"),
    ("day_planned", A, {"feeding": [], "medicines": [], "water.daily": REMOVE}, "false"),
    ("day_planned", A, {"feeding": [], "water.daily": REMOVE, "medicines": [{
        "name": "a", "form": "patch", "dose": "1 patch", "times": ["08:00"]}]}, "true"),
    ("formula_feeds", B, {}, "false"),
    ("open_formula", A, {}, "true"),
    ("closed_formula", GJ, {}, "true"),
    ("powder_formula", A, {"feeding.0.formula.system": "powder"}, "true"),
    ("water_before_feed_ordered", A, {"water.before_feed": REMOVE}, "false"),
    ("water_every_ordered", J, {}, "true"),
    ("extra_water_ordered", A, {"water.extra": {
        "amount": "50 mL", "times": ["10:00"], "through": "gastric"}}, "true"),
    ("fluid_limit", B, {}, "true"),
    ("fluid_goal", GJ, {}, "true"),
    ("flush_by", A, {}, "gravity"),
    ("flush_by", A, {"water.by": "plunger"}, "plunger"),
    # a port that neither feeding nor a timed medicine uses on a day
    ("resting_port", A, {}, "false"),
    ("resting_port", GJ, {}, "false"),
    ("resting_port", GJ, {"medicines": []}, "true"),
    ("resting_port", GJ, {"medicines": [{"name": "a", "form": "liquid", "dose": "5 mL",
     "times": "as needed", "through": "gastric"}]}, "true"),
    # an adult's amount for a clog is the policy's; a child has one only by order
    ("unclog_amount_known", A, {}, "true"),
    ("unclog_amount_known", C, {}, "false"),
    ("unclog_amount_known", C, {"water.unclog": "5 mL"}, "true"),
    # water: the strictest that applies (rows water-home, water-sterile, water-infant)
    ("water_kind", A, {}, "tap"),
    ("water_kind", J, {}, "sterile"),
    ("water_kind", A, {"patient.conditions": ["immune-suppressed"]}, "sterile"),
    ("water_kind", C, {"patient.born": "2025-06-01"}, "boiled"),
    ("water_kind", C, {"patient.born": "2025-06-01",
     "patient.conditions": ["immune-suppressed"]}, "sterile"),
    ("water_kind", C, {"patient.born": "2025-03-02"}, "tap"),  # 365 days old
    ("water_kind", C, {"patient.born": "2025-03-03"}, "boiled"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("fact", "base", "changes", "is_"), ANSWERS, ids=[f"{r[0]}-{n}" for n, r in enumerate(ANSWERS)]
)
def test_answers(fact: str, base: str, changes: dict[str, Any], is_: str | None) -> None:
    assert facts_with(changes, base).answers[fact] == is_


VALUES: list[tuple[str, str, dict[str, Any], str]] = [
    ("syringe_amount", A, {}, "355 mL"),
    ("syringe_feed_count", A, {}, "4"),
    ("gravity_amount", C, {}, "180 mL"),
    ("gravity_minutes", C, {}, "30 min"),
    ("gravity_feed_count", C, {}, "4"),
    ("pump_rate", GJ, {}, "75 mL/h"),
    ("pump_start", GJ, {}, "18:00:00"),
    ("pump_stop", GJ, {}, "06:00:00"),
    ("pump_hours", GJ, {}, "12 h"),
    ("clog_water", A, {}, "30 mL"),
    ("clog_water", C, {"water.unclog": "5 mL"}, "5 mL"),
    ("water_every", J, {}, "4 h"),
    ("water_each", J, {}, "30 mL"),
    ("fluid_limit_amount", B, {}, "2000 mL"),
    ("fluid_goal_amount", GJ, {}, "1700 mL"),
    # row o-hang: 75 mL/h for the hang time of 8 h is 600 mL
    ("pour_at_most", GJ, {"feeding.0.formula.system": "open"}, "600 mL"),
    ("refill_every", GJ, {"feeding.0.formula.system": "open"}, "8 h"),
    ("pour_at_most", GJ, {"feeding.0.formula.system": "powder"}, "300 mL"),
    # never more than one run holds
    ("pour_at_most", GJ, {"feeding.0.formula.system": "open", "feeding.0.runs_for": "2 h"},
     "150 mL"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("slot", "base", "changes", "is_"), VALUES, ids=[f"{r[0]}-{n}" for n, r in enumerate(VALUES)]
)
def test_values(slot: str, base: str, changes: dict[str, Any], is_: str) -> None:
    assert str(facts_with(changes, base).values[slot].value) == is_


@pytest.mark.parametrize(
    ("slot", "base"),
    [("pour_at_most", GJ), ("pour_at_most", J), ("clog_water", C), ("pump_rate", A),
     ("water_before_feed", J), ("fluid_limit_amount", A)],
)  # fmt: skip
def test_a_value_that_nobody_ordered_is_not_there(slot: str, base: str) -> None:
    assert slot not in facts_with(base=base).values


@pytest.mark.parametrize(
    ("base", "slot", "phrase"),
    [
        (A, "feeding_port_name", "port-only"),
        (A, "medicine_port_name", "port-only"),
        (J, "feeding_port_name", "port-only"),
        (GJ, "feeding_port_name", "port-jejunal"),
        (GJ, "medicine_port_name", "port-gastric"),
        (GJ, "gastric_port_name", "port-gastric"),
    ],
)
def test_ports_are_named_by_where_they_lead_only_where_there_are_two(
    base: str, slot: str, phrase: str
) -> None:
    assert facts_with(base=base).values[slot].value.id == phrase  # type: ignore[union-attr]


def test_a_use_of_both_ports_has_no_one_name() -> None:
    changes = {"tube.ports.jejunal": ["feeding", "medicines"]}
    assert "medicine_port_name" not in facts_with(changes, GJ).values
