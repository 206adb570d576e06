"""Facts about the person: age, what is eaten, immunity, other lines."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from plainleaf.inputs.patient import Patient, Person
from plainleaf.inputs.policy import Policy, days
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.quantities import Quantity

# AAP child age limit of common usage; common practice, no source.
ADULT_FROM_YEARS = 18
# Young children: row `strang` is about children under 2, the rule uses the policy's age (h-strang).
OLDER_FROM_YEARS = 65
# gj-perf: higher risk of perforation below these.
SMALL_INFANT_DAYS = 183
SMALL_INFANT_WEIGHT = Quantity(Decimal(6), "kg")


def age_in_years(born: date, today: date) -> int:
    """Whole years on a day; a birthday on 29 February counts from 1 March in other years.

    >>> age_in_years(date(2022, 1, 14), date(2026, 3, 2))
    4
    """
    return today.year - born.year - ((today.month, today.day) < (born.month, born.day))


def age_in_days(born: date, today: date) -> int:
    """Whole days since birth.

    >>> age_in_days(date(2026, 3, 1), date(2026, 3, 28))
    27
    """
    return (today - born).days


def age_group(born: date, today: date, policy: Policy) -> str:
    """The age group of `terms.AGE_GROUPS`; the young-child limit is the policy's."""
    years = age_in_years(born, today)
    if years < 1:
        return "infant"
    if age_in_days(born, today) < days(policy.quantity("tangle_below_age")):
        return "young-child"
    if years < ADULT_FROM_YEARS:
        return "child"
    return "adult" if years < OLDER_FROM_YEARS else "older-adult"


def is_small_infant(person: Person, today: date) -> bool:
    """Under 6 months, or under 6 kg (row `gj-perf`)."""
    if age_in_days(person.born, today) < SMALL_INFANT_DAYS:
        return True
    return person.weight is not None and person.weight < SMALL_INFANT_WEIGHT


def interpreter_needed(patient: Patient, policy: Policy) -> bool:
    """A learner reads another language than staff, or an interpreter is named."""
    staff = policy.word("staff_language")
    return patient.interpreter is not None or any(
        learner.language.split("-")[0] != staff for learner in patient.learners
    )


# A licensed person who accepts this finding says that there is no other line or tube.
OTHER_LINES_FINDING = "other-lines-not-recorded"


def has_other_lines(patient: Patient) -> bool | None:
    """Whether another line or tube is recorded; None until it is written or accepted as none."""
    if patient.other_lines is not None:
        return bool(patient.other_lines)
    accepted = any(entry.finding == OTHER_LINES_FINDING for entry in patient.accepted)
    return False if accepted else None


def person_answers(patient: Patient, policy: Policy) -> dict[str, str | bool | None]:
    """Answers to the facts about the person."""
    person, today = patient.person, patient.prepared_on.date()
    group = age_group(person.born, today, policy)
    confused = "confusion" in person.conditions
    return {
        "age_group": group,
        "eats": person.by_mouth,
        "child": group in ("infant", "young-child", "child"),
        "tangle_risk": group in ("infant", "young-child") or confused,
        "confused": confused,
        "weak_immunity": bool(person.conditions & terms.WEAK_IMMUNITY),
        "thickened_fluids": "thickened-fluids" in person.conditions,
        "refeeding_risk": "refeeding-risk" in person.conditions,
        "other_lines": has_other_lines(patient),
        "interpreter_needed": interpreter_needed(patient, policy),
        "several_learners": len(patient.learners) > 1,
        "small_infant": is_small_infant(person, today),
    }
