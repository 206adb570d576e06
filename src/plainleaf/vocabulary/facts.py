"""The closed vocabulary of facts: what a condition may ask and what a slot may print.

Each fact has a kind, for conditions its possible answers, a one-line meaning, and the patient-file
key that settles it when it is not known. `facts/` derives the values; a test compares the names.

A fact with `answers` may stand in a condition. A fact without may only fill a slot.
"""

from __future__ import annotations

from dataclasses import dataclass

from plainleaf.vocabulary import terms

YES_NO = ("true", "false")


@dataclass(frozen=True)
class Fact:
    """One entry of the vocabulary.

    `kind` is `word`, `yes-no`, or for slots the kind of value (`volume`, `phone`, `date` …).
    """

    name: str
    kind: str
    means: str
    answers: tuple[str, ...] = ()
    needs: str = ""


def _words(name: str, answers: tuple[str, ...], means: str, needs: str = "") -> Fact:
    return Fact(name, "word", means, answers, needs)


def _asks(means_by_name: dict[str, tuple[str, str]]) -> list[Fact]:
    return [Fact(name, "yes-no", m, YES_NO, n) for name, (m, n) in means_by_name.items()]


_NONE_OR_PORT = ("none", *terms.PORTS)

_TUBE = [
    _words("tube_kind", terms.TUBE_KINDS, "where the tube leads", "tube.kind"),
    _words("build", terms.BUILDS, "long tube or skin-level button", "tube.build"),
    _words("held_by", terms.RETENTIONS, "what holds the tube inside", "tube.held_by"),
    _words("placed_by", terms.PLACED_BY, "who placed the tube", "tube.placed_by"),
    _words("opening_stage", terms.STAGES, "age of the opening, by policy", "tube.opening_made"),
    *_asks(
        {
            "tube_replaced": ("this tube went into an older opening", "tube.opening_made"),
            "gastric_port": ("a port leads to the stomach", "tube.ports"),
            "jejunal_port": ("a port leads to the jejunum", "tube.ports"),
            "two_ports": ("one tube with a gastric and a jejunal port", "tube.ports"),
            "gastric_feeding": ("feeding is a use of the gastric port", "tube.ports.gastric"),
            "gastric_medicines": ("medicines are a use of the gastric port", "tube.ports.gastric"),
            "gastric_venting": ("venting is a use of the gastric port", "tube.ports.gastric"),
            "gastric_drainage": ("drainage is a use of the gastric port", "tube.ports.gastric"),
            "jejunal_feeding": ("feeding is a use of the jejunal port", "tube.ports.jejunal"),
            "jejunal_medicines": ("medicines are a use of the jejunal port", "tube.ports.jejunal"),
            "outer_disc": ("an outer disc lies on the skin", "tube.build"),
            "skin_buttons": ("stitched buttons stand round the opening", "tube.skin_buttons"),
            "mark_known": ("the mark at the skin is recorded", "tube.mark_at_skin"),
            "length_known": ("the length of the button is recorded", "tube.length"),
            "turn_ordered": ("turning the healed tube is ordered", "tube.turn_daily"),
            "push_in_ordered": ("pushing the healed tube in is ordered", "tube.push_in_weekly"),
            "balloon_check_at_home": ("the family checks the balloon water", "tube.held_by"),
            "tube_back_at_home": ("a trained person may put a spare tube in", "tube.may_put_back"),
            "spare_tube_at_home": ("a spare tube belongs in the kit", "tube.held_by"),
        }
    ),
]

_PERSON = [
    _words("age_group", terms.AGE_GROUPS, "age on the day of the packet", "patient.born"),
    _words("eats", terms.BY_MOUTH, "what may be taken by mouth", "patient.by_mouth"),
    *_asks(
        {
            "child": ("under 18 years", "patient.born"),
            "tangle_risk": ("could be caught in tubing", "patient.born"),
            "confused": ("confusion is recorded", "patient.conditions"),
            "weak_immunity": ("weak immune system", "patient.conditions"),
            "thickened_fluids": ("drinks thickened fluids", "patient.conditions"),
            "refeeding_risk": ("at risk of refeeding problems", "patient.conditions"),
            "insulin": ("uses insulin", "medicines"),
            "diabetes_medicine": ("uses insulin or a sugar-lowering medicine", "medicines"),
            "other_lines": ("has another line or tube", "other_lines"),
            "interpreter_needed": ("a learner reads another language than staff", "learners"),
            "several_learners": ("more than one person is taught", "learners"),
            "small_infant": ("under 6 months or under 6 kg", "patient.weight"),
        }
    ),
]

