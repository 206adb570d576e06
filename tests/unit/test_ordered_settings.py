"""What is ordered in the place of a facility's setting is what every reader of it is given."""

from __future__ import annotations

import pytest
from builders import policy
from format_2 import GROUP_HOME, INFANT, REFEEDING
from order_sets import given_with, order_set

from plainleaf.facts import settings_for
from plainleaf.facts.given import Given, noting_given
from plainleaf.facts.registry import SLOTS
from plainleaf.vocabulary.quantities import read_quantity

# Key of `overrides` → an order, which the example facility's setting is not.
ORDERED = {
    "head_up_after": "45 min",
    "balloon_check_every": "14 d",
    "set_change": "12 h",
    "syringe_change": "3 d",
    "hang_open": "4 h",
    "hang_closed": "36 h",
    "hang_powder": "3 h",
    "hang_blended": "1 h",
    "opened_fridge": "20 h",
    "fever": "38.2 °C",
    "lift_limit": "8 lb",
    "stool_days": "2 d",
}


def _ordered(key: str, value: str) -> Given:
    return given_with(GROUP_HOME, {f"overrides.{key}": value})


@pytest.mark.parametrize("key", ORDERED)
def test_order_stands_in_place_of_setting(key: str) -> None:
    kind = policy().quantity(key).kind
    ordered = read_quantity(ORDERED[key], kind)
    assert policy().quantity(key) != ordered
    given = _ordered(key, ORDERED[key])
    assert given.policy.quantity(key) == ordered
    slot = SLOTS[key]
    assert slot.derive(given) == ordered


@pytest.mark.parametrize("key", ORDERED)
def test_order_is_noted_and_setting_is_not(key: str) -> None:
    given, notebook = noting_given(_ordered(key, ORDERED[key]))
    _, behind = notebook.behind(lambda: SLOTS[key].derive(given))
    assert f"overrides.{key}" in behind
    assert f"policy.{key}" not in behind


@pytest.mark.parametrize(
    ("ordered", "printed"), [("30 degrees", "30"), ("35 to 40 degrees", "35 to 40")]
)
def test_angle_is_ordered_as_one_number_or_two(ordered: str, printed: str) -> None:
    assert SLOTS["head_up_angle"].derive(_ordered("head_up_angle", ordered)) == printed


@pytest.mark.parametrize(
    ("who", "at_home"), [("family", True), ("staff", True), ("nurse", False), ("nobody", False)]
)
def test_who_checks_the_balloon_by_order(who: str, at_home: bool) -> None:
    assert _ordered("balloon_check_by", who).policy.flag("balloon_check_at_home") is at_home


def test_without_an_order_the_settings_are_the_same() -> None:
    assert settings_for(order_set(REFEEDING), policy()) is policy()


def test_settings_that_are_not_ordered_stay() -> None:
    settings = settings_for(order_set(INFANT), policy())
    changed = {n for n, entry in settings.entries.items() if entry != policy().entries[n]}
    assert changed <= set(settings.ordered)
    assert set(settings.ordered.values()) <= {
        f"overrides.{key}" for key in order_set(INFANT).overrides or {}
    }
