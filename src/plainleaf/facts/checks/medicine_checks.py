"""Checks on the medicine list as a whole; rules about one medicine ask facts/medicines.py.

None of them is ever unknown.
"""

from __future__ import annotations

from plainleaf.facts.checks.outcome import check, listed, named, number, result
from plainleaf.facts.derived import Checked, MedicineFacts
from plainleaf.facts.given import Given
from plainleaf.inputs.content import MedicineRow
from plainleaf.inputs.patient import Dose


@check("medicines")
def medicines_in_jejunal_port(given: Given) -> Checked:
    """Medicines through the jejunal port of a tube that has a gastric one (med-gport)."""
    two = len(given.tube.ports) == 2
    return named([m for m in given.patient.medicines if two and m.through == "jejunal"])


@check("medicines")
def medicine_twice(given: Given) -> Checked:
    """One medicine stands twice, by one name or by two: perhaps one order too many, and one
    acceptance would cover both.
    """
    names = [_called(facts) for facts in given.medicines]
    twice = [f for f, name in zip(given.medicines, names, strict=True) if names.count(name) > 1]
    return named([facts.medicine for facts in twice], by=[_called(facts) for facts in twice])


def _called(facts: MedicineFacts) -> str:
    """What the name means; of insulins, which are one entry of the table, and of a name that
    cannot be read, the name itself.
    """
    if facts.known.rows_of("insulin") or not facts.known.reading.substances:
        return facts.medicine.name.casefold()
    return facts.known.reading.meant


@check("medicines")
def as_needed_unclear(given: Given) -> Checked:
    """An as-needed medicine without its reason or how often at most (practice); format 1 alone."""
    if given.patient.format != 1:
        return result(False)
    return named(
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
    return named(small, small=str(given.policy.quantity("small_dose")))


@check("what")
def sorbitol_medicines(given: Given) -> Checked:
    """Liquids through the tube that hold sorbitol, as grams a day (med-sorbitol, h-sorb)."""
    return listed(
        [
            (f"medicines[{m.medicine.number}]", f"{m.medicine.name} ({_sorbitol_in(m)})")
            for m in given.by_tube
            if m.answers["sorbitol_liquid"] == "true"
        ]
    )


def _sorbitol_in(facts: MedicineFacts) -> str:
    """Grams a day, where the table and the dose tell; else what is said of it."""
    entry, medicine = facts.entries["sorbitol_liquid"], facts.medicine
    if isinstance(entry, MedicineRow) and entry.grams is not None and entry.per is not None:
        own: Dose | None = medicine.dose
        doses = () if own is None else (own, own.equals)
        of_unit = [dose for dose in doses if dose is not None and dose.unit == entry.per.unit]
        if of_unit and medicine.times:
            grams = entry.grams.value * of_unit[0].value / entry.per.value * len(medicine.times)
            return f"about {number(grams, 1)} g a day"
    return entry.why