_FEEDING = [
    _words("pump_pattern", ("none", "all-day", "overnight", "part-day"), "when a pump runs"),
    _words("pump_through", _NONE_OR_PORT, "port of the pump feeding"),
    _words("syringe_through", _NONE_OR_PORT, "port of the syringe feedings"),
    _words("gravity_through", _NONE_OR_PORT, "port of the gravity feedings"),
    *_asks(
        {
            "fed_by_tube": ("any feeding goes through the tube", "feeding"),
            "syringe_feeds": ("feeds by syringe", "feeding"),
            "gravity_feeds": ("feeds by gravity bag", "feeding"),
            "pump_feeds": ("feeds by pump", "feeding"),
            "syringe_amounts_differ": ("syringe feedings differ in amount", "feeding"),
            "gravity_amounts_differ": ("gravity feedings differ in amount or time", "feeding"),
            "pump_plans_many": ("more than one pump run a day", "feeding"),
            "blended": ("home-blended food", "feeding"),
            "blended_into_bowel": ("home-blended food into the bowel, by order", "feeding"),
            "formula_feeds": ("ready formula", "feeding"),
            "open_formula": ("formula poured from cans or cartons", "feeding"),
            "closed_formula": ("ready-to-hang formula", "feeding"),
            "powder_formula": ("formula mixed from powder", "feeding"),
        }
    ),
]

_WATER = [
    _words("flush_by", terms.FLUSH_BY, "how water goes in", "water.by"),
    _words("water_kind", ("tap", "sterile", "boiled"), "which water, by policy"),
    *_asks(
        {
            "water_before_feed_ordered": ("a flush before each feeding", "water.before_feed"),
            "water_after_feed_ordered": ("a flush after each feeding", "water.after_feed"),
            "water_every_ordered": ("a flush every so many hours", "water.every"),
            "water_daily_ordered": ("a daily flush for a resting tube", "water.daily"),
            "extra_water_ordered": ("extra water at set times", "water.extra"),
            "resting_port": ("a port that is not used every day", "tube.ports"),
            "fluid_limit": ("the doctor set a most fluid a day", "water.limit"),
            "fluid_goal": ("the dietitian set a goal a day", "water.goal"),
            "unclog_amount_known": ("an amount for a clog is known", "water.unclog"),
            "flush_planned": ("a flush or extra water stands in the day", "water"),
        }
    ),
]

_MEDICINES = [
    *_asks(
        {
            "medicines_by_tube": ("a medicine goes through the tube", "medicines"),
            "medicines_through_gastric": ("a medicine goes through the gastric port", "medicines"),
            "medicines_through_jejunal": ("a medicine goes through the jejunal port", "medicines"),
            "medicines_together": ("two or more at one time and port", "medicines"),
            "liquid_medicines": ("a liquid goes through the tube", "medicines"),
            "crushed_medicines": ("a tablet may be crushed, by the pharmacist", "medicines"),
            "small_doses": ("a dose below the policy's small dose", "medicines"),
            "as_needed_medicines": ("a medicine without fixed times", "medicines"),
            "other_route_medicines": ("a medicine that stays out of the tube", "medicines"),
        }
    ),
]

_FACILITY = [
    _words("dressing_place", ("over", "under"), "gauze on top of or under the disc, by policy"),
    *_asks(
        {
            "feed_stop_plan": ("a written plan for when feeding stops", "if_feeding_stops"),
            "supplies_contact": ("a supply company is named", "contacts.supplies"),
            "visits_planned": ("a visit has a date", "visits"),
            "day_planned": ("something is done at a time of day", "feeding"),
            "shower_allowed_now": ("the shower date has come", "tube.placed"),
            "bath_allowed_now": ("the bath date has come", "tube.placed"),
            "swim_allowed_now": ("the swim date has come", "tube.placed"),
            "lifting_allowed_now": ("the lifting date has come", "tube.placed"),
            "first_dressing_off": ("the first dressing may come off", "tube.placed"),
            "eating_time_passed": ("the time without food and drink is over", "tube.placed"),
            "soreness_time_passed": ("soreness should be over", "tube.placed"),
        }
    ),
]

