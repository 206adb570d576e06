"""For whom a slot has a value and a table has rows: the words of the code, as conditions.

A guard is sure: where it holds there is a value. Where a slot may be empty for reasons that no
fact tells, its guard never holds and no text may use it. `tests/properties/test_legal.py` checks
both tables against the values of generated patients.
"""

from __future__ import annotations

from collections.abc import Mapping

from plainleaf.authoring.prove.logic import answers, every, never, no, some, yes
from plainleaf.vocabulary.conditions import ALWAYS, Condition

NEVER = never(ALWAYS)

_ONE_PUMP = every(yes("pump_feeds"), no("pump_plans_many"))
# What is poured has a hang time; a ready-to-hang bag is not poured.
_ONE_POURED = every(_ONE_PUMP, no("closed_formula"))
_CHANGED = every(
    answers("held_by", "balloon", "bumper"),
    answers("tube_kind", "gastrostomy", "gastrojejunostomy"),
)

# Only for some; every other slot has a value for everybody.
SLOT_GUARDS: Mapping[str, Condition] = {
    "clinic_hours": NEVER,
    "balloon_port_color": NEVER,
    "supplies_name": yes("supplies_contact"),
    "supplies_phone": yes("supplies_contact"),
    "feed_stop_plan_text": yes("feed_stop_plan"),
    "first_visit_what": yes("visits_planned"),
    "first_visit_where": yes("visits_planned"),
    "first_visit_when": yes("visits_planned"),
    "gastric_port_name": yes("gastric_port"),
    "jejunal_port_name": yes("jejunal_port"),
    "feeding_port_name": some(
        every(yes("gastric_feeding"), no("jejunal_feeding")),
        every(no("gastric_feeding"), yes("jejunal_feeding")),
    ),
    "medicine_port_name": some(
        every(yes("gastric_medicines"), no("jejunal_medicines")),
        every(no("gastric_medicines"), yes("jejunal_medicines")),
    ),
    "mark_at_skin": yes("mark_known"),
    "button_length": yes("length_known"),
    "balloon_fill": answers("held_by", "balloon"),
    "skin_button_count": yes("skin_buttons"),
    "buttons_off_from": yes("skin_buttons"),
    "buttons_off_by": yes("skin_buttons"),
    "change_from": _CHANGED,
    "change_by": _CHANGED,
    "syringe_feed_count": yes("syringe_feeds"),
    "gravity_feed_count": yes("gravity_feeds"),
    "syringe_amount": every(yes("syringe_feeds"), no("syringe_amounts_differ")),
    "gravity_amount": every(yes("gravity_feeds"), no("gravity_amounts_differ")),
    "gravity_minutes": every(yes("gravity_feeds"), no("gravity_amounts_differ")),
    "pump_volume": _ONE_PUMP,
    "pump_rate": _ONE_PUMP,
    "pump_hours": _ONE_PUMP,
    "pump_start": _ONE_PUMP,
    "pump_stop": _ONE_PUMP,
    "pour_at_most": _ONE_POURED,
    "refill_every": _ONE_POURED,
    "water_before_feed": yes("water_before_feed_ordered"),
    "water_after_feed": yes("water_after_feed_ordered"),
    # medicine-flush-missing is a stop that nobody may accept.
    "water_with_medicine": yes("medicines_by_tube"),
    "water_daily": yes("water_daily_ordered"),
    "water_each": yes("water_every_ordered"),
    "water_every": yes("water_every_ordered"),
    "clog_water": yes("unclog_amount_known"),
    "fluid_limit_amount": yes("fluid_limit"),
    "fluid_goal_amount": yes("fluid_goal"),
}

# Block → when its table has at least one row; every block of the content stands here.
BLOCK_GUARDS: Mapping[str, Condition] = {
    "contacts_box": ALWAYS,
    "port_table": ALWAYS,
    "tube_card": ALWAYS,
    "first_days_table": ALWAYS,
    "other_lines_list": yes("other_lines"),
    "feed_table": yes("fed_by_tube"),
    "flush_table": yes("flush_planned"),
    "medicine_table": some(yes("medicines_by_tube"), yes("other_route_medicines")),
    "day_schedule": yes("day_planned"),
    "day_log": ALWAYS,
    "supplies_table": ALWAYS,
    "visits_table": yes("visits_planned"),
}
