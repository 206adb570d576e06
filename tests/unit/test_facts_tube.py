"""Facts about the tube: ports, age of the opening, what may be done at home."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest
from builders import REMOVE, facts_with, patient_with, policy_with

from plainleaf.facts.opening import opened_at, span
from plainleaf.vocabulary.quantities import read_quantity

A, B, C = "g-balloon-syringe", "g-bumper-blended", "g-button-child"
GJ, J = "gj-pump-overnight", "j-surgical-continuous"
HEALED = {"tube.opening_made": "2025-06-01"}
ORDER = {"by": "Dr. A", "on": "2026-03-04"}
ON = {"tube_back_at_home": True}

# fact, base, changes, policy settings, answer
ANSWERS: list[tuple[str, str, dict[str, Any], dict[str, Any], str]] = [
    ("tube_replaced", A, {}, {}, "false"),
    ("tube_replaced", C, {}, {}, "true"),
    ("tube_replaced", A, {"tube.opening_made": "2026-03-03"}, {}, "false"),
    ("tube_replaced", A, {"tube.opening_made": "2026-03-02"}, {}, "true"),
    ("two_ports", GJ, {}, {}, "true"),
    ("two_ports", A, {}, {}, "false"),
    ("gastric_port", J, {}, {}, "false"),
    ("jejunal_port", J, {}, {}, "true"),
    ("gastric_feeding", GJ, {}, {}, "false"),
    ("gastric_venting", GJ, {}, {}, "true"),
    ("gastric_drainage", GJ, {"tube.ports.gastric": ["medicines", "drainage"]}, {}, "true"),
    ("jejunal_medicines", J, {}, {}, "true"),
    ("jejunal_medicines", GJ, {}, {}, "false"),
    ("outer_disc", A, {}, {}, "true"),
    ("outer_disc", B, {}, {}, "true"),
    ("outer_disc", C, {}, {}, "false"),
    ("outer_disc", J, {}, {}, "false"),
    ("skin_buttons", A, {}, {}, "true"),
    ("skin_buttons", B, {}, {}, "false"),
    ("mark_known", A, {}, {}, "true"),
    ("mark_known", A, {"tube.mark_at_skin": REMOVE}, {}, "false"),
    ("length_known", C, {}, {}, "true"),
    ("length_known", C, {"tube.length": REMOVE}, {}, "false"),
    ("turn_ordered", B, {}, {}, "true"),
    ("push_in_ordered", B, {}, {}, "false"),
    # the family checks the balloon: a healed balloon gastrostomy with a known amount, allowed by
    # policy, six weeks after the opening was made (row bal-check-start, the longest of its range)
    ("balloon_check_at_home", A, HEALED, {}, "true"),
    ("balloon_check_at_home", A, {}, {}, "false"),
    ("balloon_check_at_home", A, HEALED, {"balloon_check_at_home": False}, "false"),
    ("balloon_check_at_home", A, {**HEALED, "tube.balloon_fill": REMOVE}, {}, "false"),
    ("balloon_check_at_home", GJ, HEALED, {}, "false"),
    ("balloon_check_at_home", B, {}, {}, "false"),
    ("balloon_check_at_home", A, {"tube.opening_made": "2026-01-20", "tube.opening_healed": ORDER},
     {}, "true"),
    ("balloon_check_at_home", A, {"tube.opening_made": "2026-01-25", "tube.opening_healed": ORDER},
     {}, "false"),
    # putting a tube back: policy and order and healed balloon gastrostomy and a trained person
    ("tube_back_at_home", A, {**HEALED, "tube.may_put_back": ORDER}, ON, "true"),
    ("tube_back_at_home", A, {**HEALED, "tube.may_put_back": ORDER}, {}, "false"),
    ("tube_back_at_home", A, HEALED, ON, "false"),
    # a first tube is put back in hospital alone, however old its opening (row tract-safe-rule)
    ("tube_back_at_home", A, {"tube.placed": "2025-11-01 09:00", "tube.may_put_back": ORDER}, ON,
     "false"),
    ("tube_back_at_home", A, {"tube.may_put_back": ORDER}, ON, "false"),
    ("tube_back_at_home", A, {**HEALED, "tube.may_put_back": ORDER,
     "learners.0.hands_on": "false", "learners.1.hands_on": "false"}, ON, "false"),
    ("tube_back_at_home", GJ, {**HEALED, "tube.may_put_back": ORDER}, ON, "false"),
    ("tube_back_at_home", B, {"tube.may_put_back": ORDER}, ON, "false"),
    # row kit: a spare tube belongs to a healed balloon gastrostomy only
    ("spare_tube_at_home", C, {}, {}, "true"),
    ("spare_tube_at_home", A, {}, {}, "false"),
    ("spare_tube_at_home", GJ, HEALED, {}, "false"),
    ("spare_tube_at_home", J, HEALED, {}, "false"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("fact", "base", "changes", "settings", "is_"),
    ANSWERS,
    ids=[f"{row[0]}-{n}" for n, row in enumerate(ANSWERS)],
)
def test_answers(
    fact: str, base: str, changes: dict[str, Any], settings: dict[str, Any], is_: str
) -> None:
    facts = facts_with(changes, base, policy_with(**settings))
    assert facts.answers[fact] == is_


@pytest.mark.parametrize(
    ("made", "is_"),
    [
        (None, datetime(2026, 3, 3, 14)),
        ("2026-03-03", datetime(2026, 3, 3, 14)),
        ("2026-03-05", datetime(2026, 3, 3, 14)),  # later than the tube: the earlier one counts
        ("2026-03-01", datetime(2026, 3, 1, 23, 59)),
    ],
)
def test_the_opening_counts_from_the_earlier_day(made: str | None, is_: datetime) -> None:
    patient = patient_with({"tube.opening_made": made} if made else {})
    assert opened_at(patient.tube) == is_


@pytest.mark.parametrize(
    ("text", "is_"),
    [
        ("72 h", timedelta(days=3)),
        ("20 min", timedelta(minutes=20)),
        ("1.5 d", timedelta(hours=36)),
    ],
)
def test_spans_are_exact(text: str, is_: timedelta) -> None:
    assert span(read_quantity(text, "time span")) == is_


@pytest.mark.parametrize(
    ("slot", "base", "is_"),
    [
        ("tube_size", A, "20 Fr"), ("mark_at_skin", A, "3.5 cm"), ("balloon_fill", A, "10 mL"),
        ("balloon_port_color", A, "white"), ("skin_button_count", A, "2"),
        ("placed_on", A, "2026-03-03"), ("opening_made_on", C, "2025-06-10"),
        ("button_length", C, "1.7 cm"),
    ],
)  # fmt: skip
def test_slots_hold_what_the_file_says(slot: str, base: str, is_: str) -> None:
    assert str(facts_with(base=base).values[slot].value) == is_


@pytest.mark.parametrize(
    ("slot", "base"),
    [("button_length", A), ("balloon_fill", B), ("mark_at_skin", C), ("balloon_port_color", C)],
)
def test_a_slot_without_value_is_not_there(slot: str, base: str) -> None:
    assert slot not in facts_with(base=base).values