_SLOTS = {
    "text": {
        "patient_name": "the patient's name",
        "clinic_name": "the clinic",
        "clinic_hours": "its hours",
        "after_hours_name": "who answers out of hours",
        "supplies_name": "the supply company",
        "balloon_port_color": "colour of the balloon port",
        "first_visit_what": "the first visit",
        "first_visit_where": "its place",
        "feed_stop_plan_text": "the plan for when feeding stops, as ordered",
    },
    "phone": {
        "clinic_phone": "clinic, by day",
        "after_hours_phone": "out of hours",
        "emergency_phone": "emergency services",
        "supplies_phone": "supply company",
    },
    "phrase": {
        "gastric_port_name": "the gastric port in plain words",
        "jejunal_port_name": "the jejunal port in plain words",
        "feeding_port_name": "the port that feeding goes through",
        "medicine_port_name": "the port that medicines go through",
    },
    "size": {"tube_size": "outside width of the tube"},
    "length": {
        "mark_at_skin": "number on the tube at the skin",
        "button_length": "length of the button",
        "mark_moved": "how far is too far",
        "redness_limit": "how wide redness may be",
    },
    "length-range": {"disc_gap": "room between outer disc and skin"},
    "balloon-volume": {"balloon_fill": "water in the balloon"},
    "count": {
        "skin_button_count": "how many skin buttons",
        "syringe_feed_count": "syringe feedings a day",
        "gravity_feed_count": "gravity feedings a day",
    },
    "times": {"vomit_times": "how often vomiting is too often"},
    "volume": {
        "water_before_feed": "flush before a feeding",
        "water_after_feed": "flush after a feeding",
        "water_with_medicine": "flush around a medicine",
        "water_daily": "flush of a resting tube",
        "water_each": "flush every so many hours",
        "clog_water": "warm water for a clog",
        "fluid_limit_amount": "most fluid a day",
        "fluid_goal_amount": "goal a day",
        "syringe_amount": "one syringe feeding",
        "gravity_amount": "one gravity feeding",
        "pump_volume": "one pump run",
        "pour_at_most": "most formula to pour at once",
    },
    "dose-volume": {"small_dose": "below this a dose is small"},
    "rate": {"pump_rate": "speed of the pump"},
    "span": {
        "water_every": "time between flushes",
        "gravity_minutes": "time for one gravity feeding",
        "pump_hours": "length of one pump run",
        "refill_every": "time until the bag is filled again",
        "head_up_after": "time to stay up after a feeding",
        "hang_open": "hang time, poured formula",
        "hang_closed": "hang time, ready-to-hang formula",
        "hang_powder": "hang time, formula from powder",
        "hang_blended": "hang time, home-blended food",
        "opened_fridge": "opened formula in the refrigerator",
        "set_change": "time to a new bag and tubing",
        "syringe_change": "time to a new syringe",
        "feed_minutes_least": "least time for a syringe feeding",
        "balloon_check_every": "time between balloon checks",
        "balloon_recheck": "wait before the second balloon check",
        "clog_try": "how long to try with warm water",
        "vent_minutes": "how long to let air out",
        "no_answer": "how long to wait for an answer",
        "tube_out_within": "how soon a healed opening needs a tube",
        "stool_days": "days without stool",
        "bleed_press_minutes": "how long to press",
        "follow_up_within": "when the follow-up call comes",
        "water_boiled_until": "age until which water is boiled",
    },
    "angle-range": {"head_up_angle": "how far to raise head and chest"},
    "weight": {"lift_limit": "most weight to lift"},
    "temperature": {"fever": "fever from here"},
    "clock": {"pump_start": "start of the pump run", "pump_stop": "end of the pump run"},
    "date": {
        "placed_on": "day this tube went in",
        "opening_made_on": "day the opening was made",
        "bath_from": "bath from",
        "swim_from": "swimming from",
        "lift_until": "no heavy lifting until",
        "sore_until": "soreness expected until",
        "buttons_off_from": "skin buttons may fall off from",
        "buttons_off_by": "skin buttons should be off by",
        "healed_on": "opening counts as healed from",
        "change_from": "usual change of the tube, from",
        "change_by": "usual change of the tube, by",
    },
    "moment": {
        "red_flag_until": "end of the first days",
        "first_dressing_off_on": "first dressing off",
        "shower_from": "shower from",
        "eat_from": "food and drink from",
        "first_visit_when": "the first visit",
    },
}

FACTS: dict[str, Fact] = {
    fact.name: fact for fact in (*_TUBE, *_PERSON, *_FEEDING, *_WATER, *_MEDICINES, *_FACILITY)
}
SLOTS: dict[str, Fact] = {
    name: Fact(name, kind, means) for kind, names in _SLOTS.items() for name, means in names.items()
}

