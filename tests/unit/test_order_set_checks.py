"""Checks of order sets: each is true of one changed file, false of another, and says what is so."""

from __future__ import annotations

from typing import Any

import pytest
from builders import REMOVE, library, patient_with, policy, policy_with
from folding import each
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
from plainleaf.facts.given import Given
from plainleaf.inputs.content import slots_in
from plainleaf.inputs.policy import PolicyEntry
from plainleaf.vocabulary.settling import SETTLED_BY

RULES = {r.id: r for r in library().rules if r.file.endswith("order-set-rules.yaml")}
SCALE = "medicines.1.scale"
SUGAR_CHECK = {"what": "blood sugar", "call_above": "340 mg/dL", "call": "after_hours"}
DRAIN = {
    "through": "gastric", "into": "bag", "times": "all the time",
     "may_close": {"walking": "20 min"},
    "open_if": ["nausea"], "empty_at": "1/2 full", "change_bag": "3 d", "record": "daily",
    "call_over": "1200 mL", "call_none": "6 h",
}  # fmt: skip
BOTH_USES = {"tube.ports.gastric": ["feeding", "medicines", "drainage"], "drainage": DRAIN}
LOW_SUGAR = {
    "below": "70 mg/dL", "give": "120 mL apple juice", "route": "gastric", "recheck": "15 min",
    "tries": "2", "then_call": "emergency",
}  # fmt: skip
PILL: dict[str, Any] = {
    "name": "sodium chloride", "form": "tablet", "dose": "1 tablet", "route": "gastric",
    "prepare": "crush", "in": "20 mL water", "times": ["09:00"],
}  # fmt: skip
COURSE = {**PILL, "from": "2026-10-01", "until": "2026-10-20"}
NEEDED = {
    **PILL, "times": "as needed", "for": ["pain"], "between": "6 h", "at_most": "3 doses in 24 h",
}  # fmt: skip
STEPS = [{"for": "2 d", "dose": "2 tablets"}, {"for": "3 d", "dose": "1 tablet"}]

_KEEPS = {"fridge": "24 h", "hang": "4 h", "by": "R. Adeyemi, RD", "date": "2026-08-24"}
# A carton of 237 mL and 63 mL of water make 300 mL.
THINNED = {
    "take": [{"amount": "1 carton", "of": "standard-10"}, {"amount": "63 mL", "of": "water"}],
    "makes": "300 mL", **_KEEPS,
}  # fmt: skip
# Two cartons of 237 mL with 1.0 and 1.5 kcal/mL give 592.5 kcal in 474 mL.
MIXED_TWO = {
    "take": [{"amount": "1 carton", "of": "standard-10"},
             {"amount": "1 carton", "of": "standard-15"}],
    "makes": "474 mL", **_KEEPS,
}  # fmt: skip


def pill(**other: Any) -> dict[str, Any]:
    """A medicine with some keys changed; None takes one out."""
    return {key: value for key, value in {**PILL, **other}.items() if value is not None}


def two_feedings(until: str, begins: str) -> dict[str, Any]:
    """One feeding until a day, and another from a day on."""
    other = {
        "method": "gravity", "through": "gastric", "formula": "standard-15", "amount": "237 mL",
        "over": "30 min", "times": ["10:00", "15:00", "20:00"], "from": begins,
    }  # fmt: skip
    return {"feeding.0.until": until, "feeding.1": other}


_POTASSIUM = {
    "name": "potassium chloride", "form": "liquid", "dose": "15 mL", "route": "gastric",
    "times": ["08:00"],
}  # fmt: skip
_THINNED = {"prepare": "dilute", "in": "60 mL water"}
_PHENYTOIN = {
    "name": "phenytoin", "form": "suspension", "dose": "4 mL", "route": "gastric",
    "times": ["07:30"],
}  # fmt: skip


