"""Words on feeding and water that only a file of format 2 can ask for: there, and what they
replace is not."""

from __future__ import annotations

from typing import Any

import pytest
from builders import REMOVE, Changes
from format_2 import (
    GROUP_HOME,
    HOSPICE,
    INFANT,
    INSULIN,
    REFEEDING,
    RESTING,
    Data,
    data_with,
    decided,
    with_codes,
)
from module_words import decision_of, words_of

DIETITIAN, DOCTOR, NURSE = "R. Adeyemi, RD", "B. Quist, MD", "S. Park, RN"


def _words(base: str, changes: Changes | None = None, *settled: Data) -> dict[str, str]:
    data = data_with(changes, base)
    if settled:
        data["settled"] = [*data.get("settled", []), *settled]
    return dict(
        words_of(with_codes(data), "feeding", "flushing", "keeping-safe", "living", "questions")
    )


def _all(words: dict[str, str]) -> str:
    return "\n".join(words.values())


# --- the six given files -------------------------------------------------------------------------


def test_infant_has_her_recipe_and_no_water_to_mix_it() -> None:
    words = _words(INFANT)
    recipe = words["feeding.recipe.table"].splitlines()
    assert "Measure first | 120 mL (4 oz) of breast milk" in recipe
    assert recipe[2].startswith("Then add | 2.5 teaspoons (6.5 g) of infant formula powder; Fill")
    assert "It makes | 125 mL (about 4 oz)" in recipe
    assert "In the fridge | 24 hours after mixing. Then throw it out." in recipe
    assert "Breast milk with nothing added, in the fridge | 4 days. Then throw it out." in recipe
    assert "In the bag or syringe | 4 hours. Then throw out what is left." in recipe
    assert "Recipe from | R. Adeyemi, RD, August 24, 2026" in recipe
    assert "water" not in words["feeding.recipe.table"]
    assert "water" not in words["feeding.formula.alone-mixed"]
    assert not {"feeding.formula.alone", "feeding.powder.fresh",
                "feeding.hang.mixed"} & set(words)  # fmt: skip


def test_infant_is_held_on_a_lap_and_sleeps_flat_with_the_pump() -> None:
    words = _words(INFANT)
    assert "upright on your lap, head and chest at 30 degrees" in words["keeping-safe.checks.lap"]
    assert "flat on the back, with the pump" in words["feeding.pump-care.sleep-flat"]
    assert "flat on the back" in words["living.sleep.flat"]
    gone = {"keeping-safe.checks.hold", "feeding.pump-care.stay-up", "questions.flat.pump"}
    assert not gone & set(words)
    said = _all({name: text for name, text in words.items() if ".tangle." not in name})
    assert "crib" not in said and "mattress" not in said
    assert words["feeding.finish.stay"] == "Keep your child upright for 30 minutes."


def test_infant_feeds_take_a_range_and_the_night_needs_more() -> None:
    words = _words(INFANT)
    assert words["feeding.gravity.time"] == "Set the clamp so the feeding takes 30 to 40 minutes."
    assert words["feeding.pump-fill.most-mixed"] == "Pour at most 120 mL (4 oz) at one time."
    assert words["feeding.clean.extension"] == "Use a new extension tube every 7 days."
    assert "feeding.ready.air" in words and "feeding.finish.air" not in words


def test_group_home_counts_in_cartons_and_gives_protein_alone() -> None:
    words = _words(GROUP_HOME)
    assert words["feeding.gravity.fill-day"].startswith("Pour the amount on page ")
    assert words["feeding.additives.list"] == (
        "Protein powder (protein); 2 scoops (14 g) | At 3 pm; Stir it into 90 mL (3 oz) of water.; "
        "Give it alone.; Flush with 30 mL (1 oz) first.; Flush with 30 mL (1 oz) after it."
    )
    assert words["feeding.clean.syringe"] == "Use a new syringe every 7 days."


def test_refeeding_goes_up_only_if_and_has_its_goal_from_a_day() -> None:
    words = _words(REFEEDING)
    assert words["feeding.steps.rules"] == (
        "Go on to the next step only if all of this is so | no vomiting; no swelling of the legs; "
        "the blood tests were read, and we told you to go on\n"
        "If not | Stay at the step you are on. Call us the same day."
    )
    assert "1,500 mL (50 oz), from Tuesday, August 18, 2026 on" in words["flushing.table.goal"]
    assert words["flushing.table.drink"].startswith("Drink 400 mL")
    assert "hang a new one" in words["feeding.hang.closed-new"]
    assert "feeding.pump-start.rate" not in words
    assert "Flush at midnight | 30 mL (1 oz)" in words["flushing.table.block"]


