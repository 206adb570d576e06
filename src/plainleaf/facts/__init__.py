"""Derived facts: one patient and one policy become answers, values, a day and a timeline.

`derive` is the only entry; each file derives what its name says. Nothing here reads the clock:
"now" is `prepared.on` of the patient file.
"""

from __future__ import annotations

from plainleaf.facts.checks.run_checks import run_checks
from plainleaf.facts.day import day_events, day_totals
from plainleaf.facts.feeding import feeding_answers, feeding_values
from plainleaf.facts.holds import with_holds
from plainleaf.facts.medicines import Words, medicine_answers, medicine_facts, words_of
from plainleaf.facts.person import person_answers
from plainleaf.facts.record import Facts, Typed
from plainleaf.facts.supplies import supplies
from plainleaf.facts.timeline import timeline, timeline_answers, timeline_values
from plainleaf.facts.tube import tube_answers, tube_values
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.policy import Policy
from plainleaf.vocabulary.facts import FACTS, SLOTS

__all__ = ["Facts", "derive"]

# Slots that print a policy setting as it stands.
_POLICY_SLOTS = (
    "mark_moved", "redness_limit", "tube_out_within", "head_up_angle", "head_up_after", "hang_open",
    "hang_closed", "hang_powder", "hang_blended", "opened_fridge", "set_change", "syringe_change",
    "feed_minutes_least", "balloon_check_every", "balloon_recheck", "clog_try", "vent_minutes",
    "no_answer", "stool_days", "vomit_times", "bleed_press_minutes", "small_dose", "fever",
    "follow_up_within", "lift_limit",
)  # fmt: skip


def _policy_values(policy: Policy) -> dict[str, Typed]:
    values = {}
    for name in _POLICY_SLOTS:
        value = policy.entries[name].value
        assert value is not None and not isinstance(value, bool)
        values[name] = Typed(SLOTS[name].kind, value)
    until = policy.quantity("infant_water_until")
    values["water_boiled_until"] = Typed("span", until)
    return values


def _people_values(patient: Patient) -> dict[str, Typed]:
    contacts = patient.contacts
    texts = {
        "patient_name": patient.person.name,
        "clinic_name": contacts.clinic.name,
        "clinic_hours": contacts.clinic.hours,
        "after_hours_name": contacts.after_hours.name,
        "supplies_name": contacts.supplies.name if contacts.supplies else None,
        "feed_stop_plan_text": patient.if_feeding_stops,
    }
    phones = {
        "clinic_phone": contacts.clinic.phone,
        "after_hours_phone": contacts.after_hours.phone,
        "emergency_phone": contacts.emergency.phone,
        "supplies_phone": contacts.supplies.phone if contacts.supplies else None,
    }
    return {
        **{name: Typed("text", text) for name, text in texts.items() if text is not None},
        **{name: Typed("phone", phone) for name, phone in phones.items() if phone is not None},
    }


def derive(patient: Patient, policy: Policy, words: Words) -> Facts:
    """All facts of one patient under one policy.

    Args:
        words: The medicine tripwire lists of the library.
    """
    patient = with_holds(patient)
    person = person_answers(patient, policy)
    child = bool(person["child"])
    medicines = tuple(medicine_facts(m, policy, words) for m in patient.medicines)
    answers: dict[str, str | bool | None] = {
        **person,
        **tube_answers(patient, policy),
        **feeding_answers(patient, policy, child=child),
        **medicine_answers(patient, medicines),
        **timeline_answers(patient, policy, child=child),
        "dressing_place": policy.word("dressing_place"),
        "feed_stop_plan": patient.if_feeding_stops is not None,
        "supplies_contact": patient.contacts.supplies is not None,
    }
    events = day_events(patient, policy, medicines)
    answers["flush_planned"] = any(event.kind in ("flush", "extra-water") for event in events)
    answers["day_planned"] = bool(events)
    worded = words_of(answers)
    return Facts(
        answers={name: worded[name] for name in FACTS},
        values={
            **_people_values(patient),
            **_policy_values(policy),
            **tube_values(patient, policy),
            **feeding_values(patient, policy, child=child),
            **timeline_values(patient, policy, child=child),
        },
        events=events,
        totals=day_totals(events, patient.water),
        timeline=timeline(patient, policy, child=child),
        supplies=supplies(patient, policy),
        medicines=medicines,
        checks=run_checks(patient, policy, events, medicines),
    )