# Finding, file, changes, whether it is raised, words that its message holds, what it is about.
CASES: list[tuple[str, str, dict[str, Any], bool, str, tuple[str, ...]]] = [
    # --- blood sugar
    ("scale-gap", INSULIN, {f"{SCALE}.160 to 219 mg/dL": REMOVE}, True,
     "insulin regular leaves a blood sugar without a line: 160 to 219 mg/dL", ("medicines[1]",)),
    ("scale-gap", INSULIN, {f"{SCALE}.below 70 mg/dL": REMOVE}, True, "0 to 69 mg/dL", ()),
    ("scale-gap", INSULIN, {f"{SCALE}.below 70 mg/dL": REMOVE, f"{SCALE}.0 to 69 mg/dL": "no dose"},
     True, "does not begin with a line of 'below'", ()),
    ("scale-gap", INSULIN, {f"{SCALE}.340 mg/dL or more": REMOVE}, True, "340 mg/dL or more", ()),
    ("scale-gap", INSULIN, {}, False, "", ()),
    ("scale-overlap", INSULIN, {f"{SCALE}.160 to 219 mg/dL": REMOVE,
                                f"{SCALE}.155 to 219 mg/dL": "3 units"}, True, "155 to 159 mg/dL",
                                 ()),
    ("scale-overlap", INSULIN, {}, False, "", ()),
    ("sugar-limits-differ", INSULIN, {"low_sugar.below": "72 mg/dL"}, True,
     "the scale of insulin regular 70 mg/dL, the plan for low sugar 72 mg/dL", ()),
    ("sugar-limits-differ", INSULIN, {"watch.0.call_below": "3.9 mmol/L"}, True, "3.9 mmol/L", ()),
    ("sugar-limits-differ", INSULIN, {"low_sugar.below": "70.0 mg/dL"}, False, "", ()),
    ("scale-without-sugar-check", INSULIN, {"watch": REMOVE}, True, "insulin regular is given by",
     ("medicines[1]",)),
    ("scale-without-sugar-check", INSULIN, {"watch.0.times": ["07:00", "12:00"]}, True, "", ()),
    ("scale-without-sugar-check", INSULIN, {"watch.0.times": ["07:00", "12:00", "18:00"]}, False,
     "", ()),
    ("scale-without-sugar-check", INSULIN, {"watch.0.days": ["Mon"]}, True, "", ()),
    ("scale-without-sugar-check", INSULIN, {"watch.0.until": "2026-07-01"}, True, "", ()),
    ("scale-without-sugar-check", INSULIN, {"watch.0.from": "2026-06-06"}, True, "", ()),
    ("scale-without-sugar-check", INSULIN, {}, False, "", ()),
    ("insulin-without-sugar-checks", INSULIN, {"watch": REMOVE}, True, "insulin glargine is",
     ("medicines[0]",)),
    ("insulin-without-sugar-checks", INSULIN, {"watch.0": {**SUGAR_CHECK, "days": ["Mon"]}}, False,
     "", ()),
    ("low-sugar-plan-missing", INSULIN, {"low_sugar": REMOVE}, True,
     "insulin glargine lowers blood sugar", ()),
    ("low-sugar-plan-missing", RESTING, {"medicines.0.name": "glipizide"}, True, "glipizide", ()),
    ("low-sugar-plan-missing", INSULIN, {}, False, "", ()),
    ("low-sugar-by-mouth", INSULIN, {"low_sugar.route": "mouth"}, True,
     "120 mL apple juice is to be given by mouth, and what may pass the lips is nothing", ()),
    ("low-sugar-by-mouth", INSULIN,
     {"low_sugar.route": "mouth", "patient.by_mouth": ["soft"], "patient.mouth_each": "60 mL"},
     True, "at most 60 mL", ()),
    ("low-sugar-by-mouth", INSULIN,
     {"low_sugar.route": "mouth", "patient.by_mouth": ["soft"],
      "patient.conditions": ["confusion"]}, True, "confusion is recorded", ()),
    ("low-sugar-by-mouth", INSULIN, {"low_sugar.route": "mouth", "patient.by_mouth": ["regular"]},
     False, "", ()),
    ("low-sugar-by-mouth", INSULIN, {}, False, "", ()),
    ("jejunal-sugar", HOSPICE, {"low_sugar": {**LOW_SUGAR, "route": "jejunal"}}, True,
     "120 mL apple juice is to go into the bowel port", ()),
    ("jejunal-sugar", HOSPICE, {"low_sugar": LOW_SUGAR}, False, "", ()),
    # --- courses
    ("weekly-medicine-daily", INSULIN, {"medicines.3.days": REMOVE}, True,
     "methotrexate is written every day", ("medicines[3]",)),
    ("weekly-medicine-daily", INSULIN, {"medicines.3.days": ["Mon", "Thu"]}, True, "Mon and Thu",
     ()),
    ("weekly-medicine-daily", RESTING, {"medicines.0": pill(
        name="alendronate", dose="1 tablet (70 mg)", times=None, every="2 d",
        next="2026-10-09 09:00")}, True, "every 2 d", ()),
    ("weekly-medicine-daily", RESTING, {"medicines.0": pill(
        name="alendronate", dose="1 tablet (70 mg)", times=None, every="7 d",
        next="2026-10-09 09:00")}, False, "", ()),
    ("weekly-medicine-daily", RESTING,
     {"medicines.0": pill(name="alendronate", dose="1 tablet (10 mg)")}, False, "", ()),
    ("weekly-medicine-daily", RESTING,
     {"medicines.0": pill(name="vitamin D", dose="1 tablet (50000 units)")}, True, "vitamin D", ()),
    ("weekly-medicine-daily", INSULIN, {}, False, "", ()),
    ("course-half-over", RESTING, {"medicines.0": COURSE}, True, "from 2026-10-01",
     ("medicines[0]",)),
    ("course-half-over", RESTING, {"medicines.0": {**COURSE, "from": "2026-10-08"}}, True, "", ()),
    ("course-half-over", RESTING,
     {"medicines.0": {**COURSE, "from": "2026-10-08", "times": ["12:00"]}}, False, "", ()),
    ("course-half-over", RESTING,
     {"medicines.0": {**COURSE, "from": "2026-10-07", "days": ["Thu"], "times": ["12:00"]}}, False,
     "", ()),
    ("course-half-over", RESTING, {"medicines.0": {**PILL, "from": "2026-10-01"}}, False, "", ()),
    ("course-half-over", INSULIN, {"medicines.2.from": "2026-06-04"}, True, "dexamethasone", ()),
    ("course-half-over", INSULIN, {}, False, "", ()),
    ("course-over", RESTING, {"medicines.0": {**COURSE, "until": "2026-10-07"}}, True,
     "sodium chloride", ()),
    ("course-over", RESTING, {"medicines.0": {**COURSE, "until": "2026-10-08"}}, True, "", ()),
    ("course-over", RESTING,
     {"medicines.0": {**COURSE, "until": "2026-10-08", "times": ["12:00"]}}, False, "", ()),
    ("course-over", RESTING, {"medicines.0": pill(**{"from": "2026-10-01", "steps": STEPS,
                                                      "dose": None})}, True, "", ()),
    ("course-over", RESTING, {"medicines.0": pill(**{"from": "2026-10-06", "steps": STEPS,
                                                      "dose": None})}, False, "", ()),
    ("course-over", RESTING, {"watch.0.until": "2026-10-07"}, True, "check of weight", ()),
    ("course-over", INSULIN, {}, False, "", ()),
    ("steps-past", REFEEDING, {"feeding.0.from": "2026-08-11"}, True, "begin on 2026-08-11",
     ("feeding[0]",)),
    ("steps-past", REFEEDING, {}, False, "", ()),
    ("step-total-differs", REFEEDING, {"feeding.0.daily_total": "320 mL"}, True,
     "step 2 gives 560 mL, not 320 mL", ()),
    ("step-total-differs", REFEEDING, {"feeding.0.daily_total": "320 mL", "feeding.0.steps": [
        {"for": "2 d", "rate": "20 mL/h"}, {"rate": "40 mL/h", "runs_for": "8 h"}]}, False, "", ()),
    ("step-total-differs", REFEEDING, {}, False, "", ()),
    ("day-without-plan-end", INSULIN, two_feedings("2026-06-10", "2026-06-13"), True,
     "2026-06-11 to 2026-06-12", ("feeding[1]",)),
    ("day-without-plan-end", INSULIN, two_feedings("2026-06-10", "2026-06-12"), True,
     ": 2026-06-11.", ()),
    ("day-without-plan-end", INSULIN, two_feedings("2026-06-10", "2026-06-11"), False, "", ()),
    ("day-without-plan-end", INSULIN, two_feedings("2026-06-10", "2026-06-05"), False, "", ()),
    ("day-without-plan-end", INSULIN, {"feeding.0.until": "2026-06-10"}, False, "", ()),
    ("interval-short", INSULIN, {"medicines.6.every": "24 h"}, True, "clonidine every 24 h", ()),
    ("interval-short", REFEEDING, {"watch.0.every": "12 h"}, True, "check of weight every 12 h",
     ()),
    ("interval-short", INSULIN, {"medicines.6.every": "25 h"}, False, "", ()),
    ("most-before-interval", RESTING, {"medicines.0": NEEDED}, True,
     "sodium chloride (3 doses in 24 h, 6 h apart)", ()),
    ("most-before-interval", RESTING, {"medicines.0": {**NEEDED, "at_most": "4 doses in 24 h"}},
     False, "", ()),
    # --- one medicine
    ("strength-differs", INSULIN, {"medicines.3.dose": "7.5 mL (25 mg)"}, True,
     "7.5 mL of 2 mg/mL hold 15 mg, and the dose says 25 mg", ("medicines[3]",)),
    ("strength-differs", INSULIN, {"medicines.2.steps.1.dose": "2 mL (20 mg)"}, True, "hold 2 mg",
     ()),
    ("strength-differs", INSULIN, {"medicines.3.strength": REMOVE}, True, "no strength", ()),
    ("strength-differs", INSULIN, {"medicines.3.dose": "7.5 mL (15.3 mg)"}, False, "", ()),
    ("strength-differs", INSULIN, {}, False, "", ()),
    ("form-and-route-differ", INSULIN, {"medicines.6.route": "mouth"}, True,
     "clonidine comes as patch and is written by the route mouth", ("medicines[6]",)),
    ("form-and-route-differ", INSULIN, {"medicines.6.form": "rectal gel",
                                        "medicines.6.route": "gastric",
                                        "medicines.6.prepare": "as it is"}, True, "rectal gel", ()),
    ("form-and-route-differ", INSULIN, {}, False, "", ()),
    ("mix-water-missing", INSULIN, {"medicines.4.in": "applesauce"}, True, "folic acid (tablet)",
     ("medicines[4]",)),
    ("mix-water-missing", INSULIN, {"medicines.5": {
        "name": "carvedilol", "form": "powder packet", "dose": "1 packet", "through": "gastric",
        "times": ["08:00"]}}, True, "carvedilol (powder packet)", ()),
    # Thinned by a label that was read (kcl-label); what is thinned from memory is a note alone.
    ("mix-water-missing", INSULIN, {"medicines.3": _POTASSIUM}, True, "potassium chloride", ()),
    ("mix-water-missing", INSULIN, {"medicines.3": {**_POTASSIUM, **_THINNED}}, False, "", ()),
    ("mix-water-missing", INSULIN, {}, False, "", ()),
    ("thin-before-giving", INSULIN, {"medicines.3": {**_POTASSIUM, **_THINNED}}, True,
     "potassium chloride: 120 mL of cold water for each dose", ()),
    ("thin-before-giving", INSULIN, {"medicines.2.strength": "0.5 mg/mL"}, False, "", ()),
    # The feeding of 08:00 follows half an hour later, and none runs before.
    ("feed-gap-short", GROUP_HOME, {"medicines.0": _PHENYTOIN}, True,
     "phenytoin at 07:30 is 30 min before feeding, not 2 h", ("medicines[0]",)),
    ("feed-gap-short", GROUP_HOME, {"medicines.0": {**_PHENYTOIN, "times": ["05:30"]}}, False, "",
     ()),
    ("feed-gap-short", GROUP_HOME, {}, False, "", ()),
    ("medicine-in-feed", INSULIN, {"medicines.3.times": ["07:30"]}, True, "Thu 07:30",
     ("medicines[3]",)),
    ("medicine-in-feed", REFEEDING, {"medicines.0.times": ["03:00"]}, True, "Mon-Sun 03:00", ()),
    ("medicine-in-feed", REFEEDING, {"medicines.0.times": ["16:00"]}, False, "", ()),
    ("medicine-in-feed", REFEEDING, {"medicines.0.times": ["08:00"]}, False, "", ()),
    ("medicine-in-feed", GROUP_HOME, {"medicines.1.times": ["10:20"]}, True, "lactulose", ()),
    ("medicine-in-feed", GROUP_HOME, {"medicines.1.times": ["10:22"]}, False, "", ()),
    # --- the tube
    ("drain-order-missing", HOSPICE, {"drainage": REMOVE}, True,
     "drainage of the gastric port has no drainage: block", ()),
    ("drain-order-missing", INFANT, {"venting": REMOVE}, True, "venting of the gastric port", ()),
    ("drain-order-missing", INFANT, {"tube.ports.gastric": ["feeding", "medicines"]}, True,
     "venting is ordered", ()),
    ("drain-order-missing", HOSPICE, {}, False, "", ()),
    ("drain-and-feed-one-port", INSULIN, BOTH_USES, True, "gravity feeding", ()),
    ("drain-and-feed-one-port", INSULIN,
     {**BOTH_USES, "drainage.may_close": {"comfortable": "45 min", "after-medicines": "30 min"}},
     False, "", ()),
    ("drain-and-feed-one-port", INSULIN,
     {**BOTH_USES, "drainage.times": ["22:00"], "drainage.for": "6 h"}, False, "", ()),
    ("drain-and-feed-one-port", HOSPICE, {}, False, "", ()),
    ("drain-no-quiet-limit", HOSPICE, {"drainage.call_none": REMOVE}, True, "", ()),
    ("drain-no-quiet-limit", HOSPICE, {}, False, "", ()),
    ("resting-and-used", RESTING, {"tube.ports.jejunal": ["resting", "medicines"]}, True,
     "the jejunal port is for medicines too", ()),
    ("resting-and-used", RESTING, {"water.extra.why": "drink"}, True, "water to take in", ()),
    ("resting-and-used", RESTING, {}, False, "", ()),
    ("stitches-no-date", RESTING, {"visits.1": REMOVE}, True, "", ()),
    ("stitches-no-date", RESTING, {"visits.1": REMOVE, "dates.stitches_out": "2026-11-04"}, False,
     "", ()),
    ("stitches-no-date", RESTING, {}, False, "", ()),
    ("skin-buttons-no-date", INSULIN, {"dates": REMOVE}, True, "Skin buttons: 2.", ()),
    ("skin-buttons-no-date", INSULIN, {}, False, "", ()),
    ("held-after-missing", RESTING, {"tube.held_after_stitches": REMOVE}, True, "", ()),
    ("held-after-missing", RESTING, {"tube.held_after_stitches": REMOVE, "visits.1": REMOVE}, False,
     "", ()),
    ("put-back-not-taught", GROUP_HOME, {"tube.may_put_back": {"who": ["Olga Marsh", "Ty Greer"]}},
     True, "not taught it: Ty Greer.", ()),
    ("put-back-not-taught", GROUP_HOME, {"tube.may_put_back": {"who": ["Olga Marsh"]}}, False, "",
     ()),
    ("balloon-check-refused", HOSPICE, {"overrides.balloon_check_by": "family"}, True,
     "checked by: family. That is not taught here: the tube is a gastrojejunostomy", ()),
    ("balloon-check-refused", HOSPICE, {}, False, "", ()),
    ("balloon-check-refused", RESTING, {"overrides": {"balloon_check_by": "nurse"}}, True,
     "it is held by stitches", ()),
    ("balloon-check-refused", GROUP_HOME, {"overrides.balloon_check_by": "family"}, False, "", ()),
    # A first tube is put back in hospital, and its balloon is checked like any other.
    ("balloon-check-refused", GROUP_HOME,
     {"overrides.balloon_check_by": "family", "tube.placed": "2019-04-02 10:00",
      "tube.opening_made": REMOVE}, False, "", ()),
    ("recipe-does-not-fit", INFANT, {"formulas.milk-27.recipe.makes": "110 mL"}, True,
     "liquids of 120 mL, and it makes 110 mL", ()),
    ("recipe-does-not-fit", INFANT, {"formulas.milk-27.recipe.makes": "134 mL"}, True, "120 mL",
     ()),
    ("recipe-does-not-fit", INFANT, {"formulas.milk-27.recipe.makes": "133 mL"}, False, "", ()),
    ("recipe-does-not-fit", INFANT, {"formulas.milk-27.recipe": THINNED}, False, "", ()),
    ("recipe-does-not-fit", INFANT,
     {"formulas.milk-27.recipe": {**THINNED, "makes": "290 mL"}}, True, "liquids of 300 mL", ()),
    ("recipe-does-not-fit", INFANT, {"formulas.milk-27.recipe": MIXED_TWO}, True,
     "parts of 593 kcal, and the label gives 433 kcal", ()),
    ("recipe-does-not-fit", INFANT,
     {"formulas.milk-27.recipe": MIXED_TWO, "formulas.milk-27.energy": "1.25 kcal/mL"}, False, "",
     ()),
    ("refeeding-suspected", REFEEDING, {"patient.conditions": ["malnutrition"]}, True,
     "index of 14.3, an unplanned loss of 15 % in 5 mo and next to nothing eaten for 8 d", ()),
    ("refeeding-suspected", REFEEDING, {}, False, "", ()),
    ("refeeding-suspected", INSULIN, {"patient.ate_little_for": "6 d"}, True, "insulin", ()),
    ("refeeding-suspected", INSULIN, {"patient.ate_little_for": "5 d"}, False, "", ()),
    ("refeeding-suspected", INFANT, {"patient.ate_little_for": "20 d"}, False, "", ()),
    # --- people
    ("duty-not-covered", GROUP_HOME, {}, True, "Nobody who may do medicines is there at a time of "
     "the plan: Sat, Sun 07:30", ("medicines",)),
    ("duty-not-covered", GROUP_HOME, {"learners.1.duties": "all"}, False, "", ()),
    ("duty-not-covered", GROUP_HOME, {"medicines.0.times": ["07:00", "19:30"]}, True, "", ()),
    ("duty-not-covered", GROUP_HOME, {"medicines.0.times": ["06:59", "19:30"]}, False, "", ()),
    ("duty-limited", RESTING, {}, True, "Nils Almqvist (medicines)", ()),
    ("duty-limited", RESTING, {"learners.1.there": "Sat-Sun 14:00-18:00"}, False, "", ()),
    ("rescue-not-covered", GROUP_HOME, {"learners.1.duties": ["feeding", "flushing"]}, True,
     "(midazolam for a seizure): Sat, Sun 07:00 to 19:00", ("rescue",)),
    ("rescue-not-covered", GROUP_HOME, {"learners.2.there": "Mon-Sun 19:00-06:30"}, True,
     "Mon-Sun 06:30 to 07:00", ()),
    ("rescue-not-covered", GROUP_HOME, {}, False, "", ()),
    ("rescue-not-covered", INSULIN, {"learners.1.duties": "none"}, False, "", ()),
    ("rescue-not-covered", INSULIN, {"learners.0.duties": "none", "learners.1.duties": "none"},
     True,
     "(the plan for low sugar): at every hour of the week", ()),
    # --- calls and sessions
    ("contact-closed", RESTING, {"watch.0.times": ["08:59"]}, True,
     "the check of weight can mean a call to Surgeon's office, which answers Mon-Fri 09:00-16:00: "
     "Mon 08:59", ("watch[0]",)),
    ("contact-closed", RESTING, {"watch.0.times": ["16:00"]}, True, "Mon 16:00", ()),
    ("contact-closed", RESTING, {"watch.0.times": REMOVE, "watch.0.days": ["Sun"]}, True, "Sun",
     ()),
    ("contact-closed", REFEEDING, {"visits.4.when": "2026-08-15 10:00"}, True,
     "the dietitian call can mean a call to Quillmere dietitian", ("visits[4]",)),
    ("contact-closed", REFEEDING, {"visits.4.how": "clinic", "visits.4.when": "2026-08-15 10:00"},
     False, "", ()),
    ("contact-closed", REFEEDING, {"visits.4.when": "2026-08-09 10:00"}, False, "", ()),
    ("contact-closed", REFEEDING, {"watch.0.next": "2026-08-14 06:00"}, True, "Mon-Sun 06:00", ()),
    ("contact-closed", INSULIN, {f"{SCALE}.340 mg/dL or more": "9 units, then call diabetes"}, True,
     "the scale of insulin regular", ("medicines[1]",)),
    *(("contact-closed", name, {}, False, "", ()) for name in ORDER_SETS),
    ("session-past", HOSPICE, {"sessions.0.at": "2026-09-17 13:00"}, True,
     "Session 1 at 2026-09-17 13:00", ("sessions[0]",)),
    ("session-past", HOSPICE, {}, False, "", ()),
    ("session-short", HOSPICE, {"sessions.0.for": "20 min"}, True,
     "session 1 lasts 20 min and asks about 30 min", ()),
    ("session-short", HOSPICE, {}, False, "", ()),
    ("learner-in-no-session", GROUP_HOME, {"sessions.1": REMOVE}, True, "Ty Greer", ()),
    ("learner-in-no-session", GROUP_HOME, {}, False, "", ()),
    ("learner-in-no-session", INSULIN, {}, False, "", ()),
    # --- the order set
    ("nothing-and-something", RESTING, {"patient.by_mouth": ["nothing", "tastes"]}, True,
     "tastes", ()),
    ("nothing-and-something", INSULIN, {"patient.drink": "200 mL"}, True, "200 mL to drink", ()),
    ("nothing-and-something", INSULIN, {}, False, "", ()),
    ("date-twice", RESTING, {"dates.stitches_out": "2026-11-04"}, True, "dates.stitches_out", ()),
    ("date-twice", INSULIN, {}, False, "", ()),
    ("override-out-of-range", INFANT, {"overrides.head_up_after": "15 min"}, True,
     "head_up_after 15 min (from 30 min to 2 h)", ()),
    ("override-out-of-range", INFANT, {"overrides.water_kind": "tap"}, True,
     "tap water for a baby", ()),
    ("override-out-of-range", GROUP_HOME, {"overrides.water_kind": "tap"}, False, "", ()),
    ("override-out-of-range", INFANT, {}, False, "", ()),
    ("head-up-unclear", INFANT, {"overrides.head_up_how": REMOVE}, True,
     "head_up_angle and head_up_after without head_up_how", ()),
    ("head-up-unclear", INFANT, {"overrides.sleep_position": "head up"}, True, "sleep_position",
     ()),
    ("head-up-unclear", INFANT, {}, False, "", ()),
    ("head-up-unclear", GROUP_HOME, {"overrides.sleep_position": "head up"}, False, "", ()),
    ("text-language-missing", HOSPICE, {"orders.0.say": {"en": "Comfort comes first."}}, True,
     "the order for living in es", ()),
    ("text-language-missing", HOSPICE, {"patient.language": "es-MX"}, False, "", ()),
    ("text-language-missing", HOSPICE, {}, False, "", ()),
    ("allergies-not-recorded", HOSPICE, {"patient.allergies": REMOVE}, True, "", ()),
    ("allergies-not-recorded", HOSPICE, {}, False, "", ()),
    ("conditions-not-recorded", RESTING, {"patient.conditions": REMOVE}, True, "", ()),
    ("conditions-not-recorded", RESTING, {}, False, "", ()),
]  # fmt: skip