def test_hospice_and_resting_tube_are_told_their_flushes_and_not_to_ask() -> None:
    for base, row in (
        (HOSPICE, "Flush at 9 pm; stomach port | 30 mL (1 oz)"),
        (RESTING, "Flush at 2 pm | 30 mL (1 oz)"),
    ):
        words = _words(base)
        assert row in words["flushing.table.block"].splitlines()
        assert "flushing.water.rest-times" in words
        assert "Ask us how much" not in _all(words)
        assert not any(name.startswith("feeding.pump") for name in words)


def test_insulin_keeps_its_limit_as_it_was() -> None:
    words = _words(INSULIN)
    assert "Your limit is 2,000 mL" in words["flushing.table.limit"]
    assert "flushing.table.limit-passed" not in words


# --- outcomes ------------------------------------------------------------------------------------


def _outcome(finding: str, do: str, by: str, about: str = "", **fields: Any) -> Data:
    return decided(finding, about, do, by, **fields)


@pytest.mark.parametrize(
    ("key", "there", "gone"),
    [
        ("before_feed", "flushing.when.no-before", "feeding.ready.flush-ask"),
        ("after_feed", "flushing.when.no-after", "feeding.finish.flush-ask"),
    ],
)
def test_no_flush_of_a_feeding(key: str, there: str, gone: str) -> None:
    words = _words(
        INSULIN, {f"water.{key}": REMOVE}, _outcome("feed-flush-missing", "none", DOCTOR)
    )
    assert "It is ordered so" in words[there]
    assert gone not in words
    assert "ask us how much" not in _all(words).lower()


def test_limit_is_passed_as_ordered() -> None:
    words = _words(
        INSULIN, {"water.limit": "1200 mL"}, _outcome("water-over-limit", "as-ordered", DOCTOR)
    )
    passed = words["flushing.table.limit-passed"]
    assert "1,200 mL" in passed and "1,474 mL" in passed and "Do not add water" in passed
    assert "flushing.table.limit" not in words


def test_goal_is_the_least_where_more_is_ordered() -> None:
    words = _words(
        INSULIN,
        {"water.limit": REMOVE, "water.goal": "1000 mL"},
        _outcome("water-above-goal", "as-ordered", DIETITIAN),
    )
    assert "at least 1,000 mL" in words["flushing.table.goal"]


def test_child_gets_no_water_beyond_the_list() -> None:
    extra = {"amount": "200 mL", "times": ["10:00"], "through": "gastric", "why": "drink"}
    words = _words(
        INFANT, {"water.extra": extra}, _outcome("child-water-high", "as-ordered", DOCTOR)
    )
    assert words["flushing.safe.more-child"].startswith("Do not give more water than page ")


def test_large_flush_of_a_child_stands_as_ordered() -> None:
    words = _words(
        INFANT, {"water.before_feed": "15 mL"}, _outcome("flush-large-child", "as-ordered", DOCTOR)
    )
    rows = words["flushing.table.block"].splitlines()
    assert "Before each feeding | 15 mL (0.5 oz); This amount is ordered for your child. " \
           "Never more." in rows  # fmt: skip
    assert "After each feeding | 5 mL" in rows


def test_unused_flush_waits_for_our_word() -> None:
    words = _words(
        RESTING, {"water.before_feed": "20 mL"}, _outcome("flush-never-given", "leave-open", NURSE)
    )
    assert words["flushing.when.kept-back"] == (
        "Before each feeding | 20 mL (about 0.75 oz); Only when we tell you."
    )
    assert "20 mL" not in words["flushing.table.block"]


def test_resting_port_is_not_flushed() -> None:
    words = _words(
        RESTING, {"water.extra": REMOVE}, _outcome("resting-port-unflushed", "none", DOCTOR)
    )
    assert words["flushing.when.rest-none"].startswith("Do not flush the ")
    assert not {"flushing.when.rest-day-ask", "flushing.water.rest-times"} & set(words)


def test_large_feeding_is_slow_as_ordered() -> None:
    words = _words(
        INSULIN,
        {"feeding.0.amount": "800 mL"},
        _outcome("bolus-large-adult", "as-ordered", DIETITIAN),
    )
    assert words["feeding.plan.large"] == "One feeding is large. It is ordered so. Give it slowly."
    assert "feeding.plan.large" not in _words(INSULIN)


