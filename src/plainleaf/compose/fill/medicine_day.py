"""A medicine as the day by the clock has it: its label, its dose, and what to heed with it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce

from plainleaf.compose.fill.filled_packet import Cell
from plainleaf.compose.fill.medicine_outcomes import PAUSES, decided_lines
from plainleaf.compose.fill.medicine_rows import (
    FALLS_APART,
    around_dose,
    made_another,
    must_say_never_crush,
    needed_for,
    pharmacy_makes,
    port_closed_for,
    when_given,
)
from plainleaf.compose.fill.medicine_words import (
    dose_or_table,
    in_a_row,
    medicine_name,
    mix_value,
    slug,
    small_syringe,
    strength_value,
)
from plainleaf.compose.fill.source import SlotSource, port_phrase, say, text_of
from plainleaf.compose.fill.tables_medicines import needed_lines
from plainleaf.facts.courses import course_of
from plainleaf.facts.derived import MedicineFacts, Phrase, Typed, Value
from plainleaf.inputs.patient import Medicine
from plainleaf.vocabulary import words_2
from plainleaf.vocabulary.doses import Dose
from plainleaf.vocabulary.patient_file.scalars_2 import Mix


def medicine_dose(source: SlotSource, medicine: Medicine, dose: Dose | None) -> Value:
    """A medicine by its label, with the dose of a day."""
    what = in_a_row([medicine_name(source, medicine), *_label(source, medicine, dose)])
    return say("event-medicine", medicine=what, dose=dose_or_table(source, dose))


def _label(source: SlotSource, medicine: Medicine, dose: Dose | None) -> Iterator[Value]:
    """Form and strength, where the dose does not say the form."""
    named = dose is not None and medicine.form in (dose.unit, dose.unit.removesuffix("s"))
    if not named and not made_another(source, medicine):
        written = source.patient.format == 1
        yield text_of(medicine.form) if written else Phrase(f"form-{slug(medicine.form)}")
    if medicine.strength is not None:
        yield strength_value(medicine.strength)


def medicine_way(medicine: Medicine) -> Value:
    """How what stays out of the tube is given."""
    if medicine.route is None:
        return Phrase("dose-way-outside")
    return Phrase(f"dose-way-{slug(medicine.route)}")


# Ways to make ready that take more words than one.
_IN_SENTENCES = ("as it is", "dissolve", "whole")


def made_ready(medicine: Medicine, mix: Mix | None) -> Iterator[Value]:
    """How a dose of format 2 is made ready, with what it is mixed in, where a word says it."""
    if medicine.prepare == "dissolve" and medicine.mix is not None:
        return
    if medicine.prepare is not None and medicine.prepare not in _IN_SENTENCES:
        yield Phrase(f"dose-made-{slug(medicine.prepare)}")
    if mix is not None:
        yield say("dose-in", mix=mix_value(mix))


def medicine_notes(
    source: SlotSource, medicine: Medicine, dose: Dose | None, *, pauses: bool = True
) -> Iterator[Value]:
    """What else to heed when a dose is given, in one line.

    Args:
        pauses: Whether it must be said that a feeding pauses for it, where that was decided.
    """
    facts = next(m for m in source.facts.medicines if m.medicine.number == medicine.number)
    written = source.patient.format == 1
    notes = _notes_of_1(medicine, facts) if written else _notes(source, medicine, facts, dose)
    said = [note for note in notes if pauses or note != PAUSES]
    if said:
        yield reduce(lambda first, other: say("day-next", first=first, next=other), said)


def _notes_of_1(medicine: Medicine, facts: MedicineFacts) -> Iterator[Value]:
    """How a medicine of format 1 is made ready; a liquid is measured, which its page says."""
    if medicine.through is None:
        return
    if medicine.prepare is not None:
        yield text_of(medicine.prepare)
    elif facts.answers["modified_release"] == "true" or medicine.crush == "never":
        yield Phrase("how-never-crush")
    elif medicine.crush == "pharmacist-approved":
        yield Phrase("ready-crush-in-water")
    elif facts.answers["medicine_form"] != "liquid":
        yield Phrase("how-ask-pharmacist")


def _notes(
    source: SlotSource, medicine: Medicine, facts: MedicineFacts, dose: Dose | None
) -> Iterator[Value]:
    if medicine.site is not None:
        yield say("patch-site", site=Phrase(f"site-{slug(medicine.site)}"))
    if course_of(medicine, source.patient.file).half_over_at(source.patient.prepared_on):
        yield Phrase("course-begun")
    yield from _ready(source, medicine, facts, dose)
    yield from around_dose(medicine)
    yield from decided_lines(source, medicine)


# --- one medicine as a row -----------------------------------------------------------------------


def off_clock_row(source: SlotSource, medicine: Medicine) -> tuple[Cell, Cell]:
    """When a medicine is given, and what, for what and how often."""
    way: list[Value] = []
    if medicine.through is None:
        way = [medicine_way(medicine)]
    elif source.two_ports:
        way = [say("dose-way-through", port=port_phrase(medicine.through, True))]
    elif source.patient.format != 1:
        way = [Phrase("dose-way-tube")]
    ready = made_ready(medicine, medicine.mix) if source.patient.format != 1 else ()
    dose: Dose | None = medicine.dose
    line = in_a_row([medicine_dose(source, medicine, dose), *way, *ready])
    written = source.patient.format == 1
    when = _when_of_1(medicine) if written else tuple(when_given(source, medicine))
    needed = medicine_needed(source, medicine)
    closed = port_closed_for(source, medicine)
    return when, (line, *needed, *closed, *medicine_notes(source, medicine, dose))


def _when_of_1(medicine: Medicine) -> Cell:
    """When a medicine of format 1 is given."""
    if medicine.as_needed:
        return (Phrase("time-only-when-needed"),)
    return (in_a_row([Typed("clock-short", clock) for clock in medicine.times]),)


def medicine_needed(source: SlotSource, medicine: Medicine) -> Cell:
    """For what a medicine is given, and how often at most."""
    return needed_lines(medicine) if source.patient.format == 1 else tuple(needed_for(medicine))


def _ready(
    source: SlotSource, medicine: Medicine, facts: MedicineFacts, dose: Dose | None
) -> Iterator[Value]:
    """How it is made ready, in what, and how long it then stands."""
    yield from _made_ready(source, medicine, facts)
    if medicine.mix is None and medicine.prepare in words_2.MIXED:
        yield Phrase("ready-ask-mix")
    if medicine.wait is not None:
        yield say("ready-wait", span=Typed("span", medicine.wait))
    if medicine.through is not None and dose is not None:
        yield from small_syringe(source, dose)
    if must_say_never_crush(source, medicine, facts):
        yield Phrase("ready-never-crush")
    if medicine.gloves:
        yield Phrase("ready-gloves")
    yield from (Phrase(f"keep-away-{slug(who)}") for who in medicine.keep_away)


def _made_ready(source: SlotSource, medicine: Medicine, facts: MedicineFacts) -> Iterator[Value]:
    """What a word cannot say of it."""
    prepare, form = medicine.prepare, facts.answers["medicine_form"]
    if pharmacy_makes(source, medicine) == "syringes":
        yield Phrase("ready-pharmacy-syringes")
    elif prepare == "dissolve" and medicine.mix is not None:
        how = form if form in FALLS_APART else "other"
        yield say(f"ready-dissolve-{how}", mix=mix_value(medicine.mix))
    elif prepare == "whole":
        yield Phrase("ready-whole")
