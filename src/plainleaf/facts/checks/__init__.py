"""Named checks that the safety rules ask: sums, ranges and gaps, each with its words and source.

Each is a function under `@check`, and the files of this folder are all there are. A check answers
true, false, or None where a value it needs is missing; the missing value then has a check of its
own (a weight: `child_weight_missing`, `adult_weight_missing`).
"""

from __future__ import annotations

from plainleaf.facts.checks import (
    call_checks,
    course_checks,
    dose_checks,
    duty_checks,
    feeding_checks,
    file_checks,
    gap_checks,
    hang_checks,
    hold_checks,
    medicine_checks,
    opening_checks,
    order_checks,
    people_checks,
    port_checks,
    recipe_checks,
    sugar_checks,
    tube_checks,
    water_checks,
    water_notes,
    water_sum_checks,
)
from plainleaf.facts.checks.outcome import NamedCheck

_FILES = (
    tube_checks,
    opening_checks,
    people_checks,
    file_checks,
    feeding_checks,
    hang_checks,
    hold_checks,
    gap_checks,
    water_sum_checks,
    water_checks,
    water_notes,
    medicine_checks,
    sugar_checks,
    course_checks,
    dose_checks,
    port_checks,
    recipe_checks,
    duty_checks,
    call_checks,
    order_checks,
)
# Every check, by file and in its order there.
CHECKS: dict[str, NamedCheck] = {
    entry.name: entry
    for file in _FILES
    for entry in vars(file).values()
    if isinstance(entry, NamedCheck)
}

__all__ = ["CHECKS"]
