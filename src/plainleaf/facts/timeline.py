"""Dates counted from placement, by the facility's settings or by order."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime, timedelta

from plainleaf.facts.derived import TimelineEntry, Typed
from plainleaf.facts.given import Given
from plainleaf.facts.opening import healed_after, span
from plainleaf.inputs.patient import Visit


def _counted(setting: str, order: str = "") -> Callable[[Given], datetime]:
    """The moment counted from the opening's first day by a setting; an order comes first."""
    return lambda g: _ordered(g, order) or g.opened + span(g.policy.quantity(setting))


def _ordered(given: Given, order: str) -> datetime | None:
    return given.patient.dates.get(order) if order else None


def _swim_from(given: Given) -> datetime:
    setting = "swim_after_child" if given.child else "swim_after_adult"
    return _counted(setting, "swim_from")(given)


def _healed_on(given: Given) -> datetime:
    return given.opened + timedelta(
        days=healed_after(given.patient, given.policy, child=given.child)
    )


# Slot → the moment it prints.
MOMENTS: Mapping[str, Callable[[Given], datetime]] = {
    "first_dressing_off_on": _counted("first_dressing_stays", "first_dressing_off"),
    "shower_from": _counted("shower_after", "shower_from"),
    "eat_from": _counted("eat_after", "eat_from"),
    "bath_from": _counted("bath_after", "bath_from"),
    "sore_until": _counted("sore_for"),
    "lift_until": _counted("lift_after", "lift_until"),
    "swim_from": _swim_from,
    "red_flag_until": _counted("red_flag_time"),
    "healed_on": _healed_on,
}


def button_window(given: Given) -> tuple[datetime, datetime] | None:
    """When skin buttons fall off by themselves (row cp-skin-buttons); None without buttons."""
    if given.tube.skin_buttons == 0:
        return None
    window = given.policy.range("buttons_off")
    placed = given.tube.placed
    return placed + span(window.low), placed + span(window.high)


def change_window(given: Given) -> tuple[datetime, datetime] | None:
    """When this kind of tube is usually changed; None where only the clinic can say."""
    tube = given.tube
    if tube.held_by == "stitches" or tube.kind == "jejunostomy":
        return None
    if tube.kind == "gastrojejunostomy":
        window = given.policy.range("gj_change")
    else:
        window = given.policy.range(f"{tube.held_by}_change")
    return tube.placed + span(window.low), tube.placed + span(window.high)


def next_visit(given: Given) -> Visit | None:
    """The earliest visit that is still to come."""
    coming = [visit for visit in given.patient.visits if visit.when >= given.prepared]
    return min(coming, key=lambda visit: visit.when, default=None)


# Order of the printed timeline: id → (slot that starts it, slot that ends it, whole days).
_ENTRIES = (
    ("red-flag", None, "red_flag_until", False),
    ("eating", "eat_from", None, False),
    ("dressing", "first_dressing_off_on", None, False),
    ("shower", "shower_from", None, False),
    ("soreness", None, "sore_until", True),
    ("bath", "bath_from", None, True),
    ("swim", "swim_from", None, True),
    ("lifting", None, "lift_until", True),
    ("healed", "healed_on", None, True),
)


def _entries(given: Given) -> Iterator[TimelineEntry]:
    now = given.prepared
    for name, start, end, whole in _ENTRIES:
        starts = MOMENTS[start](given) if start else given.opened
        ends = MOMENTS[end](given) if end else None
        yield TimelineEntry(name, starts, ends, (ends or starts) <= now, whole)
    for name, window in (("buttons", button_window(given)), ("change", change_window(given))):
        if window is not None:
            yield TimelineEntry(name, window[0], window[1], window[1] <= now, True)
    for visit in given.patient.visits:
        text = Typed("text", visit.what)
        yield TimelineEntry("visit", visit.when, None, visit.when <= now, False, text)
    follow_up = now + span(given.policy.quantity("follow_up_within"))
    yield TimelineEntry("follow-up", now, follow_up, False, False)


def timeline(given: Given) -> tuple[TimelineEntry, ...]:
    """Everything dated, in order of its first moment; visits and the change window included."""
    opened = given.opened
    return tuple(
        sorted(
            _entries(given),
            key=lambda e: (e.ends if e.starts <= opened and e.ends else e.starts, e.id),
        )
    )
