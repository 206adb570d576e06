"""Which settings and patient-file keys stand behind facts, slots, tables and totals.

A test changes every setting and proves that nothing else of a packet changes with it.
"""

from __future__ import annotations

from collections.abc import Mapping

from plainleaf.facts import FACTS, SLOTS

_STAGE = ("red_flag_time", "healed_after_adult", "healed_after_child")
_SWIM = ("swim_after_adult", "swim_after_child")
# Fact → settings that decide it, besides the patient file.
_FACT_SETTINGS: dict[str, tuple[str, ...]] = {
    "opening_stage": _STAGE,
    "balloon_check_at_home": ("balloon_check_at_home", "balloon_check_after", *_STAGE),
    "tube_back_at_home": ("tube_back_at_home", *_STAGE),
    "spare_tube_at_home": _STAGE,
    "age_group": ("tangle_below_age",),
    "tangle_risk": ("tangle_below_age",),
    "interpreter_needed": ("staff_language",),
    "flush_by": ("flush_by",),
    "water_kind": (
        "water_for_most",
        "water_for_weak_immunity",
        "water_for_jejunum",
        "water_for_infants",
        "infant_water_until",
    ),
    "small_doses": ("small_dose",),
    "dressing_place": ("dressing_place",),
    "shower_allowed_now": ("shower_after",),
    "bath_allowed_now": ("bath_after",),
    "swim_allowed_now": _SWIM,
    "lifting_allowed_now": ("lift_after",),
    "first_dressing_off": ("first_dressing_stays",),
    "eating_time_passed": ("eat_after",),
    "soreness_time_passed": ("sore_for",),
}
_CHANGE = ("balloon_change", "bumper_change", "gj_change")
_HANG = ("hang_open", "hang_powder", "hang_closed", "hang_blended")
# Slot → settings that give it; a slot named like a setting prints that setting.
_SLOT_SETTINGS: dict[str, tuple[str, ...]] = {
    "red_flag_until": ("red_flag_time",),
    "first_dressing_off_on": ("first_dressing_stays",),
    "shower_from": ("shower_after",),
    "bath_from": ("bath_after",),
    "swim_from": _SWIM,
    "lift_until": ("lift_after",),
    "eat_from": ("eat_after",),
    "sore_until": ("sore_for",),
    "buttons_off_from": ("buttons_off",),
    "buttons_off_by": ("buttons_off",),
    "healed_on": ("healed_after_adult", "healed_after_child"),
    "change_from": _CHANGE,
    "change_by": _CHANGE,
    "clog_water": ("clog_water_adult",),
    "water_boiled_until": ("infant_water_until",),
    "pour_at_most": _HANG,
    "refill_every": _HANG,
}
_DATES = (
    "eat_after", "first_dressing_stays", "shower_after", "sore_for", "bath_after", *_SWIM,
    "lift_after", "buttons_off",
)  # fmt: skip
_DAY = ("day_starts", "medicine_flushes", "resting_flush_at")
# Generated table → settings that change its rows.
_BLOCK_SETTINGS: dict[str, tuple[str, ...]] = {
    "first_days_table": _DATES,
    "feed_table": ("day_starts",),
    "flush_table": _DAY,
    "day_schedule": _DAY,
    "day_log": _DAY,
    "supplies_table": ("set_change", "syringe_change", "supplies_reserve"),
}
# Picture → settings that it shows.
_PICTURE_SETTINGS: dict[str, tuple[str, ...]] = {
    "sitting": ("head_up_angle",),
    "hang-clock": _HANG,
    "skin-look": ("redness_limit",),
    "day-strip": _DAY,
    "flush-mark": (*_DAY, "flush_by"),
}
# Setting → the answers of a patient to whom it may speak; any answer where it is not named.
_SPEAKS_TO: dict[str, tuple[str, tuple[str, ...]]] = {
    "gj_change": ("tube_kind", ("gastrojejunostomy",)),
    "balloon_change": ("held_by", ("balloon",)),
    "bumper_change": ("held_by", ("bumper",)),
    "healed_after_adult": ("child", ("false",)),
    "healed_after_child": ("child", ("true",)),
    "swim_after_adult": ("child", ("false",)),
    "swim_after_child": ("child", ("true",)),
    "clog_water_adult": ("child", ("false",)),
    "hang_open": ("open_formula", ("true",)),
    "hang_closed": ("closed_formula", ("true",)),
    "hang_powder": ("powder_formula", ("true",)),
    "hang_blended": ("blended", ("true",)),
}
# Settings that change the day's totals.
TOTALS = ("medicine_flushes",)
# Settings that the findings look at; the words of the handout do not change with them alone.
FINDINGS = (
    "adult_fluid_low", "adult_fluid_high", "child_water_most", "feeds_apart", "hang_closed",
    "hang_blended", "small_dose", "staff_language", "tube_back_at_home", *_STAGE,
)  # fmt: skip
# Settings that only the reminders for the phone follow.
REMINDERS = ("time_zone", "plan_review_after")
# Patient-file keys behind slots, and behind facts that do not name theirs.
_KEYS: dict[str, tuple[str, ...]] = {
    "pump_pattern": ("feeding",),
    "pump_through": ("feeding",),
    "syringe_through": ("feeding",),
    "gravity_through": ("feeding",),
    "water_kind": ("patient.born", "patient.conditions", "tube.ports"),
    "patient_name": ("patient.name",),
    "clinic_name": ("contacts.clinic.name",),
    "clinic_hours": ("contacts.clinic.hours",),
    "clinic_phone": ("contacts.clinic.phone",),
    "after_hours_name": ("contacts.after_hours.name",),
    "after_hours_phone": ("contacts.after_hours.phone",),
    "emergency_phone": ("contacts.emergency.phone",),
    "supplies_name": ("contacts.supplies.name",),
    "supplies_phone": ("contacts.supplies.phone",),
    "feed_stop_plan_text": ("if_feeding_stops",),
    "balloon_port_color": ("tube.balloon_port_color",),
    "balloon_fill": ("tube.balloon_fill",),
    "tube_size": ("tube.size",),
    "button_length": ("tube.length",),
    "mark_at_skin": ("tube.mark_at_skin",),
    "skin_button_count": ("tube.skin_buttons",),
    "placed_on": ("tube.placed",),
    "opening_made_on": ("tube.placed", "tube.opening_made"),
    "water_before_feed": ("water.before_feed",),
    "water_after_feed": ("water.after_feed",),
    "water_with_medicine": ("water.medicine",),
    "water_daily": ("water.daily",),
    "water_each": ("water.each",),
    "water_every": ("water.every",),
    "clog_water": ("water.unclog",),
    "fluid_limit_amount": ("water.limit",),
    "fluid_goal_amount": ("water.goal",),
}
_KEYS |= dict.fromkeys(
    (
        "gastric_port_name",
        "jejunal_port_name",
        "feeding_port_name",
        "medicine_port_name",
    ),
    ("tube.ports",),
)
_KEYS |= dict.fromkeys(
    (
        "syringe_amount", "gravity_amount", "syringe_feed_count", "gravity_feed_count",
        "gravity_minutes", "pump_rate", "pump_start", "pump_stop", "pump_hours", "pump_volume",
        "pour_at_most", "refill_every",
    ),
    ("feeding",),
)  # fmt: skip
_KEYS |= dict.fromkeys(("first_visit_what", "first_visit_when", "first_visit_where"), ("visits",))
_KEYS |= dict.fromkeys(
    (
        "red_flag_until", "healed_on", "first_dressing_off_on", "shower_from", "bath_from",
        "swim_from", "lift_until", "eat_from", "sore_until", "buttons_off_from", "buttons_off_by",
        "change_from", "change_by",
    ),
    ("tube.placed",),
)  # fmt: skip


