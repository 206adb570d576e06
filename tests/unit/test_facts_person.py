"""Facts about the person, at their boundaries."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from builders import facts_with, policy

from plainleaf.facts.ages import age_group, age_in_days, age_in_years

A, C, J = "g-balloon-syringe", "g-button-child", "j-surgical-continuous"
GJ = "gj-pump-overnight"

# Whole years by the calendar; a child of 29 February turns a year older on 1 March in other years.
AGES = [
    (date(2022, 1, 14), date(2026, 1, 13), 3, 1460),
    (date(2022, 1, 14), date(2026, 1, 14), 4, 1461),
    (date(2008, 2, 29), date(2026, 2, 28), 17, 6574),
    (date(2008, 2, 29), date(2026, 3, 1), 18, 6575),
    (date(2026, 3, 2), date(2026, 3, 2), 0, 0),
]


@pytest.mark.parametrize(("born", "today", "years", "days"), AGES, ids=str)
def test_age(born: date, today: date, years: int, days: int) -> None:
    assert age_in_years(born, today) == years
    assert age_in_days(born, today) == days


# Limits: 1 year, the policy's 1826 days (row h-strang), 18 and 65 years (common practice,
# no source).
GROUPS = [
    (date(2025, 3, 5), "infant"),
    (date(2025, 3, 4), "young-child"),
    (date(2021, 3, 5), "young-child"),
    (date(2021, 3, 4), "child"),
    (date(2008, 3, 5), "child"),
    (date(2008, 3, 4), "adult"),
    (date(1961, 3, 5), "adult"),
    (date(1961, 3, 4), "older-adult"),
]


@pytest.mark.parametrize(("born", "group"), GROUPS, ids=str)
def test_age_group_on_4_march_2026(born: date, group: str) -> None:
    assert age_group(born, date(2026, 3, 4), policy()) == group


ANSWERS: list[tuple[str, str, dict[str, Any], str | None]] = [
    ("child", A, {"patient.born": "2008-03-04"}, "false"),
    ("child", A, {"patient.born": "2008-03-05"}, "true"),
    ("tangle_risk", C, {}, "true"),
    ("tangle_risk", A, {}, "false"),
    ("tangle_risk", A, {"patient.conditions": ["confusion"]}, "true"),
    ("confused", A, {"patient.conditions": ["confusion"]}, "true"),
    ("weak_immunity", A, {"patient.conditions": ["diabetes"]}, "false"),
    ("weak_immunity", A, {"patient.conditions": ["immune-suppressed"]}, "true"),
    ("weak_immunity", A, {"patient.conditions": ["cancer-treatment"]}, "true"),
    ("thickened_fluids", A, {"patient.conditions": ["thickened-fluids"]}, "true"),
    ("refeeding_risk", A, {"patient.conditions": ["refeeding-risk"]}, "true"),
    ("eats", C, {}, "full"),
    ("several_learners", A, {}, "true"),
    ("several_learners", "g-bumper-blended", {}, "false"),
    ("interpreter_needed", A, {}, "false"),
    ("interpreter_needed", J, {}, "true"),
    ("interpreter_needed", A, {"learners.1.language": "es-US"}, "true"),
    ("interpreter_needed", A, {"learners.1.language": "en-GB"}, "false"),
    # other lines: not written is not known, an empty list is none
    ("other_lines", A, {}, None),
    ("other_lines", A, {"other_lines": []}, "false"),
    ("other_lines", A, {"other_lines": ["oxygen"]}, "true"),
    # row gj-perf: under 6 months, or under 6 kg
    ("small_infant", C, {"patient.born": "2025-09-01"}, "true"),
    ("small_infant", C, {"patient.born": "2025-08-30", "patient.weight": "6 kg"}, "false"),
    ("small_infant", C, {"patient.born": "2025-08-30", "patient.weight": "5.99 kg"}, "true"),
    ("small_infant", C, {"patient.born": "2025-08-30", "patient.weight": "13 lb"}, "true"),
    # row fever-infant: the first 2 to 3 months, three whole months at most (92 days)
    ("young_baby", C, {"patient.born": "2025-12-01"}, "true"),
    ("young_baby", C, {"patient.born": "2025-11-30"}, "false"),
    ("baby_fever_now", C, {"patient.born": "2025-12-01"}, "true"),
    ("baby_fever_now", C, {"patient.born": "2025-11-30"}, "false"),
    # row gj-perf: a small baby with a tube into the bowel
    ("baby_fever_now", GJ, {"patient.born": "2025-11-29", "patient.weight": "5 kg"}, "true"),
    ("baby_fever_now", GJ, {"patient.born": "2025-06-01", "patient.weight": "8 kg"}, "false"),
    ("baby_fever_now", A, {}, "false"),
    # row infant-flat: a baby sleeps flat, whatever the format of the file
    ("sleeps_flat", C, {"patient.born": "2025-11-29"}, "true"),
    ("sleeps_flat", C, {}, "false"),
]


@pytest.mark.parametrize(
    ("fact", "base", "changes", "is_"), ANSWERS, ids=[f"{r[0]}-{n}" for n, r in enumerate(ANSWERS)]
)
def test_answers(fact: str, base: str, changes: dict[str, Any], is_: str | None) -> None:
    assert facts_with(changes, base).answers[fact] == is_
