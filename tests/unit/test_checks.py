"""Each check where it must speak and where it must be silent.

Bases: g-balloon-syringe (adult), g-bumper-blended (adult, healed), g-button-child (4 years),
gj-pump-overnight and j-surgical-continuous (adults).
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from builders import EXAMPLES, REMOVE, facts_with, library, policy, policy_with
from folding import each

from plainleaf.facts import CHECKS
from plainleaf.facts.derived import Checked

A, B, C = "g-balloon-syringe", "g-bumper-blended", "g-button-child"
GJ, J = "gj-pump-overnight", "j-surgical-continuous"
HEALED = {"tube.opening_made": "2025-06-01"}
ORDER = {"by": "Dr. A", "on": "2026-03-04"}
INFANT = {"patient.born": "2025-11-01", "patient.weight": "6.2 kg"}
PUMP = {
    "method": "pump",
    "through": "gastric",
    "formula": {"name": "F", "energy": "1 kcal/mL", "water": "84 %", "system": "open"},
    "rate": "60 mL/h",
    "starts": "20:00",
    "runs_for": "10 h",
}
POWDER = {"feeding.0.formula.system": "powder"}

# check, base, changes, answer, details that must be part of the words
CASES: list[tuple[str, str, dict[str, Any], bool | None, dict[str, str]]] = [
    ("hold_costs_feed", J, {"medicines.0.hold_before": "1 h"}, True,
     {"held": "1 h", "lost": "85 mL", "given": "1,955 mL", "medicines": "sertraline"}),
    ("hold_costs_feed", J, {}, False, {}),
    ("refeeding_tests_missing", A, {"patient.conditions": ["refeeding-risk"]}, True, {}),
    ("refeeding_tests_missing", A, {"patient.conditions": ["malnutrition"]}, False, {}),
    ("hold_meets_feed", A, {"medicines.0.hold_after": "1 h"}, True, {"feed": "08:00"}),
    ("hold_meets_feed", A, {"medicines.0.hold_after": "30 min"}, False, {}),
    # A pump run that would start at 18:00, half an hour before the hold ends; then as it ends.
    ("hold_meets_feed", GJ, {"medicines.0.times": ["17:30"], "medicines.0.hold_after": "1 h"},
     True, {"feed": "18:00"}),
    ("hold_meets_feed", GJ, {"medicines.0.times": ["17:30"], "medicines.0.hold_after": "30 min"},
     False, {}),
    ("port_missing", A, {"feeding.0.through": "jejunal"}, True, {"what": "syringe feeding"}),
    ("port_missing", J, {"medicines.0.through": "gastric"}, True, {"what": "sertraline"}),
    ("port_missing", A, {}, False, {}),
    ("port_use_missing", GJ, {"feeding.0.through": "gastric"}, True, {"what": "pump feeding"}),
    ("port_use_missing", GJ, {"medicines.0.through": "jejunal"}, True, {"what": "levetiracetam"}),
    ("port_use_missing", A, {"tube.ports.gastric": ["feeding", "medicines"]}, False, {}),
    ("bowel_feed_unordered", J, {"feeding.0": {
        "method": "syringe", "through": "jejunal", "blended": "true", "amount": "90 mL",
        "times": ["08:00"]}}, True, {"what": "syringe feeding of home-blended food"}),
    ("bowel_feed_unordered", J, {}, False, {}),
    ("bowel_feed_unordered", A, {}, False, {}),
    ("bowel_feed_ordered", J, {"feeding.0": {
        "method": "gravity", "through": "jejunal", "blended": "true", "amount": "90 mL",
        "over": "60 min", "times": ["08:00"], "ordered_by": "Dr. A"}}, True, {}),
    ("gj_stomach_feed_unordered", GJ, {"feeding.0.through": "gastric"}, True, {}),
    ("gj_stomach_feed_ordered", GJ,
     {"feeding.0.through": "gastric", "feeding.0.ordered_by": "Dr. A"}, True, {}),
    ("gj_stomach_feed_unordered", A, {}, False, {}),
    ("blended_narrow_tube", B, {"tube.size": "12 Fr"}, True, {"size": "12 Fr"}),
    ("blended_narrow_tube", B, {"tube.size": "14 Fr"}, False, {}),
    ("blended_narrow_tube", A, {"tube.size": "12 Fr"}, False, {}),
    ("balloon_fill_missing", A, {"tube.balloon_fill": REMOVE}, True, {}),
    ("balloon_fill_missing", B, {}, False, {}),
    ("balloon_fill_too_much", A, {"tube.balloon_fill": "20.5 mL"}, True, {"fill": "20.5 mL"}),
    ("balloon_fill_too_much", A, {"tube.balloon_fill": "20 mL"}, False, {}),
    ("balloon_fill_unusual", C, {"tube.balloon_fill": "6 mL"}, True, {"usual": "3 to 5 mL"}),
    ("balloon_fill_unusual", C, {"tube.balloon_fill": "5 mL"}, False, {}),
    ("balloon_fill_unusual", A, {"tube.balloon_fill": "4 mL"}, True, {"usual": "5 to 20 mL"}),
    ("balloon_fill_stray", B, {"tube.balloon_fill": "5 mL"}, True, {"held_by": "bumper"}),
    ("mark_missing", A, {"tube.mark_at_skin": REMOVE}, True, {}),
    ("mark_missing", C, {}, False, {}),
    ("mark_stray", C, {"tube.mark_at_skin": "3 cm"}, True, {}),
    ("mark_stray", C, {}, False, {}),
    ("mark_stray", A, {}, False, {}),
    ("button_length_missing", C, {"tube.length": REMOVE}, True, {}),
    ("button_length_missing", A, {}, False, {}),
    ("button_with_stitches", C, {"tube.held_by": "stitches"}, True, {}),
    ("turn_or_push_refused", A, {"tube.turn_daily": "true", **HEALED}, True, {"why": "balloon"}),
    ("turn_or_push_refused", B, {"tube.placed": "2026-02-20 08:30"}, True, {"why": "not healed"}),
    ("turn_or_push_refused", GJ, {"tube.push_in_weekly": "true"}, True,
     {"what": "pushing it in each week", "why": "gastrojejunostomy"}),
    ("turn_or_push_refused", B, {}, False, {}),
    ("put_back_refused", A, {"tube.may_put_back": ORDER}, True, {"why": "not healed"}),
    ("put_back_refused", GJ, {"tube.may_put_back": ORDER, **HEALED}, True, {"why": "gastroj"}),
    ("put_back_refused", A, {"tube.may_put_back": ORDER, **HEALED}, False, {}),
    ("put_back_refused", A, {"tube.may_put_back": ORDER, "tube.placed": "2025-11-01 09:00"}, True,
     {"why": "first tube"}),
    ("put_back_policy_off", A, {"tube.may_put_back": ORDER, **HEALED}, True, {}),
    ("put_back_policy_off", A, {"tube.may_put_back": ORDER}, False, {}),
    ("slow_healing_uncertain", B, {}, True, {"days": "81", "conditions": "diabetes"}),
    ("slow_healing_uncertain", B, {"tube.opening_healed": ORDER}, False, {}),
    ("slow_healing_uncertain", B, {"patient.conditions": REMOVE}, False, {}),
    ("healed_entered_early", B,
     {"tube.opening_healed": ORDER, "tube.placed": "2026-02-20 08:30", "tube.turn_daily": REMOVE},
     True, {"days": "14", "policy_days": "56"}),
    ("healed_entered_early", B, {"tube.opening_healed": ORDER}, False, {}),
    ("position_not_checked", C, {}, True, {"placed": "2026-03-02"}),
    ("position_not_checked", C,
     {"tube.position_checked": {"by": "Dr. A", "how": "X-ray", "on": "2026-03-02"}}, False, {}),
    ("position_not_checked", A, {}, False, {}),
    ("size_unusual", A, {"tube.size": "30 Fr"}, True, {"usual": "12 to 24 Fr"}),
    ("size_unusual", J, {"tube.size": "16 Fr"}, True, {"usual": "5 to 14 Fr"}),
    ("size_unusual", J, {"tube.size": "16 Fr", "tube.placed_by": "endoscopy"}, False, {}),
    ("size_unusual", GJ, {}, False, {}),
    ("narrow_for_medicines", J, {"tube.size": "7 Fr"}, True, {"size": "7 Fr"}),
    ("narrow_for_medicines", J, {"tube.size": "8 Fr"}, False, {}),
    ("child_weight_missing", C, {"patient.weight": REMOVE}, True, {}),
    ("child_weight_missing", A, {"patient.weight": REMOVE}, False, {}),
    ("adult_weight_missing", A, {"patient.weight": REMOVE}, True, {}),
    ("weight_implausible", C, {"patient.weight": "34 kg"}, True, {"hint": "34 was in lb"}),
    ("weight_implausible", C, {"patient.weight": "15.4 lb"}, True, {"hint": "15.4 was in kg"}),
    ("weight_implausible", C, {}, False, {}),
    ("weight_implausible", B, {}, False, {}),
    ("weight_implausible", C, {"patient.weight": REMOVE}, None, {}),
    ("nobody_hands_on", B, {"learners.0.hands_on": "false"}, True, {}),
    ("nobody_hands_on", GJ, {}, False, {}),
    ("one_hands_on", C, {"learners.1": REMOVE}, True, {"who": "Rania", "why": "a child"}),
    ("one_hands_on", GJ, {"patient.conditions": ["needs-full-care"]}, True, {"who": "Ifeoma"}),
    ("one_hands_on", GJ, {}, False, {}),
    ("one_hands_on", C, {}, False, {}),
    ("self_care_doubtful", A, {"patient.conditions": ["confusion"]}, True, {"why": "confusion"}),
    ("self_care_doubtful", GJ, {"patient.conditions": ["confusion"]}, False, {}),
    ("interpreter_missing", J, {"interpreter": REMOVE}, True, {"languages": "es"}),
    ("interpreter_missing", J, {"learners.1.language": "ar"}, True, {"languages": "ar"}),
    ("interpreter_missing", C, {}, False, {}),
    ("interpreter_missing", A, {"learners.1.language": "en-GB"}, False, {}),
    ("names_twice", A, {"learners.1.name": "walter  BRANDVOLD"}, True, {}),
    ("names_twice", A, {}, False, {}),
    ("other_lines_not_recorded", A, {}, True, {}),
    ("other_lines_not_recorded", A, {"other_lines": []}, False, {}),
    ("dates_do_not_fit", A, {"prepared.on": "2026-03-03 13:00"}, True,
     {"faults": "prepared before the tube was placed"}),
    ("dates_do_not_fit", A, {"patient.born": "2026-03-06"}, True, {"faults": "born after"}),
    ("dates_do_not_fit", C, {"tube.opening_made": "2026-03-03"}, True,
     {"faults": "after this tube went in"}),
    ("dates_do_not_fit", C, {"tube.opening_made": "2021-06-10"}, True, {"faults": "before birth"}),
    ("dates_do_not_fit", C,
     {"tube.position_checked": {"by": "Dr. A", "how": "X-ray", "on": "2026-03-01"}}, True,
     {"faults": "checked before"}),
    ("dates_do_not_fit", A, {"accepted": [
        {"finding": "x", "by": "N", "reason": "r", "on": "2026-03-05"}]}, True, {"faults": "'x'"}),
    ("dates_do_not_fit", A, {}, False, {}),
    ("accepted_by_preparer", A, {"accepted": [
        {"finding": "x", "by": "t. nakagawa, RN", "reason": "r", "on": "2026-03-04"}]}, True,
     {"what": "x"}),
    ("accepted_by_preparer", A, {"accepted": [
        {"finding": "x", "by": "Dr. B", "reason": "r", "on": "2026-03-04"}]}, False, {}),
    ("text_not_translated", J, {"if_feeding_stops": "Call us."}, True,
     {"languages": "es", "where": "if_feeding_stops"}),
    ("text_not_translated", A, {"if_feeding_stops": "Call us."}, False, {}),
    ("text_never_taught", A, {"if_feeding_stops": "Put blue dye in the feed."}, True,
     {"words": "'blue dye'", "where": "if_feeding_stops"}),
    ("text_never_taught", A, {"medicines.1.prepare": "Mix with half-strength formula"}, True,
     {"where": "medicines[1].prepare"}),
    ("text_never_taught", A, {"if_feeding_stops": "Dilute the formula."}, True, {}),
    ("text_never_taught", A, {"if_feeding_stops": "Put in a urinary catheter."}, True, {}),
    ("text_never_taught", A, {"if_feeding_stops": "If it hurts, slow the feeding."}, True, {}),
    ("text_never_taught", B, {"if_feeding_stops": "If it hurts, slow the feeding."}, False, {}),
    ("text_never_taught", A, {"medicines.1.prepare": "Dilute with 20 mL water"}, False, {}),
    ("text_never_taught", A, {"if_feeding_stops": "Take a pain pill and wait."}, True, {}),
    ("text_never_taught", A, {"if_feeding_stops": "Skip no pain medicine."}, False, {}),
    ("text_never_taught", B, {}, False, {}),
    ("method_on_two_ports", GJ, {"feeding.1": PUMP}, True, {"method": "pump"}),
    ("method_on_two_ports", A, {"feeding.1": PUMP}, False, {}),
    ("daily_total_differs", GJ, {"feeding.0.daily_total": "880 mL"}, True,
     {"what": "900 mL, not 880 mL"}),
    ("daily_total_differs", GJ, {"feeding.0.daily_total": "900 mL"}, False, {}),
    ("daily_total_differs", A, {"feeding.0.daily_total": "1.42 L"}, False, {}),
    ("feeds_at_one_time", A, {"feeding.1": {**PUMP, "starts": "20:00"}}, True, {"what": "20:00"}),
    ("feeds_at_one_time", A, {"feeding.1": {**PUMP, "starts": "22:00"}}, False, {}),
    ("feeds_overlap", A, {"feeding.1": {**PUMP, "starts": "19:00"}}, True, {"what": "20:00"}),
    ("feeds_overlap", A, {"feeding.1": {**PUMP, "starts": "23:00"}}, True, {"what": "08:00"}),
    ("feeds_overlap", A, {"feeding.1": {**PUMP, "starts": "22:00"}}, False, {}),
    ("feeds_too_close", A, {"feeding.0.times": ["08:00", "10:30", "18:00"]}, True,
     {"what": "08:00 and 10:30", "apart": "3 h"}),
    ("feeds_too_close", A, {"feeding.0.times": ["00:30", "23:00"]}, True, {"what": "23:00"}),
    ("feeds_too_close", A, {"feeding.0.times": ["08:00", "11:00"]}, False, {}),
    ("feeds_too_close", A, {"feeding.0.times": ["08:00"]}, False, {}),
    ("closed_hangs_too_long", J, {"feeding.0.rate": "40 mL/h"}, True, {"what": "25 h"}),
    ("closed_hangs_too_long", J, {"feeding.0.rate": "42 mL/h"}, False, {}),
    ("blended_hangs_too_long", B, {"feeding.0": {
        "method": "gravity", "through": "gastric", "blended": "true", "amount": "300 mL",
        "over": "150 min", "times": ["08:00"]}}, True, {"what": "150 min", "limit": "2 h"}),
    ("blended_hangs_too_long", B, {}, False, {}),
    ("bolus_large_adult", A, {"feeding.0.amount": "501 mL"}, True, {"what": "501 mL"}),
    ("bolus_large_adult", A, {"feeding.0.amount": "500 mL"}, False, {}),
    ("bolus_large_child", C, {"feeding.0.amount": "309 mL"}, True, {"what": "20.1 mL per kg"}),
    ("bolus_large_child", C, {"feeding.0.amount": "308 mL"}, False, {}),
    ("bolus_large_child", C, {"patient.weight": REMOVE}, None, {}),
    ("rate_high", J, {"feeding.0.rate": "126 mL/h"}, True, {"what": "126 mL/h"}),
    ("rate_high", J, {"feeding.0.rate": "125 mL/h"}, False, {}),
    ("rate_high", A, {"feeding.1": {**PUMP, "rate": "151 mL/h"}}, True, {}),
    ("rate_high", A, {"feeding.1": {**PUMP, "rate": "150 mL/h"}}, False, {}),
    ("energy_unusual", A, {}, True, {"energy": "1,704 kcal", "per_kg": "23"}),
    ("energy_unusual", J, {}, False, {}),
    ("energy_unusual", A, {"patient.by_mouth": "full"}, False, {}),
    ("energy_unusual", B, {}, None, {}),
    ("energy_unusual", C, {}, False, {}),
    ("label_doubtful", A, {"feeding.0.formula.energy": "12 kcal/mL"}, True, {"what": "12 kcal/mL"}),
    ("label_doubtful", A, {"feeding.0.formula.water": "8.1 %"}, True, {"what": "water 8.1 %"}),
    ("label_doubtful", A, {}, False, {}),
    ("powder_risk", GJ, POWDER, True, {"why": "weak immunity"}),
    ("powder_risk", C, {**POWDER, "patient.born": "2026-01-15"}, True, {"why": "under 2 months"}),
    ("powder_risk", C, POWDER, False, {}),
    # a baby's powder without a recipe; other ages have the dietitian's
    ("powder_without_recipe", C, {**POWDER, "patient.born": "2025-08-01"}, True,
     {"what": "Pediatric formula, 1.0"}),
    ("powder_without_recipe", C, {"patient.born": "2025-08-01"}, False, {}),
    ("powder_without_recipe", C, POWDER, False, {}),
    ("powder_risk", GJ, {}, False, {}),
    ("water_over_limit", GJ, {"water.limit": "893 mL"}, True, {"planned": "894 mL"}),
    ("water_over_limit", GJ, {"water.limit": "894 mL"}, False, {}),
    ("water_over_limit", B, {"water.limit": "1200 mL"}, True, {"planned": "900 mL of home-bl"}),
    ("limit_and_drinks", B, {}, True, {"left": "770 mL"}),
    ("limit_and_drinks", B, {"patient.by_mouth": "nothing"}, False, {}),
    ("water_below_goal", GJ, {}, True, {"planned": "894 mL", "goal": "1,700 mL"}),
    ("water_below_goal", GJ, {"water.goal": "993 mL"}, False, {}),
    ("water_above_goal", GJ, {"water.goal": "812 mL"}, True, {"goal": "812 mL"}),
    ("water_above_goal", GJ, {"water.goal": "813 mL"}, False, {}),
    ("water_goal_unclear", B, {"water.goal": "1000 mL"}, True, {"planned": "not known"}),
    ("water_goal_unclear", B, {"water.goal": "3000 mL"}, False, {}),
    ("child_water_high", C, {"feeding.0.amount": "427 mL"}, True,
     {"most": "1,524 mL", "figure": "1,270 mL", "weight": "15.4 kg"}),
    ("child_water_high", C, {"feeding.0.amount": "420 mL"}, False, {}),
    ("child_water_high", C, {"patient.weight": REMOVE}, None, {}),
    ("child_water_high", C, {"patient.born": "2026-02-10", "tube.opening_made": REMOVE,
                             "patient.weight": "3.5 kg"}, None, {}),
    ("child_water_high", A, {}, False, {}),
    ("child_water_figure", C, {}, True, {"planned": "702 mL", "figure": "1,270 mL"}),
    ("child_water_figure", A, {}, False, {}),
    ("child_water_unclear", C, {"patient.born": "2026-02-10", "tube.opening_made": REMOVE},
     True, {"planned": "702 mL"}),
    ("child_water_unclear", C, {"patient.born": "2025-05-10", "patient.conditions": ["preterm"]},
     True, {}),
    ("child_water_unclear", C, {}, False, {}),
    ("adult_water_unusual", A, {}, True, {"per_kg": "22.4", "low": "1,850 mL", "high": "2,590 mL"}),
    ("adult_water_unusual", J, {}, False, {}),
    ("adult_water_unusual", GJ, {}, False, {}),
    ("flush_large_adult", A, {"water.before_feed": "251 mL"}, True, {"what": "251 mL before"}),
    ("flush_large_adult", A, {"water.before_feed": "250 mL"}, False, {}),
    ("flush_large_child", C, {"water.medicine": "31 mL"}, True, {"most": "30 mL"}),
    ("flush_large_child", C, {**INFANT, "tube.opening_made": REMOVE, "water.daily": "11 mL"}, True,
     {"what": "11 mL when it rests", "most": "10 mL"}),
    ("flush_large_child", C, {}, False, {}),
    ("flush_large_child", A, {"water.medicine": "300 mL"}, False, {}),
    ("medicine_flush_missing", A, {"water.medicine": REMOVE}, True, {}),
    ("medicine_flush_missing", A, {"water.medicine": REMOVE, "medicines": []}, False, {}),
    ("feed_flush_missing", A, {"water.after_feed": REMOVE}, True, {"what": "after feedings"}),
    ("feed_flush_missing", J, {"water.every": REMOVE}, True, {"what": "all day"}),
    ("feed_flush_missing", J, {}, False, {}),
    ("feed_flush_missing", GJ, {}, False, {}),
    ("every_without_start", A, {"water.every": "4 h", "water.each": "30 mL"}, True, {}),
    ("every_without_start", A,
     {"water.every": "4 h", "water.each": "30 mL", "water.starts": "08:00"}, False, {}),
    ("every_without_start", J, {}, False, {}),
    ("flush_never_given", A, {"water.each": "30 mL"}, True, {"what": "water.each"}),
    ("flush_never_given", A, {"feeding": []}, True, {"what": "water.before_feed"}),
    ("flush_never_given", A, {}, False, {}),
    ("resting_port_unflushed", GJ, {"medicines": [], "water.daily": REMOVE}, True,
     {"ports": "gastric"}),
    ("resting_port_unflushed", GJ, {"medicines": []}, False, {}),
    ("medicines_in_jejunal_port", GJ,
     {"medicines.0.through": "jejunal", "tube.ports.jejunal": ["feeding", "medicines"]}, True,
     {"medicines": "levetiracetam"}),
    ("medicines_in_jejunal_port", J, {}, False, {}),
    ("medicine_twice", A, {"medicines.1.name": "Omeprazole"}, True, {}),
    ("medicine_twice", A, {"medicines.0.name": "paracetamol"}, True,
     {"medicines": "paracetamol and acetaminophen"}),
    ("medicine_twice", A, {}, False, {}),
    ("as_needed_unclear", A, {}, True, {"medicines": "acetaminophen"}),
    ("as_needed_unclear", A,
     {"medicines.1.for": "pain", "medicines.1.at_most": "every 6 hours"}, False, {}),
    ("small_dose_medicines", C, {}, True, {"medicines": "vitamin D", "small": "2 mL"}),
    ("small_dose_medicines", J, {}, False, {}),
    # A liquid holds sorbitol only where that is known, and then in grams a day (noso-1989).
    ("sorbitol_medicines", A,
     {"medicines.1": {"name": "theophylline", "form": "elixir", "dose": "20 mL", "through":
                      "gastric", "times": ["09:00"]}}, True,
     {"what": "theophylline (one elixir held 30 g for each 240 mg)"}),
    ("sorbitol_medicines", A,
     {"medicines.1": {"name": "isoniazid", "form": "syrup", "dose": "10 mL", "through": "gastric",
                      "times": ["09:00", "21:00"]}}, True,
     {"what": "isoniazid (about 14 g a day)"}),
    ("sorbitol_medicines", A, {}, False, {}),
    ("sorbitol_medicines", C, {}, False, {}),
    # A tube that the table says a medicine would block.
    ("narrow_for_medicines", A,
     {"medicines.0": {"name": "clarithromycin", "form": "suspension", "dose": "10 mL", "through":
                      "gastric", "times": ["09:00"]}}, True,
     {"what": "clarithromycin: grainy suspension clogs narrow tubes"}),
    ("narrow_for_medicines", A, {"tube.size": "12 Fr"}, True,
     {"what": "omeprazole: grains clog under 14 Fr", "size": "12 Fr"}),
    ("narrow_for_medicines", A, {"tube.size": "14 Fr"}, False, {}),
]  # fmt: skip


def _id(case: tuple[str, str, dict[str, Any], bool | None, dict[str, str]]) -> str:
    return f"{case[0]}-{case[1]}-{case[3]}-{','.join(case[2])}"


def _sound(name: str, check: Checked) -> None:
    """What holds for every check: all its words where it is true, and keys it is about."""
    if check.answer:
        assert set(check.details) == set(CHECKS[name].details)
        assert all(check.details.values())
        assert check.concerns or name == "policy_example"


@each({f"{number} {_id(case)}": case for number, case in enumerate(CASES)})
def test_a_check_speaks_only_where_it_must(
    name: str, base: str, changes: Any, answer: bool | None, details: dict[str, str]
) -> None:
    check = facts_with(changes, base).checks[name]
    assert check.answer is answer
    for detail, words in details.items():
        assert words in check.details[detail]
    _sound(name, check)


@pytest.mark.parametrize("base", EXAMPLES)
def test_every_check_is_derived_and_sound_for_each_example(base: str) -> None:
    checks = facts_with(base=base).checks
    assert set(checks) == set(CHECKS)
    for name, check in checks.items():
        _sound(name, check)


def test_every_check_has_a_case_where_it_speaks() -> None:
    spoken = {name for name, _, _, answer, _ in CASES if answer}
    rules = (rule for rule in library().rules if "order-set" in rule.file)
    elsewhere = {fact for rule in rules for fact in rule.when.facts()}  # test_order_set_checks
    assert set(CHECKS) - spoken - elsewhere == {
        "policy_overdue",
        "policy_not_in_force",
        "policy_example",
    }


def test_every_check_is_asked_by_a_rule() -> None:
    asked = {fact for rule in library().rules for fact in rule.when.facts()}
    assert set(CHECKS) <= asked


def test_policy_checks_name_what_is_wrong() -> None:
    late = {"prepared.on": "2028-03-04 15:00", "tube.placed": "2028-03-03 14:00"}
    overdue = facts_with(late).checks["policy_overdue"]
    assert overdue.answer
    assert "more" in overdue.details["settings"]
    assert facts_with().checks["policy_overdue"].answer is False
    early = {"prepared.on": "2025-12-31 15:00", "tube.placed": "2025-12-30 14:00"}
    assert facts_with(early).checks["policy_not_in_force"].details["holds_from"] == "2026-01-01"
    assert policy().holds_from == date(2026, 1, 1)
    assert facts_with().checks["policy_example"].answer is True


def test_putting_back_is_no_matter_where_the_facility_teaches_it() -> None:
    taught = policy_with(tube_back_at_home=True)
    checks = facts_with({"tube.may_put_back": ORDER, **HEALED}, rules_of=taught).checks
    assert checks["put_back_policy_off"].answer is False
    assert checks["put_back_refused"].answer is False
