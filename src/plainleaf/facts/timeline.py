"""Dates counted from placement, by the facility's settings or by order."""

from __future__ import annotations

from datetime import datetime, timedelta

from plainleaf.facts.record import Phrase, TimelineEntry, Typed
from plainleaf.facts.tube import healed_after, opened_at, span
from plainleaf.inputs.patient import Patient, Visit
from plainleaf.inputs.policy import Policy

# How long a thing takes, from placement: slot → policy setting (adult, child).
_FROM_POLICY = {
    "first_dressing_off_on": ("first_dressing_stays", "first_dressing_off", "moment"),
    "shower_from": ("shower_after", "shower_from", "moment"),
    "eat_from": ("eat_after", "eat_from", "moment"),
    "bath_from": ("bath_after", "bath_from", "date"),
    "sore_until": ("sore_for", "", "date"),
    "lift_until": ("lift_after", "lift_until", "date"),
}


def first_days_moments(patient: Patient, policy: Policy, *, child: bool) -> dict[str, datetime]:
    """Slot → moment for everything counted from the opening's first day; an order comes first."""
    opened = opened_at(patient.tube)
    moments = {
        slot: patient.dates.get(order) or opened + span(policy.quantity(setting))
        for slot, (setting, order, _) in _FROM_POLICY.items()
    }
    swim = policy.quantity("swim_after_child" if child else "swim_after_adult")
    moments["swim_from"] = patient.dates.get("swim_from") or opened + span(swim)
    moments["red_flag_until"] = opened + span(policy.quantity("red_flag_time"))
    moments["healed_on"] = opened + timedelta(days=healed_after(patient, policy, child=child))
    return moments


def button_window(patient: Patient, policy: Policy) -> tuple[datetime, datetime] | None:
    """When skin buttons fall off by themselves (row cp-skin-buttons); None without buttons."""
    if patient.tube.skin_buttons == 0:
        return None
    window = policy.range("buttons_off")
    placed = patient.tube.placed
    return placed + span(window.low), placed + span(window.high)


def change_window(patient: Patient, policy: Policy) -> tuple[datetime, datetime] | None:
    """When this kind of tube is usually changed; None where only the clinic can say."""
    tube = patient.tube
    if tube.held_by == "stitches" or tube.kind == "jejunostomy":
        return None
    if tube.kind == "gastrojejunostomy":
        window = policy.range("gj_change")
    else:
        window = policy.range(f"{tube.held_by}_change")
    return tube.placed + span(window.low), tube.placed + span(window.high)


def next_visit(patient: Patient) -> Visit | None:
    """The earliest visit that is still to come."""
    coming = [visit for visit in patient.visits if visit.when >= patient.prepared_on]
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


def timeline(patient: Patient, policy: Policy, *, child: bool) -> tuple[TimelineEntry, ...]:
    """Everything dated, in order of its first moment; visits and the change window included."""
    moments = first_days_moments(patient, policy, child=child)
    now, opened = patient.prepared_on, opened_at(patient.tube)
    entries = []
    for name, start, end, whole in _ENTRIES:
        starts = moments[start] if start else opened
        ends = moments[end] if end else None
        entries.append(TimelineEntry(name, starts, ends, (ends or starts) <= now, whole))
    for name, window in (
        ("buttons", button_window(patient, policy)),
        ("change", change_window(patient, policy)),
    ):
        if window is not None:
            entries.append(TimelineEntry(name, window[0], window[1], window[1] <= now, True))
    for visit in patient.visits:
        text = Typed("text", visit.what)
        entries.append(TimelineEntry("visit", visit.when, None, visit.when <= now, False, text))
    follow_up = patient.prepared_on + span(policy.quantity("follow_up_within"))
    entries.append(TimelineEntry("follow-up", now, follow_up, False, False))
    return tuple(
        sorted(entries, key=lambda e: (e.ends if e.starts <= opened and e.ends else e.starts, e.id))
    )


def timeline_answers(patient: Patient, policy: Policy, *, child: bool) -> dict[str, bool]:
    """Whether each date has come, on the day of the packet."""
    moments = first_days_moments(patient, policy, child=child)
    now = patient.prepared_on
    return {
        "shower_allowed_now": moments["shower_from"] <= now,
        "bath_allowed_now": moments["bath_from"] <= now,
        "swim_allowed_now": moments["swim_from"] <= now,
        "lifting_allowed_now": moments["lift_until"] <= now,
        "first_dressing_off": moments["first_dressing_off_on"] <= now,
        "eating_time_passed": moments["eat_from"] <= now,
        "soreness_time_passed": moments["sore_until"] <= now,
        "visits_planned": next_visit(patient) is not None,
    }


def timeline_values(patient: Patient, policy: Policy, *, child: bool) -> dict[str, Typed]:
    """Values of the slots that are dates."""
    moments = first_days_moments(patient, policy, child=child)
    kinds = {slot: kind for slot, (_, _, kind) in _FROM_POLICY.items()}
    kinds |= {"swim_from": "date", "red_flag_until": "moment", "healed_on": "date"}
    values = {
        slot: Typed(kinds[slot], m if kinds[slot] == "moment" else m.date())
        for slot, m in moments.items()
    }
    for names, window in (
        (("buttons_off_from", "buttons_off_by"), button_window(patient, policy)),
        (("change_from", "change_by"), change_window(patient, policy)),
    ):
        if window is not None:
            values |= {n: Typed("date", m.date()) for n, m in zip(names, window, strict=True)}
    visit = next_visit(patient)
    if visit is not None:
        values["first_visit_what"] = Typed("text", visit.what)
        values["first_visit_when"] = Typed("moment", visit.when)
        where = Typed("text", visit.where) if visit.where else Typed("phrase", Phrase("ask-where"))
        values["first_visit_where"] = where
    return values