def says(finding: str, given: Given) -> str | None:
    """The words of a finding with its slots filled, or None where it is not raised."""
    outcome = CHECKS[finding.replace("-", "_")].run(given)
    return RULES[finding].says.format(**outcome.details) if outcome.answer else None


def case_is_right(
    finding: str, base: str, changes: dict[str, Any], raised: bool, words: str, about: Any
) -> None:
    given = given_with(base, changes)
    outcome = CHECKS[finding.replace("-", "_")].run(given)
    assert outcome.answer is raised
    if raised:
        assert words in (says(finding, given) or "")
        assert outcome.concerns
        parts = [part.about or part.keys[0].split(".")[0] for part in outcome.parts]
        assert not about or parts == list(about)


@pytest.mark.parametrize("base", ORDER_SETS)
def test_a_finding_is_raised_only_where_it_must(base: str) -> None:
    cases = {f"{n} {case[0]}": case for n, case in enumerate(CASES) if case[1] == base}
    each(cases)(case_is_right)()


# --- what a flush must fill: with the setting, and without it --------------------------------


def spaced(text: str) -> Any:
    """The example policy with a table of what tubes hold."""
    entries = dict(policy().entries)
    old = entries["flush_by"]
    entries["dead_space"] = PolicyEntry("dead_space", text, old.origin, None, old.review_by)
    return policy_with().__class__(**{**vars(policy()), "entries": entries})


