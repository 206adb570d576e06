"""Checks on the medicine list as a whole; rules about one medicine ask facts/medicines.py.

None of them is ever unknown.
"""

from __future__ import annotations

from collections.abc import Sequence

from plainleaf.facts.checks.outcome import check, joined, result
from plainleaf.facts.derived import Checked
from plainleaf.facts.given import Given
from plainleaf.inputs.patient import Medicine


def _named(medicines: Sequence[Medicine], **details: str) -> Checked:
    """True when there are any: their keys and names."""
    keys = [f"medicines[{medicine.number}]" for medicine in medicines]
    return result(bool(medicines), keys, medicines=joined(m.name for m in medicines), **details)


@check("medicines")
def medicines_in_jejunal_port(given: Given) -> Checked:
    """Medicines through the jejunal port of a tube that has a gastric one (med-gport)."""
    two = len(given.tube.ports) == 2
    return _named([m for m in given.patient.medicines if two and m.through == "jejunal"])


@check("medicines")
def medicine_twice(given: Given) -> Checked:
    """One name stands twice: perhaps one order too many, and one acceptance would cover both."""
    names = [medicine.name.casefold() for medicine in given.patient.medicines]
    return _named([m for m in given.patient.medicines if names.count(m.name.casefold()) > 1])


@check("medicines")
def as_needed_unclear(given: Given) -> Checked:
    """An as-needed medicine without its reason or how often at most (practice); format 1 alone."""
    if given.patient.format != 1:
        return result(False)
    return _named(
        [m for m in given.patient.medicines if m.as_needed and not (m.reason and m.at_most)]
    )


@check("medicines", "small")
def small_dose_medicines(given: Given) -> Checked:
    """Doses below the policy's `small_dose`, which a low-dose tip can change (h-ldt, med-ldt)."""
    small = [
        medicine.medicine
        for medicine in given.medicines
        if medicine.medicine.through is not None
        and medicine.answers["small_dose_medicine"] == "true"
    ]
    return _named(small, small=str(given.policy.quantity("small_dose")))


@check("medicines")
def sorbitol_medicines(given: Given) -> Checked:
    """Liquids through the tube that may hold sorbitol (med-sorbitol, h-sorb)."""
    return _named(
        [
            medicine.medicine
            for medicine in given.medicines
            if medicine.medicine.through is not None
            and medicine.answers["sorbitol_liquid"] == "true"
        ]
    )