def test_blend_for_a_thin_tube_is_strained() -> None:
    changes = {"feeding.0.formula": REMOVE, "feeding.0.amount": "240 mL", "feeding.0.blended": True,
               "tube.size": "12 Fr"}  # fmt: skip
    words = _words(INSULIN, changes, _outcome("blended-narrow-tube", "as-ordered", DIETITIAN))
    assert "Strain it each time" in words["feeding.blended.strain"]
    assert "feeding.blended.smooth" not in words


def test_bag_is_thrown_away_earlier_than_the_setting() -> None:
    data = data_with(base=REFEEDING)
    data["settled"][0]["decided"][2]["after"] = "20 h"
    words = words_of(with_codes(data), "feeding")
    label = words["feeding.pump-fill.label-closed"]
    assert label == "Write date and time on it. Throw out the rest after 20 hours."


def test_powder_for_a_newborn_is_mixed_clean_with_its_water() -> None:
    take = [{"amount": "100 mL", "of": "water"}, {"amount": "1 scoop (8 g)",
            "of": "infant formula powder"}]  # fmt: skip
    changes = {"formulas.milk-27.recipe.take": take, "formulas.milk-27.recipe.makes": "105 mL",
               "patient.conditions": ["preterm"]}  # fmt: skip
    clean = _outcome("powder-risk", "clean-mixing", DIETITIAN, water="sterile")
    words = _words(INFANT, changes, clean)
    assert (
        "Measure first | 100 mL (about 3.25 oz) of sterile water" in words["feeding.recipe.table"]
    )
    assert "feeding.recipe.clean" in words and "feeding.powder.risk" not in words
    assert "feeding.recipe.clean" not in _words(INFANT, {**changes, "patient.conditions": []})


def test_recipe_of_another_formula_stands_after_it() -> None:
    base = data_with(base=INFANT)["formulas"]["milk-27"]
    other = {**base, "name": "Stronger milk", "recipe": {**base["recipe"], "take": [
        {"amount": "100 mL", "of": "milk-27"}, {"amount": "1 tsp (2 g)", "of": "oil"}],
        "makes": "100 mL"}}  # fmt: skip
    words = _words(INFANT, {"formulas.stronger": other, "feeding.0.formula": "stronger"})
    names = [row for row in words["feeding.recipe.table"].splitlines() if "What you mix" in row]
    assert len(names) == 2 and "Stronger" in names[1]
    assert (
        "100 mL (about 3.25 oz) of Breast milk with formula powder"
        in (words["feeding.recipe.table"])
    )


# --- lists ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("no vomiting", "no vomiting"),
        ("no bloating", "no tight, swollen belly"),
        ("no diarrhea", "no loose stools"),
        ("no belly pain", "no belly pain"),
        ("no swelling of legs", "no swelling of the legs"),
        ("blood tests read", "the blood tests were read, and we told you to go on"),
    ],
)
def test_each_condition_of_a_step(word: str, says: str) -> None:
    rules = _words(REFEEDING, {"feeding.0.step_only_if": [word]})["feeding.steps.rules"]
    assert rules.splitlines()[0] == f"Go on to the next step only if all of this is so | {says}"


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("last step and call", "Go back to the step before. Call us the same day."),
        ("stay and call", "Stay at the step you are on. Call us the same day."),
        ("stop and call", "Stop the feeding. Call us now."),
    ],
)
def test_what_to_do_if_a_step_must_wait(word: str, says: str) -> None:
    rules = _words(REFEEDING, {"feeding.0.otherwise": word})["feeding.steps.rules"]
    assert rules.splitlines()[-1] == f"If not | {says}"


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        ("protein", "protein"),
        ("fiber", "fiber"),
        ("carbohydrate", "carbohydrate (starch)"),
        ("fat", "fat"),
        ("probiotic", "probiotic (good germs)"),
    ],
)
def test_each_kind_of_additive(kind: str, says: str) -> None:
    table = _words(GROUP_HOME, {"additives.0.kind": kind})["feeding.additives.list"]
    assert table.startswith(f"Protein powder ({says}); ")


@pytest.mark.parametrize(
    ("place", "time", "says"),
    [
        ("before feed", "12:30", "Give it right before the feeding."),
        ("after feed", "12:30", "Give it right after the feeding."),
        ("alone", "15:00", "Give it alone."),
    ],
)
def test_each_place_of_an_additive(place: str, time: str, says: str) -> None:
    changes = {"additives.0.place": place, "additives.0.times": [time]}
    assert says in _words(GROUP_HOME, changes)["feeding.additives.list"]


