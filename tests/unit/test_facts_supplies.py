"""The monthly list: 30 days and the policy's reserve of 3 (row sup-month)."""

from __future__ import annotations

from typing import Any

import pytest
from builders import REMOVE, facts_with, patient_with, policy_with

from plainleaf.facts.supplies import containers_a_day, fed_per_day
from plainleaf.vocabulary.quantities import mL, read_quantity

A, B, C = "g-balloon-syringe", "g-bumper-blended", "g-button-child"
GJ, J = "gj-pump-overnight", "j-surgical-continuous"

# base, changes, lines as (id, count, a day, left over): days × per day, rounded up by hand.
LISTS: list[tuple[str, dict[str, Any], list[tuple[str, int, int | None, str | None]]]] = [
    # 1420 mL of 237 mL cartons: 6 a day, 2 mL left; syringes: 33 days, one for 7 days
    (A, {}, [("formula", 198, 6, "2 mL"), ("syringes", 5, None, None)]),
    (B, {}, [("syringes", 5, None, None)]),
    # 720 mL of 237 mL: 4 a day, 228 mL left; a gravity set a day
    (C, {}, [("formula", 132, 4, "228 mL"), ("gravity-sets", 33, 1, None),
             ("syringes", 5, None, None)]),
    (GJ, {}, [("formula", 33, 1, "100 mL"), ("pump-sets", 33, 1, None),
              ("syringes", 5, None, None)]),
    (J, {}, [("formula", 99, 3, "960 mL"), ("pump-sets", 33, 1, None),
             ("syringes", 5, None, None)]),
    # what the orders do not settle is not counted
    (A, {"feeding.0.formula.container": REMOVE}, [("syringes", 5, None, None)]),
    (A, {"feeding.0.formula.system": "powder"}, [("syringes", 5, None, None)]),
    # nothing left over
    (A, {"feeding.0.amount": "237 mL"}, [("formula", 132, 4, "0 mL"), ("syringes", 5, None, None)]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("base", "changes", "lines"), LISTS, ids=[f"{r[0]}-{n}" for n, r in enumerate(LISTS)]
)
def test_the_list(base: str, changes: dict[str, Any], lines: list[Any]) -> None:
    found = [
        (s.id, s.count, s.a_day, str(s.left_over) if s.left_over is not None else None)
        for s in facts_with(changes, base).supplies
    ]
    assert found == lines


@pytest.mark.parametrize(
    ("setting", "value", "name", "count"),
    [
        ("supplies_reserve", "0 d", "syringes", 5),  # 30 / 7, rounded up
        ("supplies_reserve", "14 d", "syringes", 7),  # 44 / 7
        ("syringe_change", "1 d", "syringes", 33),
        ("set_change", "12 h", "pump-sets", 66),
    ],
)
def test_the_list_follows_the_policy(setting: str, value: str, name: str, count: int) -> None:
    policy = policy_with(**{setting: read_quantity(value, "time span")})
    found = {s.id: s.count for s in facts_with(base=GJ, rules_of=policy).supplies}
    assert found[name] == count


def test_one_formula_in_two_orders_is_one_line() -> None:
    feed = {
        "method": "syringe", "through": "gastric", "amount": "237 mL", "times": ["10:00"],
        "formula": {"name": "Standard adult formula, 1.2", "energy": "1.2 kcal/mL",
                    "water": "81 %", "container": "237 mL", "system": "open"},
    }  # fmt: skip
    (line, _) = facts_with({"feeding.1": feed}).supplies
    assert (line.id, line.a_day) == ("formula", 7)  # 1657 mL


@pytest.mark.parametrize(
    ("volume", "container", "count", "left"),
    [("1422", "237", 6, "0"), ("1423", "237", 7, "236"), ("1", "1000", 1, "999")],
)
def test_containers_a_day(volume: str, container: str, count: int, left: str) -> None:
    assert containers_a_day(mL(volume), mL(container)) == (count, mL(left))


@pytest.mark.parametrize(("base", "is_"), [(A, "1420"), (GJ, "900"), (C, "720")])
def test_fed_per_day(base: str, is_: str) -> None:
    assert fed_per_day(patient_with(base=base).feeding[0]) == mL(is_)
