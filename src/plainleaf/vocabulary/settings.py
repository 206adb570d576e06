"""The closed list of facility settings: what each may hold and its bounds.

Ranges are what published pages and practice show (rows of `teaching/sources/facts.yaml` named
beside each group); a value outside is refused by `policy.py`.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Setting:
    """What a setting may hold.

    `kind` is a quantity kind, `range KIND`, `angles`, `count`, `yes-no`, `clock`, `zone`,
    `dead space` or `words`.
    `low` and `high` bound it, written with unit. `whole_days` refuses a part of a day. A setting
    that is not `required` may be left out; what asks it then says that it is not known.
    """

    kind: str
    low: str = ""
    high: str = ""
    words: tuple[str, ...] = ()
    whole_days: bool = False
    required: bool = True


def _span(low: str, high: str) -> Setting:
    return Setting("time span", low, high)


def _days(low: str, high: str) -> Setting:
    return Setting("time span", low, high, whole_days=True)


# Setting → kind and bounds. Bounds: the row in brackets, else "common practice, no source".
SETTINGS: dict[str, Setting] = {
    "paper": Setting("words", words=("letter", "A4")),
    # two sides turned over the long edge, the edge that is bound or punched (PR-04, PR-06, PR-07)
    "sides": Setting("words", words=("one", "two")),
    "binding_margin": Setting("length", "1.5 cm", "4 cm"),
    "region": Setting("words", words=("US",)),
    "staff_language": Setting("words", words=("en",)),
    "day_starts": Setting("clock"),
    "time_zone": Setting("zone"),
    # age of the opening (redflag72, tract-safe-rule, tract-mature-peg)
    "red_flag_time": _span("48 h", "120 h"),
    "healed_after_adult": _days("42 d", "84 d"),
    "healed_after_child": _days("42 d", "84 d"),
    # first days (dress-remove, shower, bath-swim, lift, pain-normal, cp-first-nothing)
    "first_dressing_stays": _span("12 h", "72 h"),
    "shower_after": _span("12 h", "7 d"),
    "bath_after": _span("48 h", "42 d"),
    "swim_after_adult": _span("14 d", "84 d"),
    "swim_after_child": _span("14 d", "84 d"),
    "eat_after": _span("1 h", "48 h"),
    "sore_for": _span("1 d", "7 d"),
    "lift_after": _span("7 d", "42 d"),
    "lift_limit": Setting("weight", "2 kg", "10 kg"),
    # site (gauze-where, mark-check, red)
    "dressing_place": Setting("words", words=("over", "under")),
    "mark_moved": Setting("length", "0.5 cm", "2 cm"),
    "redness_limit": Setting("length", "1 cm", "3 cm"),
    # balloon and change (bal-check, bal-check-start, bal-change, bump-change, gj-life)
    "balloon_check_at_home": Setting("yes-no"),
    "balloon_check_after": _span("14 d", "90 d"),
    "balloon_check_every": _days("1 d", "30 d"),
    "balloon_recheck": _span("5 min", "60 min"),
    "balloon_change": Setting("range time span", "60 d", "200 d"),
    "bumper_change": Setting("range time span", "150 d", "800 d"),
    "gj_change": Setting("range time span", "45 d", "200 d"),
    "tube_back_at_home": Setting("yes-no"),
    "tube_out_within": _span("30 min", "4 h"),
    # water (fl-adult-cont, fl-med-adult, o-nmed, water-home, water-sterile, water-infant)
    "medicine_flushes": Setting("words", words=("before-between-after", "before-and-after-each")),
    "flush_by": Setting("words", words=("gravity", "plunger")),
    "water_for_most": Setting("words", words=("tap", "sterile", "boiled")),
    "water_for_weak_immunity": Setting("words", words=("tap", "sterile", "boiled")),
    "water_for_jejunum": Setting("words", words=("tap", "sterile", "boiled")),
    "water_for_infants": Setting("words", words=("sterile", "boiled")),
    "infant_water_until": _days("60 d", "400 d"),
    "resting_flush_at": Setting("clock"),
    # what a tube and its extension set hold, by build and size, from the label (dead-space)
    "dead_space": Setting("dead space", required=False),
    # feeding (hob-angle, hob-after, hang-open, hang-closed, hang-powder, hang-blend, set-24)
    "head_up_angle": Setting("angles", "30", "60"),
    "head_up_after": _span("30 min", "2 h"),
    "hang_open": _span("4 h", "12 h"),
    "hang_closed": _span("12 h", "48 h"),
    "hang_powder": _span("2 h", "4 h"),
    "hang_blended": _span("1 h", "2 h"),
    "opened_fridge": _span("12 h", "48 h"),
    "set_change": _span("12 h", "24 h"),
    "syringe_change": _span("1 d", "14 d"),
    "feed_minutes_least": _span("5 min", "60 min"),
    "feeds_apart": _span("1 h", "4 h"),
    # problems (clog-step1, clog-stop, cp-vent, tier-number, constip, vomit, bleed-press)
    "clog_water_adult": Setting("volume", "15 mL", "60 mL"),
    "clog_try": _span("15 min", "60 min"),
    "vent_minutes": _span("1 min", "30 min"),
    "no_answer": _span("5 min", "60 min"),
    "stool_days": _span("1 d", "5 d"),
    "vomit_times": Setting("count", "1", "4"),
    "bleed_press_minutes": _span("5 min", "20 min"),
    "fever": Setting("temperature", "38 °C", "38.3 °C"),
    # people (strang, small infants, h-ldt, doc-two, call-23)
    "tangle_below_age": _days("365 d", "2922 d"),
    "small_dose": Setting("volume", "1 mL", "5 mL"),
    "follow_up_within": _span("24 h", "7 d"),
    "plan_review_after": _days("14 d", "400 d"),
    "supplies_reserve": _days("0 d", "14 d"),
    # teach-back and the call after it (TB-10 of the print reference: policy; call-23)
    "tries_before_plan": Setting("count", "2", "4"),
    "follow_up_call_from": _span("24 h", "72 h"),
    # fluid checks for the team, never an order (ad-nice, ad-restrict, ped-hs, h-na98)
    "adult_fluid_low": Setting("volume", "20 mL", "30 mL"),
    "adult_fluid_high": Setting("volume", "30 mL", "45 mL"),
    "child_water_most": Setting("share", "100 %", "150 %"),
}  # fmt: skip