@pytest.mark.parametrize(
    ("table", "small", "unknown"),
    [
        ("low-profile 14 Fr 5.5 mL", ["water.before_feed", "water.after_feed", "water.medicine"],
         False),
        ("low-profile 14 Fr 5 mL", [], False),
        ("low-profile 12 Fr 6 mL; standard 14 Fr 6 mL", [], True),
        (None, [], True),
    ],
)  # fmt: skip
def test_a_flush_is_held_against_what_the_tube_holds(
    table: str | None, small: list[str], unknown: bool
) -> None:
    rules_of = policy() if table is None else spaced(table)
    given = given_with(INFANT, {}, rules_of)
    parts = CHECKS["flush_under_dead_space"].run(given).parts
    assert [part.keys[0] for part in parts] == small
    assert CHECKS["dead_space_unknown"].run(given).answer is unknown


def test_of_a_range_the_least_flush_counts() -> None:
    given = given_with(INFANT, {"water.medicine": "5 to 10 mL"}, spaced("low-profile 14 Fr 6 mL"))
    (part,) = [p for p in CHECKS["flush_under_dead_space"].run(given).parts
               if p.keys == ("water.medicine",)]  # fmt: skip
    assert part.details == {"key": "water.medicine", "flush": "5 mL", "space": "6 mL"}


