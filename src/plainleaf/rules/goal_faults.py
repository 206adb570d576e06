"""Holds what was decided about a water goal against the sums that follow from it.

`drink` that leaves a plan below the goal, or that nobody may swallow, and `later` with a date on
which the sums do not reach it, say something else than the file.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from plainleaf.facts.checks.water_sum_checks import planned_words, reaches_goal
from plainleaf.facts.derived import DayPlan, Facts
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import Decided
from plainleaf.rules.findings import Finding, finding_about_file

_GOAL = "water-below-goal"


def goal_faults(patient: Patient, facts: Facts) -> Iterator[Finding]:
    """A stop for each decision on a goal that the sums do not bear out.

    Args:
        patient: With what was decided in its keys, as the facts are.
    """
    settled = {(outcome.finding, outcome.do) for outcome in patient.outcomes}
    lines = [line for line in _lines(patient) if (_GOAL, line[1].do) in settled]
    laters = [decided for _, decided in lines if decided.do == "later"]
    for key, decided in lines:
        if decided.do == "later":
            yield from _not_reached(key, decided, facts)
        if decided.do == "drink" and "nothing" in patient.person.mouth:
            yield _not_by_mouth(key, decided)
        elif decided.do == "drink":
            yield from _left_below(key, decided, facts, laters)


def _lines(patient: Patient) -> Iterator[tuple[str, Decided]]:
    for number, block in enumerate(patient.settled):
        for place, decided in enumerate(block.decided):
            if decided.finding == _GOAL:
                yield f"settled[{number}].decided[{place}]", decided


def _not_by_mouth(key: str, decided: Decided) -> Finding:
    return finding_about_file(
        "decision-differs", "stop",
        f"{key} says drink {decided.fields['amount']}, and by_mouth says nothing.",
        "Have the dietitian settle it with later:, or the prescriber order the water by the tube.",
        (key, "patient.by_mouth"), _GOAL,
    )  # fmt: skip


def _not_reached(key: str, decided: Decided, facts: Facts) -> Iterator[Finding]:
    day = decided.fields["date"]
    assert isinstance(day, date)
    for plan in facts.plans:
        if (plan.last is None or plan.last >= day) and not reaches_goal(plan.emptiest):
            first = max(day, plan.first)
            yield _differs(key, f"later {day.isoformat()}", f"{_sum(plan)} on {first.isoformat()}")
            return


def _left_below(
    key: str, decided: Decided, facts: Facts, laters: list[Decided]
) -> Iterator[Finding]:
    for plan in facts.plans:
        if not reaches_goal(plan.emptiest) and not _covered(plan, facts, laters):
            says = f"{_sum(plan)} from {plan.first.isoformat()} on, which needs later: too"
            yield _differs(key, f"drink {decided.fields['amount']}", says)


def _covered(plan: DayPlan, facts: Facts, laters: list[Decided]) -> bool:
    """Whether `later` names a plan, or one with the same sums, which is one question with it."""
    same = {p.first.isoformat() for p in facts.plans if p.emptiest.water == plan.emptiest.water}
    return any(not line.about or same & set(line.about) for line in laters)


def _sum(plan: DayPlan) -> str:
    return f"{planned_words(plan.emptiest)} of a goal of {plan.emptiest.goal}"


def _differs(key: str, outcome: str, sums: str) -> Finding:
    return finding_about_file(
        "decision-differs", "stop",
        f"{key} says {outcome}, and the sums say {sums}.",
        "Have the dietitian settle it again; what was decided and the sums must say the same.",
        (key, "water.goal"), _GOAL,
    )  # fmt: skip
