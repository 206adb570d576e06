"""The monthly list: 30 days and the policy's reserve of 3 (row sup-month)."""

from __future__ import annotations

from typing import Any

import pytest
from builders import REMOVE, facts_with, patient_with, policy_with

from plainleaf.facts.supplies import fed_per_day
from plainleaf.vocabulary.quantities import mL, read_quantity

A, B, C = "g-balloon-syringe", "g-bumper-blended", "g-button-child"
GJ, J = "gj-pump-overnight", "j-surgical-continuous"

# base, changes, lines as (id, count, a day, thrown away), each worked out by hand for 33 days.
LISTS: list[tuple[str, dict[str, Any], list[tuple[str, int, int | None, str | None]]]] = [
    # 33 x 1420 = 46,860 mL are 197.7 cartons of 237 mL; the rest of one is used next morning, and
    # 198 x 237 - 46,860 = 66 mL stay; syringes: 33 days, one for 7 days
    (A, {}, [("formula", 198, 6, "66 mL"), ("syringes", 5, None, None)]),
    (B, {}, [("syringes", 5, None, None)]),
    # 33 x 720 = 23,760 mL are 100.3 cartons: 101 x 237 - 23,760 = 177 mL stay; a gravity set a day
    (C, {}, [("formula", 101, 4, "177 mL"), ("gravity-sets", 33, 1, None),
             ("syringes", 5, None, None)]),
    # 1 bag a night, 100 mL of each left: it hangs for that night alone
    (GJ, {}, [("formula", 33, 1, "3300 mL"), ("pump-sets", 33, 1, None),
              ("syringes", 5, None, None)]),
    # 2040 mL are 3 bags a day, 960 mL left
    (J, {}, [("formula", 99, 3, "31680 mL"), ("pump-sets", 33, 1, None),
             ("syringes", 5, None, None)]),
    # what the orders do not settle is not counted
    (A, {"feeding.0.formula.container": REMOVE}, [("syringes", 5, None, None)]),
    (A, {"feeding.0.formula.system": "powder"}, [("syringes", 5, None, None)]),
    # nothing left over
    (A, {"feeding.0.amount": "237 mL"}, [("formula", 132, 4, "0 mL"), ("syringes", 5, None, None)]),
    # a carton and a half three times: 4.5 a day, 148.5 in all, half a carton stays
    (A, {"feeding.0.amount": "355.5 mL", "feeding.0.times": ["07:00", "12:00", "18:00"]},
     [("formula", 149, 5, "118.5 mL"), ("syringes", 5, None, None)]),
    # 100 mL a day: an opened carton may stand for 24 hours, so that each day opens one
    (A, {"feeding.0.amount": "100 mL", "feeding.0.times": ["08:00"]},
     [("formula", 33, 1, "4521 mL"), ("syringes", 5, None, None)]),
    # 900 mL a night, poured for 8 hours and again for 4: 29,700 mL are 125.3 cartons
    (GJ, {"feeding.0.formula.system": "open", "feeding.0.formula.container": "237 mL"},
     [("formula", 126, 4, "162 mL"), ("pump-sets", 33, 1, None), ("syringes", 5, None, None)]),
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
    assert (line.id, line.a_day) == ("formula", 7)  # 1657 mL are 6.99 cartons


@pytest.mark.parametrize(("base", "is_"), [(A, "1420"), (GJ, "900"), (C, "720")])
def test_fed_per_day(base: str, is_: str) -> None:
    assert fed_per_day(patient_with(base=base).feeding[0]) == mL(is_)
