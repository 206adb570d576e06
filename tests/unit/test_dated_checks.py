"""Checks of every file, as they read order sets with dates: plan by plan, and step by step."""

from __future__ import annotations

from typing import Any

import pytest
from builders import REMOVE
from order_sets import (
    GROUP_HOME,
    HOSPICE,
    INFANT,
    INSULIN,
    ORDER_SETS,
    REFEEDING,
    RESTING,
    given_with,
)

from plainleaf.facts.checks import CHECKS

# What every published file raises: it is built with the example policy, which says no dead space.
EVERY = {"policy_example", "dead_space_unknown"}
RAISES = {
    REFEEDING: {"energy_unusual", "closed_hangs_too_long", "water_below_goal"},
    GROUP_HOME: {"energy_unusual", "duty_not_covered",
                 "accepted_by_preparer", "mixing_water_counted"},
    INFANT: {"child_water_figure", "small_dose_medicines", "duty_limited"},
    # The last step of dexamethasone is 1 mL.
    # Dexamethasone of 1 mg/mL is thinned, the table says from memory.
    INSULIN: {"energy_unusual", "small_dose_medicines", "thin_before_giving",
              "mixing_water_counted"},
    HOSPICE: {"medicines_in_jejunal_port", "medicine_twice", "small_dose_medicines",
              "most_before_interval", "duty_limited",
              "water_drained_not_counted"},
    RESTING: {"duty_limited"},
}  # fmt: skip


@pytest.mark.parametrize("name", ORDER_SETS)
def test_every_check_answers_for_the_published_files(name: str) -> None:
    given = given_with(name)
    assert {n for n, check in CHECKS.items() if check.run(given).answer} == RAISES[name] | EVERY


# Water below the goal of 1,500 mL: 16 h of 20, 35, 50, 65 mL/h at 84 % water, 60 mL before and
# after, 3 × 30 mL, and 3 × 15 mL around two medicines, of which one ends on August 21.
BELOW = {"2026-08-12": "524 mL", "2026-08-14": "725 mL", "2026-08-16": "927 mL",
         "2026-08-18": "1,129 mL", "2026-08-22": "1,114 mL"}  # fmt: skip


def test_water_is_asked_of_each_plan_by_its_first_day() -> None:
    parts = CHECKS["water_below_goal"].run(given_with(REFEEDING)).parts
    assert {part.about: part.details["planned"] for part in parts} == BELOW


# 16 h of 20, 35, 50, 65 mL/h at 1 kcal/mL for 40.5 kg: the last step gives 1,040 kcal, 25.7 per kg.
def test_energy_is_asked_of_each_plan_by_its_first_day() -> None:
    parts = CHECKS["energy_unusual"].run(given_with(REFEEDING)).parts
    assert {part.about: part.details["energy"] for part in parts} == {
        "2026-08-12": "320 kcal", "2026-08-14": "560 kcal", "2026-08-16": "800 kcal",
    }  # fmt: skip


def test_little_energy_beside_full_meals_is_not_asked() -> None:
    given = given_with(REFEEDING, {"patient.by_mouth": ["regular"]})
    assert CHECKS["energy_unusual"].run(given).answer is False


def test_a_large_feeding_is_asked_of_each_step_that_differs() -> None:
    steps = [{"for": "2 d", "amount": "510 mL"}, {"for": "2 d", "amount": "510 mL"},
             {"amount": "520 mL"}]  # fmt: skip
    feed = {
        "method": "gravity",
        "through": "gastric",
        "formula": "standard-15",
        "over": "1 h",
        "times": ["08:00"],
        "from": "2026-08-12",
        "steps": steps,
        "otherwise": "stay and call",
    }
    given = given_with(REFEEDING, {"feeding": [feed]})
    parts = CHECKS["bolus_large_adult"].run(given).parts
    assert [part.about for part in parts] == ["2026-08-12", "2026-08-16"]


def test_each_extra_water_is_looked_at() -> None:
    extra = {"times": ["11:00"], "through": "gastric", "why": "drink"}
    lines = [{**extra, "amount": "100 mL"}, {**extra, "amount": "600 mL", "times": ["14:00"]}]
    given = given_with(REFEEDING, {"water.extra": lines})
    assert CHECKS["bolus_large_adult"].run(given).parts[0].details["what"] == "extra water: 600 mL"


