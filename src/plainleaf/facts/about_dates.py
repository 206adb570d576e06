"""Facts and values that are dates: what may be done from when, and what is still to come."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime

from plainleaf.facts.declare import Asked, Constraint, Slot, slot, whenever, yes_no
from plainleaf.facts.derived import Phrase, SlotValue, Value
from plainleaf.facts.given import Given
from plainleaf.facts.opening import span
from plainleaf.facts.timeline import MOMENTS, button_window, change_window, next_visit
from plainleaf.facts.visit_words import visit_what, visit_when, visit_where
from plainleaf.inputs.patient import Visit
from plainleaf.inputs.policy import Policy, days
from plainleaf.vocabulary.conditions import answers, every, never, no, yes


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
        new_adult = every(answers("opening_stage", "new"), no("child"))
        yield whenever(new_adult, never(passed), why)


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


_BUTTONS, _VISIT = yes("skin_buttons"), yes("visits_planned")
_CHANGED = every(
    answers("held_by", "balloon", "bumper"),
    answers("tube_kind", "gastrostomy", "gastrojejunostomy"),
)

DATE_SLOTS: tuple[Slot[Given], ...] = (
    slot("red_flag_until", "moment", "end of the first days", MOMENTS["red_flag_until"]),
    slot("first_dressing_off_on", "moment", "first dressing off", MOMENTS["first_dressing_off_on"]),
    slot("shower_from", "moment", "shower from", MOMENTS["shower_from"]),
    slot("eat_from", "moment", "food and drink from", MOMENTS["eat_from"]),
    slot("bath_from", "date", "bath from", _day("bath_from")),
    slot("swim_from", "date", "swimming from", _day("swim_from")),
    slot("lift_until", "date", "no heavy lifting until", _day("lift_until")),
    slot("sore_until", "date", "soreness expected until", _day("sore_until")),
    slot("healed_on", "date", "opening counts as healed from", _day("healed_on")),
    slot("buttons_off_from", "date", "skin buttons may fall off from",
         _edge(button_window, 0), _BUTTONS),
    slot("buttons_off_by", "date", "skin buttons should be off by",
         _edge(button_window, 1), _BUTTONS),
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
