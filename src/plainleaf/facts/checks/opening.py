"""Checks on the opening: turning, putting back, healing, and whether the place was checked.

Each function is a check of `vocabulary.CHECKS`, by name. None of them is ever unknown.
"""

from __future__ import annotations

from plainleaf.facts.checks.context import Case, joined, result
from plainleaf.facts.record import Check
from plainleaf.facts.tube import healed_after, opened_at
from plainleaf.vocabulary import terms


def turn_or_push_refused(case: Case) -> Check:
    """Turning or pushing in, ordered on anything but a healed gastrostomy held by a bumper.

    Source: rows rotate-g, push-g, rotate-never, h-bbs, h-pylorus.
    """
    tube = case.patient.tube
    orders = {"turn_daily": tube.turn_daily, "push_in_weekly": tube.push_in_weekly}
    ordered = [key for key, yes in orders.items() if yes]
    reasons = [
        words
        for words, holds in (
            (f"the tube is a {tube.kind}", tube.kind != "gastrostomy"),
            (f"it is held by {_article(tube.held_by)}", tube.held_by != "bumper"),
            ("the opening has not healed", case.stage != "mature"),
        )
        if holds
    ]
    names = {"turn_daily": "turning it each day", "push_in_weekly": "pushing it in each week"}
    return result(
        bool(ordered and reasons),
        [f"tube.{key}" for key in ordered],
        what=joined(names[key] for key in ordered),
        why=joined(reasons),
    )


def _article(held_by: str) -> str:
    return held_by if held_by == "stitches" else f"a {held_by}"


def _never_put_back(case: Case) -> list[str]:
    tube = case.patient.tube
    return [
        words
        for words, holds in (
            (f"the tube is a {tube.kind}", tube.kind != "gastrostomy"),
            (f"it is held by {_article(tube.held_by)}", tube.held_by != "balloon"),
            ("the opening has not healed", case.stage != "mature"),
        )
        if holds
    ]


def put_back_refused(case: Case) -> Check:
    """`may_put_back` on anything but a healed balloon gastrostomy (out-gj-j, out-new, h-force)."""
    reasons = _never_put_back(case)
    refused = case.patient.tube.may_put_back is not None and bool(reasons)
    return result(refused, ["tube.may_put_back"], why=joined(reasons))


def put_back_policy_off(case: Case) -> Check:
    """`may_put_back` on a healed balloon gastrostomy where the facility does not teach it."""
    ordered = case.patient.tube.may_put_back is not None and not _never_put_back(case)
    return result(ordered and not case.policy.flag("tube_back_at_home"), ["tube.may_put_back"])


def _opening_days(case: Case) -> int:
    """Whole days since the opening was made (row o-age: counted by calendar day)."""
    return (case.patient.prepared_on.date() - opened_at(case.patient.tube).date()).days


def slow_healing_uncertain(case: Case) -> Check:
    """Counted as healed by days alone, with a condition that slows healing (tract-delay)."""
    slow = sorted(case.patient.person.conditions & terms.SLOW_HEALING)
    by_days = case.stage == "mature" and case.patient.tube.opening_healed is None
    return result(
        by_days and bool(slow),
        ["patient.conditions", "tube.opening_healed"],
        days=str(_opening_days(case)),
        conditions=joined(slow),
    )


def healed_entered_early(case: Case) -> Check:
    """`opening_healed` is written before the policy's days have passed (tract-safe-rule)."""
    needed = healed_after(case.patient, case.policy, child=case.child)
    days = _opening_days(case)
    return result(
        case.patient.tube.opening_healed is not None and days < needed,
        ["tube.opening_healed"],
        days=str(days),
        policy_days=str(needed),
    )


def position_not_checked(case: Case) -> Check:
    """A tube put into an older opening without `position_checked` (h-psnet, h-xed, confirm)."""
    tube = case.patient.tube
    replaced = opened_at(tube) < tube.placed
    placed = tube.placed.strftime("%Y-%m-%d")
    return result(
        replaced and tube.position_checked is None, ["tube.position_checked"], placed=placed
    )


OPENING_CHECKS = (
    turn_or_push_refused,
    put_back_refused,
    put_back_policy_off,
    slow_healing_uncertain,
    healed_entered_early,
    position_not_checked,
)