def test_plans_with_the_same_water_are_one_finding() -> None:
    changes = {"medicines.1.until": "2026-08-30", "medicines.0.until": REMOVE,
               "feeding.0.steps": REMOVE, "feeding.0.from": REMOVE, "feeding.0.rate": "20 mL/h",
               "feeding.0.step_only_if": REMOVE, "feeding.0.otherwise": REMOVE,
               "medicines.1.route": "mouth"}  # fmt: skip
    given = given_with(REFEEDING, changes)
    assert len(given.plans) == 2
    (part,) = CHECKS["water_below_goal"].run(given).parts
    assert part.about == "2026-08-12"


def test_of_one_plan_alone_no_day_is_named() -> None:
    (part,) = CHECKS["child_water_figure"].run(given_with(INFANT)).parts
    assert part.about == ""


def test_a_limit_looks_at_the_fullest_day_and_a_goal_at_the_emptiest() -> None:
    # 1,443.865 mL on Thursday and 1,428.865 mL on the ordinary day from June 6 on, 30 mL less
    # than the Saturday.
    limited = given_with(INSULIN, {"water.limit": "1450 mL"})
    over = CHECKS["water_over_limit"].run(limited)
    assert over.answer and "1,474 mL" in over.details["planned"]
    aimed = given_with(INSULIN, {"water.goal": "1600 mL"})
    below = CHECKS["water_below_goal"].run(aimed)
    assert below.parts[0].details["planned"] == "1,414 mL"


CASES: list[tuple[str, str, dict[str, Any], bool]] = [
    # A pump dose of 355.5 mL at 150 mL/h from 08:00 runs until 10:22.
    ("feeds_overlap", GROUP_HOME, {"feeding.1.times": ["10:21", "20:30"]}, True),
    ("feeds_overlap", GROUP_HOME, {"feeding.1.times": ["10:22", "20:30"]}, False),
    ("feeds_at_one_time", GROUP_HOME, {"feeding.1.times": ["08:00"]}, True),
    ("feeds_at_one_time", GROUP_HOME,
     {"feeding.1.times": ["08:00"], "feeding.1.days": ["Mon"], "feeding.0.days": ["Tue"]}, False),
    ("feeds_too_close", INFANT, {"feeding.0.times": ["07:00", "09:00"]}, True),
    ("feeds_too_close", INFANT, {}, False),
    ("daily_total_differs", INFANT, {"feeding.1.daily_total": "200 mL"}, True),
    ("daily_total_differs", GROUP_HOME, {"feeding.0.daily_total": "711 mL"}, False),
    ("daily_total_differs", GROUP_HOME, {"feeding.0.daily_total": "700 mL"}, True),
    ("daily_total_differs", REFEEDING, {"feeding.0.daily_total": "1 mL"}, False),
    ("method_on_two_ports", GROUP_HOME, {}, False),
    ("mark_missing", RESTING, {}, False),
    ("mark_missing", RESTING,
     {"tube.outside_length": REMOVE, "tube.mark_at_skin": "3 cm"}, False),
    ("port_use_missing", HOSPICE, {}, False),
    ("port_use_missing", HOSPICE, {"water.extra.0.why": "drink"}, True),
    ("resting_port_unflushed", RESTING, {}, False),
    ("resting_port_unflushed", RESTING, {"water.extra": REMOVE}, True),
    ("feed_flush_missing", GROUP_HOME, {"water.after_feed": REMOVE}, True),
    ("feed_flush_missing", GROUP_HOME, {}, False),
    ("bolus_large_adult", GROUP_HOME, {"feeding.1.amount": "2.5 cartons"}, True),
    ("bolus_large_adult", GROUP_HOME, {"feeding.0.amount": "2.5 cartons"}, False),
    ("hold_meets_feed", INSULIN, {"medicines.2.hold_before": "1 h"}, True),
    ("hold_meets_feed", INSULIN, {"medicines.2.hold_after": "1 h"}, False),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "base", "changes", "answer"), CASES, ids=[f"{c[0]}-{n}" for n, c in enumerate(CASES)]
)
def test_check(name: str, base: str, changes: dict[str, Any], answer: bool) -> None:
    assert CHECKS[name].run(given_with(base, changes)).answer is answer


def test_what_a_hold_costs_is_said_for_each_plan() -> None:
    held = given_with(REFEEDING, {"medicines.0.hold_after": "2 h"})
    parts = CHECKS["hold_costs_feed"].run(held).parts
    # The dose at 15:00 holds the pump from 16:00 to 17:00, until it ends on August 21.
    assert {part.about: part.details["lost"] for part in parts} == {
        "2026-08-12": "20 mL", "2026-08-14": "35 mL", "2026-08-16": "50 mL", "2026-08-18": "65 mL",
    }  # fmt: skip
