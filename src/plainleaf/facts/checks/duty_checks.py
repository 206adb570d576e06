"""Checks on who is there: duties at the times of the plan, and what cannot wait.

Asked of format 2 alone. None of them is ever unknown.
"""

from __future__ import annotations

from plainleaf.facts.checks.outcome import check_of_2, each, joined, listed, part
from plainleaf.facts.derived import Checked
from plainleaf.facts.duty_times import (
    RESCUE,
    may_do,
    rescue_gaps,
    rescue_needs,
    tasks_of,
    uncovered,
)
from plainleaf.facts.given import Given
from plainleaf.facts.week import is_there, minute_words, span_words
from plainleaf.inputs.patient import Learner, Patient


@check_of_2("duty", "when")
def duty_not_covered(given: Given) -> Checked:
    """A time of the plan at which nobody who may do what is due is there (nice-train)."""
    patient = given.patient
    return each(
        part("learners", about=duty, duty=duty, when=minute_words(alone))
        for duty, minutes in tasks_of(patient).items()
        if (alone := uncovered(patient, duty, minutes))
    )


def _limited(patient: Patient, learner: Learner) -> list[str]:
    """Duties that fall due while somebody who gives care, but may not do this, is there."""
    return [
        duty
        for duty, minutes in tasks_of(patient).items()
        if learner.duties
        and not may_do(learner, duty)
        and any(
            is_there(learner.there, m) for m in minutes - set(uncovered(patient, duty, minutes))
        )
    ]


@check_of_2("what")
def duty_limited(given: Given) -> Checked:
    """Somebody is there at a time of the plan who may not do what is due, and another may."""
    return listed(
        [
            (f"learners[{number}].duties", f"{learner.name} ({joined(duties)})")
            for number, learner in enumerate(given.patient.learners)
            if (duties := _limited(given.patient, learner))
        ]
    )


@check_of_2("what", "when", "number")
def rescue_not_covered(given: Given) -> Checked:
    """An hour of the week at which nobody is there who may do what cannot wait."""
    patient = given.patient
    needs = rescue_needs(patient)
    seizure = any(key.startswith("medicines") for key in needs)
    hours = rescue_gaps(patient, alone=not seizure) if needs else ()
    return each(
        [
            part(
                "learners",
                *needs,
                about=RESCUE,
                what=joined(needs.values()),
                when=span_words(hours),
                number=patient.contacts.emergency.phone,
            )
        ]
        if hours
        else []
    )