# What a rule about one medicine may ask besides the facts above; derived in facts/medicines.py.
MEDICINE_FACTS: dict[str, Fact] = {
    fact.name: fact
    for fact in (
        _words("medicine_through", ("none", *terms.PORTS), "port of this medicine"),
        _words(
            "medicine_form",
            (
                "liquid",
                "tablet",
                "capsule",
                "powder",
                "granules",
                "dispersible",
                "effervescent",
                "sublingual",
                "liquid-filled",
                "injection",
                "other",
            ),
            "how the medicine comes",
        ),
        *_asks(
            {
                "modified_release": ("coated or modified release, by word or name", ""),
                "never_crush_form": ("a form that is never crushed", ""),
                "dispersible_form": ("melts in the mouth or breaks up in water", ""),
                "opioid": ("an opioid pain medicine", ""),
                "hazardous": ("on the tripwire list of hazardous medicines", ""),
                "feed_interaction": ("known to interact with feeding", ""),
                "jejunum_fails": ("known to fail in the jejunum", ""),
                "levodopa": ("contains levodopa", ""),
                "bezoar_former": ("can form lumps with formula", ""),
                "sorbitol_liquid": ("a liquid that may hold sorbitol", ""),
                "polyethylene_glycol": ("the laxative polyethylene glycol 3350", ""),
                "stays_out": ("does not go through the tube", ""),
                "pharmacist_approved": ("the pharmacist approved crushing", ""),
                "small_dose_medicine": ("its dose is small", ""),
                "unit_doubtful": ("its dose has no unit that is printed", ""),
                "as_needed": ("no fixed times", ""),
                "reason_given": ("says what it is for", ""),
                "insulin_medicine": ("an insulin", ""),
                "crush_never": ("the order says never to crush it", ""),
                "prepare_given": ("the order says how to get it ready", ""),
            }
        ),
    )
}


# Words that the message of a rule about one medicine may hold; filled in judge.py.
MEDICINE_DETAILS = ("medicine", "form", "matched", "dose", "why", "what", "who")


@dataclass(frozen=True)
class CheckName:
    """A named check that a rule about the patient may ask; `details` are its message slots."""

    name: str
    means: str
    details: tuple[str, ...] = ()