# --- four rules that read differently --------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "base", "changes", "answer", "words"),
    [
        ("one_hands_on", GROUP_HOME, {}, False, {}),
        ("one_hands_on", GROUP_HOME, {"learners.2.duties": ["feeding", "flushing", "rescue",
         "site-care"],
                                      "learners.2.limit": "own wish"},
         True, {"who": "Olga Marsh", "absent": "Olga Marsh",
                "what": "medicines and balloon in the care"}),
        ("one_hands_on", GROUP_HOME, {"learners.0.duties": "none", "learners.2.duties": "none"},
         True, {"who": "one person or nobody", "absent": "that person", "what":
                "feeding (Ty Greer), flushing (Ty Greer), medicines (nobody), rescue (Ty Greer), "
                "site-care (Ty Greer) and balloon (nobody) in the care"}),
        ("one_hands_on", INFANT, {"learners.1": REMOVE}, True, {"why": "a child"}),
        ("one_hands_on", INSULIN, {"learners.1": REMOVE}, False, {}),
        ("self_care_doubtful", INSULIN, {}, False, {}),
        ("self_care_doubtful", INSULIN, {"learners.0.duties": ["feeding"], "learners.0.there":
                                         "always", "learners.0.limit": "cannot do it safely"},
         True, {"why": "the limit 'cannot do it safely'"}),
        ("self_care_doubtful", INSULIN, {"learners.0.duties": ["feeding"], "learners.0.there":
                                         "always", "learners.0.limit": "own wish"}, False, {}),
        ("powder_risk", INFANT, {}, False, {}),
        ("powder_risk", INFANT, {"patient.conditions": ["preterm"]}, True, {"why": "born early"}),
        ("powder_risk", INFANT, {"patient.conditions": ["preterm"],
                                 "formulas.milk-27.recipe.take.1": {"amount": "5 mL", "of": "oil"}},
         False, {}),
        ("rate_high", REFEEDING, {}, False, {}),
        ("rate_high", REFEEDING, {"feeding.0.steps.3.rate": "151 mL/h"}, True,
         {"what": "151 mL/h (usual top: 150 mL/h)"}),
        ("closed_hangs_too_long", REFEEDING, {"feeding.0.steps.0.rate": "42 mL/h",
                                              "feeding.0.steps.1.rate": "42 mL/h"}, False, {}),
    ],
)  # fmt: skip
def test_rules_that_read_differently(
    name: str, base: str, changes: dict[str, Any], answer: bool, words: dict[str, str]
) -> None:
    outcome = CHECKS[name].run(given_with(base, changes))
    assert outcome.answer is answer
    assert {key: outcome.details[key] for key in words} == words


