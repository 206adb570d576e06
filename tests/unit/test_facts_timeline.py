"""Dates counted from placement, by policy or by order.

Right values: day and hour counts by hand from `tube.placed` and the example policy.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

import pytest
from builders import facts_with

A, B, C = "g-balloon-syringe", "g-bumper-blended", "g-button-child"
GJ, J = "gj-pump-overnight", "j-surgical-continuous"
BY_ORDER = {"dates": {"shower_from": "2026-03-10 08:00", "eat_from": "2026-03-03 18:00"}}
VISITS = {
    "visits": [
        {"what": "Late", "when": "2026-04-01 09:00"},
        {"what": "Past", "when": "2026-03-01 09:00"},
        {"what": "Soon", "when": "2026-03-18 09:00", "where": "desk 2"},
    ]
}

# Placed 2026-03-03 14:00 unless changed.
VALUES: list[tuple[str, str, dict[str, Any], Any]] = [
    ("red_flag_until", A, {}, datetime(2026, 3, 6, 14)),  # 72 h
    ("eat_from", A, {}, datetime(2026, 3, 4, 2)),  # 12 h
    ("first_dressing_off_on", A, {}, datetime(2026, 3, 4, 14)),  # 24 h
    ("shower_from", A, {}, datetime(2026, 3, 5, 14)),  # 48 h
    ("sore_until", A, {}, date(2026, 3, 6)),  # 3 d
    ("bath_from", A, {}, date(2026, 3, 31)),  # 28 d
    ("swim_from", A, {}, date(2026, 3, 31)),  # 28 d, adult
    ("swim_from", C, {}, date(2025, 7, 22)),  # 42 d from the end of 10 June, child
    ("lift_until", A, {}, date(2026, 3, 31)),
    ("healed_on", A, {}, date(2026, 4, 28)),  # 56 d, adult
    ("healed_on", C, {}, date(2025, 9, 2)),  # 84 d, child
    ("change_from", A, {}, date(2026, 6, 1)),  # 90 d
    ("change_by", A, {}, date(2026, 8, 30)),  # 180 d
    ("change_from", B, {}, date(2026, 12, 15)),  # 365 d, bumper
    ("change_by", GJ, {}, date(2026, 6, 2)),  # 90 d
    # a leap day lies between
    ("bath_from", A, {"tube.placed": "2024-02-10 14:00", "prepared.on": "2024-02-11 10:00"},
     date(2024, 3, 9)),
    # orders come before the policy
    ("shower_from", A, BY_ORDER, datetime(2026, 3, 10, 8)),
    ("eat_from", A, BY_ORDER, datetime(2026, 3, 3, 18)),
    ("bath_from", A, BY_ORDER, date(2026, 3, 31)),
    # visits: the earliest that is still to come
    ("first_visit_what", A, VISITS, "Soon"),
    ("first_visit_when", A, VISITS, datetime(2026, 3, 18, 9)),
    ("first_visit_where", A, VISITS, "desk 2"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("slot", "base", "changes", "is_"), VALUES, ids=[f"{r[0]}-{n}" for n, r in enumerate(VALUES)]
)
def test_values(slot: str, base: str, changes: dict[str, Any], is_: Any) -> None:
    assert facts_with(changes, base).values[slot].value == is_


@pytest.mark.parametrize(
    ("slot", "base"),
    [("change_from", J), ("change_by", J), ("first_visit_when", A)],
)
def test_a_date_that_nobody_can_give_is_not_there(slot: str, base: str) -> None:
    assert slot not in facts_with(base=base).values


def test_a_visit_without_place_says_ask() -> None:
    changes = {"visits": [{"what": "Soon", "when": "2026-03-18 09:00"}]}
    assert facts_with(changes).values["first_visit_where"].value.id == "ask-where"  # type: ignore[union-attr]


# The moment itself has come: allowed from, not after.
NOW: list[tuple[str, str, str]] = [
    ("shower_allowed_now", "2026-03-05 13:59", "false"),
    ("shower_allowed_now", "2026-03-05 14:00", "true"),
    ("first_dressing_off", "2026-03-04 13:59", "false"),
    ("first_dressing_off", "2026-03-04 14:00", "true"),
    ("eating_time_passed", "2026-03-04 01:59", "false"),
    ("eating_time_passed", "2026-03-04 02:00", "true"),
    ("soreness_time_passed", "2026-03-06 13:59", "false"),
    ("soreness_time_passed", "2026-03-06 14:00", "true"),
    ("bath_allowed_now", "2026-03-31 13:59", "false"),
    ("bath_allowed_now", "2026-03-31 14:00", "true"),
    ("swim_allowed_now", "2026-03-31 14:00", "true"),
    ("lifting_allowed_now", "2026-03-31 14:00", "true"),
]


@pytest.mark.parametrize(("fact", "now", "is_"), NOW, ids=[f"{r[0]} {r[1]}" for r in NOW])
def test_whether_a_date_has_come(fact: str, now: str, is_: str) -> None:
    assert facts_with({"prepared.on": now}).answers[fact] == is_


@pytest.mark.parametrize(
    ("visits", "is_"), [(VISITS["visits"], "true"), (VISITS["visits"][1:2], "false"), ([], "false")]
)
def test_visits_planned_are_those_to_come(visits: list[dict[str, str]], is_: str) -> None:
    assert facts_with({"visits": visits}).answers["visits_planned"] == is_


def test_a_visit_at_this_very_moment_is_still_to_come() -> None:
    changes = {"visits": [{"what": "Now", "when": "2026-03-04 15:00"}]}
    assert facts_with(changes).values["first_visit_what"].value == "Now"


def test_the_timeline_is_in_order_and_whole() -> None:
    entries = facts_with(VISITS).timeline
    assert [entry.id for entry in entries] == [
        "visit", "eating", "dressing", "follow-up", "shower", "red-flag", "soreness", "visit",
        "bath", "lifting", "swim", "visit", "healed", "change",
    ]  # fmt: skip
    past = {entry.id for entry in entries if entry.past}
    assert past == {"visit", "eating", "dressing"}


def test_the_follow_up_call_comes_within_the_policys_time() -> None:
    (entry,) = (e for e in facts_with().timeline if e.id == "follow-up")
    assert (entry.starts, entry.ends) == (datetime(2026, 3, 4, 15), datetime(2026, 3, 7, 15))


def test_no_change_window_for_a_stitched_bowel_tube() -> None:
    ids = {entry.id for entry in facts_with(base=J).timeline}
    assert not ids & {"change", "visit"}