# Check → what `true` means, and the words its message may hold. Each is a function of the same
# name in facts/checks_*.py, which tells the units, the sources and when the answer is unknown.
_CHECKS = {
    # holds around medicines
    "hold_costs_feed": (
        "medicines hold a pump run",
        ("held", "lost", "given", "rate", "medicines"),
    ),
    "hold_meets_feed": ("a feeding falls into the hold of a medicine", ("feed", "medicines")),
    # the tube
    "port_missing": ("something goes through a port that the tube lacks", ("what",)),
    "port_use_missing": ("something goes through a port that is not for it", ("what",)),
    "bowel_feed_unordered": ("fast or blended feeding into the bowel, no order", ("what",)),
    "bowel_feed_ordered": ("fast or blended feeding into the bowel, by order", ("what",)),
    "gj_stomach_feed_unordered": ("feeding into the gastric port of a GJ, no order", ("what",)),
    "gj_stomach_feed_ordered": ("feeding into the gastric port of a GJ, by order", ("what",)),
    "blended_narrow_tube": ("blended food through a narrow tube", ("size",)),
    "balloon_fill_missing": ("a balloon without its amount of water", ()),
    "balloon_fill_too_much": ("more water than any such balloon holds", ("fill",)),
    "balloon_fill_unusual": ("outside the usual amounts for the size", ("fill", "size", "usual")),
    "balloon_fill_stray": ("an amount of balloon water, and no balloon", ("fill", "held_by")),
    "mark_missing": ("a long tube without the mark at the skin", ()),
    "mark_stray": ("a button with a mark at the skin", ()),
    "button_length_missing": ("a button without its length", ()),
    "button_with_stitches": ("a button held by stitches", ()),
    "turn_or_push_refused": ("turning or pushing ordered where it harms", ("what", "why")),
    "put_back_refused": ("an order to put back a tube that is never put back", ("why",)),
    "put_back_policy_off": ("an order to put it back, facility says no", ()),
    "slow_healing_uncertain": ("counted as healed by days, slow healing", ("days", "conditions")),
    "healed_entered_early": ("entered as healed before the policy's days", ("days", "policy_days")),
    "position_not_checked": ("a new tube in an older opening, not checked", ("placed",)),
    "size_unusual": ("a size that this kind of tube seldom has", ("size", "usual")),
    "narrow_for_medicines": ("a tube too narrow for medicines", ("size",)),
    # people and dates
    "child_weight_missing": ("a child without weight", ()),
    "adult_weight_missing": ("an adult without weight", ()),
    "weight_implausible": ("a weight unlike the age", ("weight", "age", "usual", "hint")),
    "nobody_hands_on": ("nobody who is taught does the care", ()),
    "one_hands_on": ("one trained person where two are needed", ("who", "why")),
    "self_care_doubtful": ("does the own care with confusion or full care", ("why",)),
    "interpreter_missing": ("a learner's language has no interpreter", ("languages",)),
    "names_twice": ("one learner stands twice", ("names",)),
    "other_lines_not_recorded": ("other lines are not recorded", ()),
    "dates_do_not_fit": ("dates that cannot all be right", ("faults",)),
    "accepted_by_preparer": ("who prepared it also accepted", ("who", "what")),
    "text_never_taught": ("text that tells a family to do a known harm", ("words", "where")),
    "policy_overdue": ("settings past their review date", ("settings",)),
    "policy_not_in_force": ("the policy does not hold yet", ("holds_from",)),
    "policy_example": ("the example policy, approved by nobody", ("facility",)),
    # feeding
    "method_on_two_ports": ("one method goes through both ports", ("method",)),
    "daily_total_differs": ("the order's daily total is not what it adds up to", ("what",)),
    "feeds_at_one_time": ("two feedings at one time and port", ("what",)),
    "feeds_overlap": ("a feeding begins while another runs", ("what",)),
    "feeds_too_close": ("feedings closer than the policy wants", ("what", "apart")),
    "closed_hangs_too_long": ("a ready-to-hang container outlasts its time", ("what", "limit")),
    "blended_hangs_too_long": ("a blended feeding outlasts its time", ("what", "limit")),
    "bolus_large_adult": ("a large amount at one time, adult", ("what",)),
    "bolus_large_child": ("a large amount at one time for the weight", ("what",)),
    "rate_high": ("a pump rate above what is usual", ("what",)),
    "energy_unusual": ("energy per weight outside the usual", ("energy", "per_kg")),
    "label_doubtful": ("a formula label that no formula has", ("what",)),
    "powder_risk": ("powder formula and a high risk of infection", ("why",)),
    # water
    "water_over_limit": ("the plan may pass the most fluid a day", ("planned", "limit")),
    "limit_and_drinks": ("a limit, and drinks that nobody counted", ("planned", "limit", "left")),
    "water_below_goal": ("the plan is well below the goal", ("planned", "goal")),
    "water_above_goal": ("the plan is well above the goal", ("planned", "goal")),
    "water_goal_unclear": ("blended food hides whether it is met", ("planned", "goal")),
    "child_water_high": ("much water for a child", ("planned", "most", "figure", "weight")),
    "child_water_unclear": ("too young or too early born for the usual figure", ("planned",)),
    "child_water_figure": ("the usual figure can be shown", ("planned", "figure", "weight")),
    "adult_water_unusual": ("water per weight unusual", ("planned", "per_kg", "low", "high")),
    "flush_large_adult": ("a large flush, adult", ("what",)),
    "flush_large_child": ("a large flush, child", ("what", "most")),
    "medicine_flush_missing": ("medicines by tube, no flush ordered", ()),
    "feed_flush_missing": ("feeding without its flushes", ("what",)),
    "every_without_start": ("a flush every so many hours without a start", ()),
    "flush_never_given": ("an ordered flush that the plan never uses", ("what",)),
    "resting_port_unflushed": ("a resting port without a flush", ("ports",)),
    # the medicine list as a whole
    "medicines_in_jejunal_port": ("medicines into the jejunal port of a GJ", ("medicines",)),
    "medicine_twice": ("one medicine stands twice", ("medicines",)),
    "as_needed_unclear": ("as needed, and not when or how often", ("medicines",)),
    "small_dose_medicines": ("doses that a low-dose tip can change", ("medicines", "small")),
    "sorbitol_medicines": ("liquids that may loosen stools", ("medicines",)),
}
CHECKS: dict[str, CheckName] = {
    name: CheckName(name, means, details) for name, (means, details) in _CHECKS.items()
}
# The checks as yes-no facts, for the conditions of rules about the patient.
CHECK_FACTS: dict[str, Fact] = {
    check.name: Fact(check.name, "yes-no", check.means, YES_NO) for check in CHECKS.values()
}
