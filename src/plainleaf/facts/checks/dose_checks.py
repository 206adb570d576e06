"""Checks on one medicine of the list: its strength, form, route, mixing, and feeding beside it.

Asked of format 2 alone. None of them is ever unknown.
"""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.facts.checks.outcome import check_of_2, each, joined, part
from plainleaf.facts.derived import Checked, MedicineFacts
from plainleaf.facts.dose_strength import strength_fault
from plainleaf.facts.feed_stages import all_stages
from plainleaf.facts.given import Given
from plainleaf.facts.sugar_scale import doses_of
from plainleaf.facts.week import A_WEEK, minute_words, week_minutes
from plainleaf.inputs.patient import Dose, Medicine, Patient
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.doses import read_dose_and_equal
from plainleaf.vocabulary.quantities import Quantity
from plainleaf.vocabulary.words_2 import FORMS, LIQUID_FORMS, MIXED

_SWALLOWED = (*terms.PORTS, "mouth")
_IN_THE_MOUTH = ("under tongue", "cheek", "mouth swab")
# Form → the ways by which it can be given; common practice, no source. A form that another rule
# asks about by tube (injection, pen, softgel, sublingual) may name the tube here.
_ONLY = {
    "injection": ("injection", "vein line", *_SWALLOWED),
    "pen": ("injection", *terms.PORTS),
    "patch": ("patch",),
    "suppository": ("rectal",),
    "rectal gel": ("rectal",),
    "inhaler": ("inhaled",),
    "nebulizer liquid": ("inhaled",),
    "nasal spray": ("nose",),
    "eye drops": ("eye", "ear", "under tongue"),
    "ear drops": ("ear",),
    "cream": ("skin",),
    "mouth rinse": ("mouth", "mouth swab"),
    "lozenge": ("mouth", "cheek"),
    "sublingual tablet": (*_SWALLOWED, "under tongue", "cheek"),
    "melting tablet": (*_SWALLOWED, "under tongue", "cheek"),
    "liquid": (*_SWALLOWED, *_IN_THE_MOUTH, "rectal", "skin", "nose", "inhaled"),
    "suspension": (*_SWALLOWED, *_IN_THE_MOUTH, "rectal", "skin"),
    "drops": (*_SWALLOWED, *_IN_THE_MOUTH, "eye", "ear", "nose"),
    "powder": (*_SWALLOWED, *_IN_THE_MOUTH, "skin", "inhaled"),
}
_SOLID = (*_SWALLOWED, *_IN_THE_MOUTH)
ROUTES_OF_FORM = {form: _ONLY.get(form, _SOLID) for form in FORMS}
# Forms that go into the tube only when they are mixed.
_ALWAYS_MIXED = (
    "powder", "powder packet", "granules", "delayed-release granules", "dispersible tablet",
    "effervescent tablet",
)  # fmt: skip


def doses_in(medicine: Medicine) -> Iterator[Dose]:
    """Every dose that an order names: its own, of each step, of each line of a scale."""
    own: Dose | None = medicine.dose
    if own is not None:
        yield own
    yield from (step.dose for step in medicine.steps)
    yield from map(read_dose_and_equal, doses_of(medicine.scale or {}))


def _strength_faults(medicine: Medicine) -> list[str]:
    bracketed = [dose for dose in doses_in(medicine) if dose.equals is not None]
    if medicine.strength is None:
        liquid = medicine.form in LIQUID_FORMS and bracketed
        return ["no strength is written to check the brackets against"] if liquid else []
    faults = (strength_fault(dose, medicine.strength) for dose in bracketed)
    return [fault for fault in faults if fault is not None]


@check_of_2("medicine", "what")
def strength_differs(given: Given) -> Checked:
    """A dose whose two amounts do not fit the strength on the label by more than 2 %."""
    return each(
        part(f"medicines[{m.number}].strength", medicine=m.name, what=joined(faults))
        for m in given.patient.medicines
        if (faults := _strength_faults(m))
    )


@check_of_2("medicine", "form", "route")
def form_and_route_differ(given: Given) -> Checked:
    """A form that is not given by the way that is written, such as a patch by mouth."""
    return each(
        part(
            f"medicines[{m.number}].route",
            medicine=m.name,
            form=m.form,
            route=m.route or "",
        )
        for m in given.patient.medicines
        if m.route is not None and m.route not in ROUTES_OF_FORM[m.form]
    )


@check_of_2("medicine", "form")
def mix_water_missing(given: Given) -> Checked:
    """Something goes into the tube mixed, and nothing says in how much (med-crush-fine)."""
    return each(
        part(f"medicines[{m.number}].in", medicine=m.name, form=m.form)
        for m, facts in zip(given.patient.medicines, given.medicines, strict=True)
        if m.through is not None and (_mixed_in_what(m) or _thinned_in_what(facts))
    )


def _thinned_in_what(facts: MedicineFacts) -> bool:
    """Whether a source that was read has it thinned, and nothing says in how much."""
    read = any(row.status == "seen" for row in facts.known.rows_of("thin"))
    return read and _water_in(facts.medicine) is None


def _water_in(medicine: Medicine) -> Quantity | None:
    """The least liquid that it is mixed in, by the order."""
    mix = getattr(medicine.mix, "amount", None)
    return None if mix is None else mix.least


@check_of_2("what")
def thin_before_giving(given: Given) -> Checked:
    """A medicine that the table has thinned, in less water by the order, or in none."""
    return each(
        part(f"medicines[{m.medicine.number}].in", what=f"{m.medicine.name}: {row.says}")
        for m in given.by_tube
        if m.medicine.prepare != "pharmacy liquid"
        for row in m.known.rows_of("thin")[:1]
        if (water := _water_in(m.medicine)) is None or (row.water is not None and water < row.water)
    )


def _mixed_in_what(medicine: Medicine) -> bool:
    # A soft food is a word without an amount.
    unsaid = _water_in(medicine) is None
    mixed = medicine.prepare in MIXED or (
        medicine.prepare is None and medicine.form in _ALWAYS_MIXED
    )
    return mixed and unsaid


def _in_feed(patient: Patient, medicine: Medicine) -> list[int]:
    """Doses by the clock that fall inside a feeding; its first and last minute do not count."""
    steps = [step.times for step in medicine.steps if step.times]
    clocks = [clock for times in (medicine.times, *steps) for clock in times]
    spans = [
        span
        for stage in all_stages(patient)
        if stage.feed.through == medicine.through
        for span in stage.week
    ]
    return [
        minute
        for minute in sorted(week_minutes(clocks, medicine.days))
        if any(first < m < last for first, last in spans for m in (minute, minute + A_WEEK))
    ]


@check_of_2("medicine", "when")
def medicine_in_feed(given: Given) -> Checked:
    """A dose by the clock that falls inside a feeding through the same port (med-sep)."""
    patient = given.patient
    return each(
        part(
            f"medicines[{m.number}].times",
            "feeding",
            medicine=m.name,
            when=minute_words(minutes),
        )
        for m in patient.medicines
        if m.through is not None and (minutes := _in_feed(patient, m))
    )