def test_each_step_that_hangs_too_long_is_named_by_its_first_day() -> None:
    outcome = CHECKS["closed_hangs_too_long"].run(given_with(REFEEDING))
    assert [part.about for part in outcome.parts] == ["2026-08-12", "2026-08-14"]
    assert [part.details["what"] for part in outcome.parts] == [
        "1,000 mL at 20 mL/h lasts 50 h", "1,000 mL at 35 mL/h lasts 28.6 h"
    ]  # fmt: skip


# --- all of them -----------------------------------------------------------------------------

# Those of water counted or not are asked in test_water_decisions.
SPECIAL = {
    "flush-under-dead-space", "dead-space-unknown", "mixing-water-counted",
    "water-drained-not-counted",
}  # fmt: skip


def test_each_finding_has_a_file_that_raises_it_and_one_that_does_not() -> None:
    seen = {(case[0], case[3]) for case in CASES}
    assert {name for name, _ in seen} == set(RULES) - SPECIAL
    assert seen >= {(name, raised) for name in set(RULES) - SPECIAL for raised in (True, False)}


@each({name: (name,) for name in RULES})
def test_each_rule_asks_the_check_of_its_name_and_uses_its_words(name: str) -> None:
    rule, check = RULES[name], CHECKS[name.replace("-", "_")]
    assert list(rule.when.facts()) == [check.name]
    assert set(slots_in(rule.says + rule.instead)) == set(check.details)
    settled = rule.level == "confirm" or rule.acceptable
    assert settled is (name in SETTLED_BY)