def test_additive_of_some_days_and_dates() -> None:
    changes = {"additives.0.days": ["Mon", "Thu"], "additives.0.until": "2026-08-31"}
    table = _words(GROUP_HOME, changes)["feeding.additives.list"]
    assert "Only on Monday, Thursday" in table and "Until Monday, August 31, 2026" in table


@pytest.mark.parametrize(
    "of",
    ["water", "boiled water", "breast milk", "infant formula powder", "formula powder",
     "protein powder", "fiber powder", "carbohydrate powder", "oil", "thickener"],
)  # fmt: skip
def test_each_ingredient_has_its_words(of: str) -> None:
    take = [{"amount": "120 mL", "of": "breast milk"}, {"amount": "2 g", "of": of}]
    table = _words(INFANT, {"formulas.milk-27.recipe.take": take})["feeding.recipe.table"]
    said = {"boiled water": "water that was boiled and has cooled",
            "carbohydrate powder": "carbohydrate (starch) powder"}.get(of, of)  # fmt: skip
    assert f"Then add | 2 g of {said}" in table.splitlines()


@pytest.mark.parametrize(
    ("how", "there"),
    [("raised bed", "keeping-safe.checks.bed"), ("chair", "keeping-safe.checks.chair"),
     ("on a lap", "keeping-safe.checks.lap")],
)  # fmt: skip
def test_each_way_to_be_upright(how: str, there: str) -> None:
    words = _words(INSULIN, {"overrides.head_up_how": how, "overrides.head_up_angle": "40 degrees"})
    assert "40 degrees" in words[there]
    assert "keeping-safe.checks.sit" not in words


@pytest.mark.parametrize(
    ("position", "there"), [("head up", "living.sleep.head-up"), ("flat on the back",
                            "living.sleep.flat")],
)  # fmt: skip
def test_each_way_to_sleep(position: str, there: str) -> None:
    words = _words(GROUP_HOME, {"overrides.sleep_position": position})
    assert there in words and "living.sleep.side" not in words
    flat = position == "flat on the back"
    assert ("feeding.pump-care.sleep-flat" in words) is flat
    assert ("feeding.pump-care.lie" in words) is not flat


def test_no_feeding_before_lying_down() -> None:
    words = _words(INSULIN, {"overrides.no_feed_before_lying": "2 h"})
    assert "in the 2 hours before you lie down" in words["feeding.finish.last"]


@pytest.mark.parametrize(
    ("kind", "there"), [("tap", "flushing.give.tap"), ("sterile", "flushing.give.sterile"),
                        ("boiled", "flushing.give.boiled")],
)  # fmt: skip
def test_each_water_by_order(kind: str, there: str) -> None:
    assert there in _words(INSULIN, {"overrides.water_kind": kind})


def test_a_range_of_a_flush_is_printed_whole() -> None:
    words = _words(INFANT, {"water.before_feed": "3 to 5 mL"})
    assert "Before each feeding | 3 mL to 5 mL" in words["flushing.table.block"].splitlines()


def test_flush_by_the_clock_says_its_first_time() -> None:
    every = {"water.every": "6 h", "water.each": "30 mL", "water.starts": "02:00"}
    rows = _words(INSULIN, every)["flushing.table.block"].splitlines()
    assert "Every 6 hours, first at 2 am | 30 mL (1 oz)" in rows


def test_feeding_against_the_usual_names_who_ordered_it() -> None:
    changes = {"feeding.0.ordered_by": DOCTOR}
    words = _words(INSULIN, changes)
    assert words["feeding.plan.by-order"].endswith(f"Ordered for you by {DOCTOR}.")


def test_no_text_asks_for_a_value_that_is_not_there() -> None:
    for base in (GROUP_HOME, INFANT, REFEEDING):
        decision = decision_of(with_codes(data_with(base=base)))
        missing = [f.says for f in decision.findings if f.id == "missing-value"]
        assert not [says for says in missing if "pump" in says or "water" in says]


def test_what_a_hold_takes_away_is_not_made_up() -> None:
    hold = {"medicines.0.hold_before": "1 h", "medicines.0.hold_after": "1 h",
            "medicines.0.times": ["22:00"]}  # fmt: skip
    costs = decided("feed-hold-costs", "", "smaller-amount", DOCTOR, other=DIETITIAN)
    words = _words(REFEEDING, hold, costs)
    assert words["feeding.late.hold"].endswith("It is ordered so. Do not run it longer.")
    assert "feeding.late.hold" not in _words(REFEEDING)
