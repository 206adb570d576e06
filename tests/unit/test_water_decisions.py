"""What was decided on water is held against the sums, and what the sums hold is told."""

from __future__ import annotations

import pytest
from builders import REMOVE
from format_2 import (
    GROUP_HOME,
    HOSPICE,
    INFANT,
    REFEEDING,
    RESTING,
    Data,
    data_with,
    decided,
    with_codes,
)
from module_words import decision_of

from plainleaf.rules.findings import Finding


def _found(data: Data, identity: str) -> list[Finding]:
    return [f for f in decision_of(with_codes(data)).findings if f.id == identity]


def _refeeding(place: int, **fields: object) -> Data:
    data = data_with(base=REFEEDING)
    data["settled"][0]["decided"][place].update(fields)
    return data


def test_given_decisions_fit_the_sums() -> None:
    assert _found(data_with(base=REFEEDING), "decision-differs") == []


def test_a_later_day_that_the_sums_do_not_reach_is_told() -> None:
    """923.8, 1125.4 and 1327 mL are below 1350, 1528.6 mL from August 18 are not."""
    (one,) = _found(_refeeding(1, date="2026-08-17"), "decision-differs")
    assert "later 2026-08-17" in one.says and "1,327 mL" in one.says
    assert one.blocks and "settled[0].decided[1]" in one.concerns


def test_a_drink_that_is_too_little_needs_later_too() -> None:
    data = _refeeding(1, about=["2026-08-12", "2026-08-14"])
    (one,) = _found(data, "decision-differs")
    assert "drink 400 mL" in one.says and "1,327 mL" in one.says and "2026-08-16" in one.says


def test_a_drink_of_somebody_who_may_swallow_nothing_stops() -> None:
    data = _refeeding(0)
    data["patient"].pop("drink", None)
    data["patient"]["by_mouth"] = "nothing"
    (one,) = (f for f in _found(data, "decision-differs") if "by_mouth says nothing" in f.says)
    assert one.blocks and "drink 400 mL" in one.says


def test_a_drink_that_never_reaches_the_goal_makes_the_day_wrong() -> None:
    """1328.6 mL from August 18, and 1313.6 mL from August 22 on, when a medicine has ended."""
    drinks = [one.says for one in _found(_refeeding(0, amount="200 mL"), "decision-differs")]
    later = [says for says in drinks if "later 2026-08-18" in says]
    left = [says for says in drinks if "drink 200 mL" in says]
    assert len(later) == 1 and "1,329 mL" in later[0]
    assert [("2026-08-18" in says, "2026-08-22" in says) for says in left] == [
        (True, False), (False, True),
    ]  # fmt: skip


# --- notes ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("base", "says"), [(GROUP_HOME, "150 mL"), (HOSPICE, None), (RESTING, None)]
)
def test_mixing_water_is_told(base: str, says: str | None) -> None:
    found = _found(data_with(base=base), "mixing-water-counted")
    assert (says is None) == (not found)
    assert not found or (found[0].level == "note" and says in found[0].says)  # type: ignore[operator]


def test_water_that_drains_again_is_told() -> None:
    (one,) = _found(data_with(base=HOSPICE), "water-drained-not-counted")
    assert "30 mL" in one.says and one.level == "note"
    assert _found(data_with(base=RESTING), "water-drained-not-counted") == []


# --- the water of a recipe -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("liquid", "water", "differs"),
    [
        ("breast milk", "sterile", True),
        ("breast milk", None, False),
        ("water", "sterile", False),
        ("boiled water", "sterile", True),
        ("boiled water", "boiled", False),
    ],
)
def test_water_is_decided_only_where_the_recipe_takes_it(
    liquid: str, water: str | None, differs: bool
) -> None:
    data = data_with(
        {"formulas.milk-27.recipe.take.0.of": liquid, "patient.conditions": ["preterm"],
         "formulas.milk-27.recipe.breast_milk_fridge": REMOVE}, INFANT,
    )  # fmt: skip
    fields = {} if water is None else {"water": water}
    data["settled"] = [decided("powder-risk", "", "clean-mixing", "R. Adeyemi, RD", **fields)]
    assert bool(_found(data, "decision-differs")) is differs
