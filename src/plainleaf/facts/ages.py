"""Ages: counted from the day of birth to the day of the packet."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from plainleaf.inputs.patient import Person
from plainleaf.inputs.policy import Policy, days
from plainleaf.vocabulary.quantities import Quantity

# AAP child age limit of common usage; common practice, no source.
ADULT_FROM_YEARS = 18
# Young children: row `strang` is about children under 2, the rule uses the policy's age (h-strang).
OLDER_FROM_YEARS = 65
# gj-perf: higher risk of perforation below these.
SMALL_INFANT_DAYS = 183
SMALL_INFANT_WEIGHT = Quantity(Decimal(6), "kg")

# fever-infant: a fever is an emergency in the first 2 to 3 months; three whole months at most.
YOUNG_BABY_DAYS = 92

# The groups under 18 years.
CHILDREN = ("infant", "young-child", "child")


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
