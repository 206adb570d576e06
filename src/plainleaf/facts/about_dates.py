"""Facts and values that are dates: what may be done from when, and what is still to come."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime

from plainleaf.facts.declare import Asked, Constraint, Slot, slot, whenever, yes_no
from plainleaf.facts.derived import Phrase, SlotValue, Value
from plainleaf.facts.given import Given
from plainleaf.facts.opening import span
from plainleaf.facts.timeline import (
    MOMENTS,
    change_window,
    next_visit,
    ordered_day,
)
from plainleaf.facts.visit_words import visit_what, visit_when, visit_where
from plainleaf.inputs.patient import Visit
from plainleaf.inputs.policy import Policy, days
from plainleaf.vocabulary.conditions import Condition, answers, every, never, no, yes


def _facility_times(policy: Policy) -> Iterator[Constraint]:
    """Which stages of the opening can be sore."""
    why = "the facility's times"
    sore, flag = span(policy.quantity("sore_for")), span(policy.quantity("red_flag_time"))
    first, passed = answers("opening_stage", "first-72-hours"), yes("soreness_time_passed")
    if sore <= flag:
        yield whenever(never(first), passed, why)
    if sore > flag:
        yield whenever(first, never(passed), why)
    if sore.days >= days(policy.quantity("healed_after_adult")):
        new_adult = every(answers("opening_stage", "new"), no("child"), no("counts_as_new"))
        yield whenever(new_adult, never(passed), why)


# Date → what a file with it shows besides.
_SHOWN_WITH: dict[str, dict[str, str]] = {
    "stitches_out": {"tube.held_after_stitches": "outside holder"},
}


def _dated(key: str, name: str, means: str, *needs: Condition) -> Asked[Given]:
    """Whether an order says the day of something, as a date or as a visit."""
    return yes_no(
        name, means, lambda g: _has(g, key) and ordered_day(g, key) is not None,
        needs=f"dates.{key}", only_2=True,
        shown={**_SHOWN_WITH.get(key, {}), f"dates.{key}": "{day}"},
        legal=tuple(
            whenever(yes(name), there, "only what is there comes off or is checked")
            for there in needs
        ),
    )  # fmt: skip


def _has(given: Given, key: str) -> bool:
    """Whether this tube has what comes off, comes out or is changed on a day."""
    tube = given.tube
    there = {
        "skin_buttons_off": tube.skin_buttons > 0,
        "stitches_out": tube.held_by == "stitches",
        "balloon_check_from": tube.held_by == "balloon",
    }
    return there.get(key, True)


def _asked_for(finding: str, name: str, means: str, needs: Condition, dated: str) -> Asked[Given]:
    """Whether it was decided that the family asks when and by whom."""
    return yes_no(
        name, means, lambda g: bool(g.outcomes_of(finding, "leave-open")),
        only_2=True, shown_outcome=(finding, "leave-open", {}),
        legal=(whenever(yes(name), every(needs, no(dated)), "what the question is about"),),
    )  # fmt: skip


def _has_come(
    name: str,
    means: str,
    moment: str,
    legal_at: Callable[[Policy], Iterator[Constraint]] = lambda _: iter(()),
) -> Asked[Given]:
    return yes_no(
        name, means, lambda g: MOMENTS[moment](g) <= g.prepared,
        needs="tube.placed", plain="true", legal_at=legal_at,
    )  # fmt: skip


_BUTTONS, _STITCHES = yes("skin_buttons"), answers("held_by", "stitches")

DATE_FACTS: tuple[Asked[Given], ...] = (
    yes_no(
        "visits_planned", "a visit has a date", lambda g: next_visit(g) is not None, needs="visits",
        shown={"visits": [{"what": "Tube check", "when": "{visit}", "where": "Tube clinic"}]},
    ),
    _has_come("shower_allowed_now", "the shower date has come", "shower_from"),
    _has_come("bath_allowed_now", "the bath date has come", "bath_from"),
    _has_come("swim_allowed_now", "the swim date has come", "swim_from"),
    _has_come("lifting_allowed_now", "the lifting date has come", "lift_until"),
    _has_come("first_dressing_off", "the first dressing may come off", "first_dressing_off_on"),
    _has_come("eating_time_passed", "the time without food and drink is over", "eat_from"),
    _dated("skin_buttons_off", "buttons_off_dated", "an order says when skin buttons come off",
           _BUTTONS),
    _asked_for("skin-buttons-no-date", "buttons_off_asked",
               "the family asks when the skin buttons come off", _BUTTONS, "buttons_off_dated"),
    _dated("stitches_out", "stitches_out_dated", "an order says when the stitches come out",
           _STITCHES),
    _dated("tube_change", "tube_change_dated", "an order says when the tube is changed"),
    _dated("balloon_check_from", "balloon_first_dated", "an order says when the balloon is first "
           "checked", answers("held_by", "balloon")),
    _dated("shower_from", "shower_ordered", "an order says from when a shower is allowed"),
    _dated("bath_from", "bath_ordered", "an order says from when a bath is allowed"),
    _dated("swim_from", "swim_ordered", "an order says from when swimming is allowed"),
    yes_no(
        "counts_as_new", "a clinician decided that the opening counts as new until a day",
        lambda g: g.tube.not_healed_until is not None, only_2=True,
        legal=(whenever(yes("counts_as_new"), answers("opening_stage", "new", "first-72-hours"),
                        "what the fact means"),),
        shown={"patient.conditions": ["steroids"]},
        shown_outcome=("healing-not-certain", "not-healed", {"until": "{later}"}),
    ),
    _has_come("soreness_time_passed", "soreness should be over", "sore_until", _facility_times),
)  # fmt: skip


def _day(moment: str) -> Callable[[Given], date]:
    return lambda g: MOMENTS[moment](g).date()


def _edge(
    window: Callable[[Given], tuple[datetime, datetime] | None], place: int
) -> Callable[[Given], date | None]:
    def derive(g: Given) -> date | None:
        edges = window(g)
        return None if edges is None else edges[place].date()

    return derive


def _by_order(key: str) -> Callable[[Given], date | None]:
    def derive(g: Given) -> date | None:
        day = ordered_day(g, key) if _has(g, key) else None
        return None if day is None else day.date()

    return derive


def _held_after(g: Given) -> Phrase | None:
    """What holds the tube from then on; held-after-missing is a stop that nobody may accept."""
    after = g.tube.held_after_stitches
    return None if after is None else Phrase(f"held-after-{after.replace(' ', '-')}")


def _of_visit(
    value: Callable[[Visit, datetime], SlotValue | None],
) -> Callable[[Given], SlotValue | None]:
    def derive(g: Given) -> SlotValue | None:
        coming = next_visit(g)
        return None if coming is None else value(coming[1], coming[0])

    return derive


def _bare(value: Value) -> SlotValue:
    """A value of a visit as a slot holds it."""
    return value if isinstance(value, Phrase) else value.value


_VISIT = yes("visits_planned")
_CHANGED = every(
    no("tube_change_dated"),
    answers("held_by", "balloon", "bumper"),
    answers("tube_kind", "gastrostomy", "gastrojejunostomy"),
)

DATE_SLOTS: tuple[Slot[Given], ...] = (
    slot("red_flag_until", "moment", "end of the first days", MOMENTS["red_flag_until"]),
    slot("red_flag_day", "day", "day on which the first days end", _day("red_flag_until")),
    slot("first_dressing_off_on", "moment", "first dressing off", MOMENTS["first_dressing_off_on"]),
    slot("shower_from", "moment", "shower from", MOMENTS["shower_from"]),
    slot("eat_from", "moment", "food and drink from", MOMENTS["eat_from"]),
    slot("bath_from", "date", "bath from", _day("bath_from")),
    slot("swim_from", "day", "swimming from", _day("swim_from")),
    slot("lift_until", "day", "no heavy lifting until", _day("lift_until")),
    slot("sore_until", "day", "soreness expected until", _day("sore_until")),
    slot("healed_on", "date", "opening counts as healed from", _day("healed_on")),
    slot("buttons_off_on", "date", "skin buttons come off on, by order",
         _by_order("skin_buttons_off"), yes("buttons_off_dated")),
    slot("stitches_out_on", "date", "stitches come out on, by order",
         _by_order("stitches_out"), yes("stitches_out_dated")),
    slot("held_after_stitches", "phrase", "what holds the tube when the stitches are out",
         _held_after, yes("stitches_out_dated")),
    slot("change_on", "date", "the tube is changed on, by order",
         _by_order("tube_change"), yes("tube_change_dated")),
    slot("balloon_first_on", "date", "the balloon is first checked on, by order",
         _by_order("balloon_check_from"), yes("balloon_first_dated")),
    slot("change_from", "date", "usual change of the tube, from",
         _edge(change_window, 0), _CHANGED),
    slot("change_by", "date", "usual change of the tube, by", _edge(change_window, 1), _CHANGED),
    slot("first_visit_what", "text", "the first visit",
         _of_visit(lambda v, _: _bare(visit_what(v))), _VISIT),
    slot("first_visit_when", "moment", "the first visit",
         _of_visit(lambda v, at: _bare(visit_when(v, at))), _VISIT),
    slot("first_visit_where", "text", "its place",
         _of_visit(lambda v, _: _bare(visit_where(v)[0])), _VISIT),
)  # fmt: skip
