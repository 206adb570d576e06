"""Checks on the opening: turning, putting back, healing, and whether the place was checked.

None of them is ever unknown.
"""

from __future__ import annotations

from plainleaf.facts.checks.outcome import check, check_of_2, joined, result
from plainleaf.facts.derived import Checked
from plainleaf.facts.given import Given
from plainleaf.facts.opening import healed_after, opened_at
from plainleaf.vocabulary import terms


@check("what", "why")
def turn_or_push_refused(given: Given) -> Checked:
    """Turning or pushing in, ordered on anything but a healed gastrostomy held by a bumper.

    Source: rows rotate-g, push-g, rotate-never, h-bbs, h-pylorus.
    """
    tube = given.tube
    orders = {"turn_daily": tube.turn_daily, "push_in_weekly": tube.push_in_weekly}
    ordered = [key for key, yes in orders.items() if yes]
    reasons = [
        words
        for words, holds in (
            (f"the tube is a {tube.kind}", tube.kind != "gastrostomy"),
            (f"it is held by {_article(tube.held_by)}", tube.held_by != "bumper"),
            ("the opening has not healed", given.stage != "mature"),
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


def _no_healed_balloon(given: Given) -> list[str]:
    """Why this is no tube with a balloon in a healed opening to the stomach."""
    tube = given.tube
    return [
        words
        for words, holds in (
            (f"the tube is a {tube.kind}", tube.kind != "gastrostomy"),
            (f"it is held by {_article(tube.held_by)}", tube.held_by != "balloon"),
            ("the opening has not healed", given.stage != "mature"),
        )
        if holds
    ]


def _never_put_back(given: Given) -> list[str]:
    first = given.opened >= given.tube.placed
    return [
        *_no_healed_balloon(given),
        *(["it is the first tube of this opening"] if first else []),
    ]


@check("why")
def put_back_refused(given: Given) -> Checked:
    """`may_put_back` on anything but a healed balloon gastrostomy (out-gj-j, out-new, h-force)."""
    reasons = _never_put_back(given)
    refused = given.tube.may_put_back is not None and bool(reasons)
    return result(refused, ["tube.may_put_back"], why=joined(reasons))


@check()
def put_back_policy_off(given: Given) -> Checked:
    """`may_put_back` on a healed balloon gastrostomy where the facility does not teach it."""
    ordered = given.tube.may_put_back is not None and not _never_put_back(given)
    return result(ordered and not given.policy.flag("tube_back_at_home"), ["tube.may_put_back"])


def _opening_days(given: Given) -> int:
    """Whole days since the opening was made (row o-age: counted by calendar day)."""
    return (given.day - opened_at(given.tube).date()).days


@check("days", "conditions")
def slow_healing_uncertain(given: Given) -> Checked:
    """Counted as healed by days alone, with a condition that slows healing (tract-delay)."""
    slow = sorted(given.person.conditions & terms.SLOW_HEALING)
    by_days = given.stage == "mature" and given.tube.opening_healed is None
    return result(
        by_days and bool(slow),
        ["patient.conditions", "tube.opening_healed"],
        days=str(_opening_days(given)),
        conditions=joined(slow),
    )


@check("days", "policy_days")
def healed_entered_early(given: Given) -> Checked:
    """`opening_healed` is written before the policy's days have passed (tract-safe-rule)."""
    needed = healed_after(given.patient, given.policy, child=given.child)
    days = _opening_days(given)
    return result(
        given.tube.opening_healed is not None and days < needed,
        ["tube.opening_healed"],
        days=str(days),
        policy_days=str(needed),
    )


@check("placed")
def position_not_checked(given: Given) -> Checked:
    """A tube put into an older opening without `position_checked` (h-psnet, h-xed, confirm)."""
    tube = given.tube
    replaced = opened_at(tube) < tube.placed
    placed = tube.placed.strftime("%Y-%m-%d")
    return result(
        replaced and tube.position_checked is None, ["tube.position_checked"], placed=placed
    )


@check_of_2("who", "why")
def balloon_check_refused(given: Given) -> Checked:
    """A balloon check by order, on a tube whose balloon is not checked at home, or that has none.

    Source: rows bal-check, h-jballoon, j-balloon-danger.
    """
    who = (given.patient.overrides or {}).get("balloon_check_by")
    tube = given.tube
    none = tube.held_by != "balloon"
    reasons = [f"it is held by {_article(tube.held_by)}"] if none else _no_healed_balloon(given)
    refused = who is not None and bool(reasons) and (none or who in ("family", "staff"))
    key = "overrides.balloon_check_by"
    return result(refused, [key], who=str(who), why=joined(reasons))
