"""For whom a table has rows, as conditions; a slot says it where it is declared.

`tests/properties/test_legal.py` checks both against the values of generated patients.
"""

from __future__ import annotations

from collections.abc import Mapping

from plainleaf.vocabulary.conditions import ALWAYS, Condition, answers, some, yes

# Block → when its table has at least one row; every block of the content stands here.
BLOCK_GUARDS: Mapping[str, Condition] = {
    "contacts_box": ALWAYS,
    "contacts_more": yes("more_contacts"),
    "low_sugar_box": yes("low_sugar_plan"),
    "watch_calls": yes("watch_calls_us"),
    "watch_calls_now": yes("watch_calls_now"),
    "watch_table": yes("watched"),
    "port_table": ALWAYS,
    "tube_card": ALWAYS,
    "first_days_table": ALWAYS,
    "other_lines_list": yes("other_lines"),
    "feed_table": yes("fed_by_tube"),
    "flush_table": yes("flush_planned"),
    "medicine_table": some(yes("medicines_by_tube"), yes("other_route_medicines")),
    "sugar_scale": yes("dose_by_sugar"),
    "dose_steps": yes("dose_by_date"),
    "day_schedule": some(
        yes("day_planned"), yes("medicines_by_tube"), yes("other_route_medicines")
    ),
    "day_log": ALWAYS,
    "supplies_table": ALWAYS,
    "visits_table": yes("visits_planned"),
    "mouth_table": yes("mouth_listed"),
    "drain_table": answers("drain_into", "bag", "diaper"),
    "drain_log": ALWAYS,
    "vent_table": answers("vent_with", "syringe", "bag"),
    "flush_kept_back": yes("flush_kept_back"),
    "recipe_table": yes("recipe_formula"),
    "step_rules": yes("feed_steps"),
    "feeds_by_order": yes("feed_by_named_order"),
    "additives_table": yes("additives_given"),
}
