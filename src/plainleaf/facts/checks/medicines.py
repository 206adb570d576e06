"""Checks on the medicine list as a whole; rules about one medicine ask facts/medicines.py.

Each function is a check of `vocabulary.CHECKS`, by name. None of them is ever unknown.
"""

from __future__ import annotations

from collections.abc import Sequence

from plainleaf.facts.checks.context import Case, joined, result
from plainleaf.facts.record import Check
from plainleaf.inputs.patient import Medicine


def _named(medicines: Sequence[Medicine], **details: str) -> Check:
    """True when there are any: their keys and names."""
    keys = [f"medicines[{one.number}]" for one in medicines]
    return result(bool(medicines), keys, medicines=joined(m.name for m in medicines), **details)


def medicines_in_jejunal_port(case: Case) -> Check:
    """Medicines through the jejunal port of a tube that has a gastric one (med-gport)."""
    two = len(case.patient.tube.ports) == 2
    return _named([m for m in case.patient.medicines if two and m.through == "jejunal"])


def medicine_twice(case: Case) -> Check:
    """One name stands twice: perhaps one order too many, and one acceptance would cover both."""
    names = [one.name.casefold() for one in case.patient.medicines]
    return _named([m for m in case.patient.medicines if names.count(m.name.casefold()) > 1])


def as_needed_unclear(case: Case) -> Check:
    """An as-needed medicine without its reason or without how often at most (practice)."""
    return _named(
        [m for m in case.patient.medicines if m.as_needed and not (m.reason and m.at_most)]
    )


def small_dose_medicines(case: Case) -> Check:
    """Doses below the policy's `small_dose`, which a low-dose tip can change (h-ldt, med-ldt)."""
    small = [
        one.medicine
        for one in case.medicines
        if one.medicine.through is not None and one.answers["small_dose_medicine"] == "true"
    ]
    return _named(small, small=str(case.policy.quantity("small_dose")))


def sorbitol_medicines(case: Case) -> Check:
    """Liquids through the tube that may hold sorbitol (med-sorbitol, h-sorb)."""
    return _named(
        [
            one.medicine
            for one in case.medicines
            if one.medicine.through is not None and one.answers["sorbitol_liquid"] == "true"
        ]
    )


MEDICINE_CHECKS = (
    medicines_in_jejunal_port,
    medicine_twice,
    as_needed_unclear,
    small_dose_medicines,
    sorbitol_medicines,
)
