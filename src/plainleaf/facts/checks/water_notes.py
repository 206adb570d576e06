"""Notes on what the sums of water hold and what they leave out."""

from __future__ import annotations

from plainleaf.facts.checks.outcome import amount, check_of_2
from plainleaf.facts.checks.water_sum_checks import each_plan
from plainleaf.facts.derived import Checked, DayPlan
from plainleaf.facts.given import Given


@check_of_2("mixed")
def mixing_water_counted(given: Given) -> Checked:
    """Water that medicines and additives are mixed in is in the sums."""

    def words_of(plan: DayPlan) -> dict[str, str] | None:
        mixing = plan.fullest.mixing
        return {"mixed": amount(mixing)} if mixing.value else None

    return each_plan(given, ("medicines", "additives"), words_of)


@check_of_2("drained")
def water_drained_not_counted(given: Given) -> Checked:
    """Water into a port while it drains is in no sum of what is taken in."""

    def words_of(plan: DayPlan) -> dict[str, str] | None:
        drained = plan.fullest.drained
        return {"drained": amount(drained)} if drained.value else None

    return each_plan(given, ("water", "drainage"), words_of)