def settings_of_fact(fact: str) -> tuple[str, ...]:
    """Settings that decide a fact."""
    return _FACT_SETTINGS.get(fact, ())


def settings_of_slot(slot: str, known: frozenset[str]) -> tuple[str, ...]:
    """Settings that give a slot its value.

    Args:
        known: The names of all settings.
    """
    return _SLOT_SETTINGS.get(slot, (slot,) if slot in known else ())


def settings_of_block(block: str) -> tuple[str, ...]:
    """Settings that change the rows of a generated table."""
    return _BLOCK_SETTINGS.get(block, ())


def settings_of_picture(picture: str) -> tuple[str, ...]:
    """Settings that a picture shows."""
    return _PICTURE_SETTINGS.get(picture, ())


def speaks_to(setting: str, answers: Mapping[str, str | None]) -> bool:
    """Whether a setting can matter to a patient; what is not known does not rule it out."""
    fact, wanted = _SPEAKS_TO.get(setting, ("", ()))
    answer = answers.get(fact)
    return answer is None or answer in wanted


def keys_behind(name: str) -> tuple[str, ...]:
    """Patient-file keys behind a fact or slot; empty where a setting alone decides."""
    if name in _KEYS:
        return _KEYS[name]
    fact = FACTS.get(name) or SLOTS.get(name)
    return (fact.needs,) if fact is not None and fact.needs else ()