@each({name: (name,) for name in RULES})
def test_no_file_of_format_1_is_asked(name: str) -> None:
    given = Given(patient_with(), policy(), library().medicine_words)
    assert CHECKS[name.replace("-", "_")].run(given).answer is False


# What the published files raise, besides what asks nothing.
RAISES = {
    REFEEDING: {"dead-space-unknown"},
    GROUP_HOME: {"dead-space-unknown", "duty-not-covered", "mixing-water-counted"},
    INFANT: {"dead-space-unknown", "duty-limited"},
    INSULIN: {"dead-space-unknown", "mixing-water-counted", "thin-before-giving"},
    HOSPICE: {
        "dead-space-unknown",
        "duty-limited",
        "most-before-interval",
        "water-drained-not-counted",
    },
    RESTING: {"dead-space-unknown", "duty-limited"},
}


@pytest.mark.parametrize("name", ORDER_SETS)
def test_the_published_files_raise_these_and_no_other(name: str) -> None:
    given = given_with(name)
    raised = {rule for rule in RULES if CHECKS[rule.replace("-", "_")].run(given).answer}
    assert raised == RAISES[name]


@pytest.mark.parametrize(
    ("changes", "asked"),
    [
        ({}, False),
        ({"visits": [{"kind": "home nurse", "how": "home", "when": "2026-08-14"}]}, True),
        ({"visits": REMOVE}, True),
        ({"visits": REMOVE, "patient.conditions": ["malnutrition"]}, False),
    ],
)
def test_a_planned_blood_test_answers_the_question_of_refeeding(
    changes: dict[str, Any], asked: bool
) -> None:
    assert CHECKS["refeeding_tests_missing"].run(given_with(REFEEDING, changes)).answer is asked


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"additives.0.through": "jejunal"}, "Protein powder"),
        ({"water.through": "jejunal", "water.every": "6 h", "water.each": "20 mL",
          "water.starts": "06:00"}, "water by the clock"),
    ],
)  # fmt: skip
def test_a_port_that_the_tube_lacks_is_no_way_for_anything(
    changes: dict[str, str], what: str
) -> None:
    checked = CHECKS["port_missing"].run(given_with(GROUP_HOME, changes))
    assert checked.answer is True and what in checked.details["what"]
    assert CHECKS["port_missing"].run(given_with(GROUP_HOME)).answer is False
