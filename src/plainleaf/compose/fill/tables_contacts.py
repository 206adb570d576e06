"""The tables of whom to call: of page one, and of the tube card."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource, say, text_of
from plainleaf.facts.calls import (
    first_called,
    hours_phrase,
    is_hospice_first,
    minutes_phrase,
    outcomes_of,
    spans_phrase,
)
from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.facts.duty_times import rescue_gaps, rescue_needs, tasks_of, uncovered
from plainleaf.inputs.patient import Contact, Patient
from plainleaf.inputs.patient.order_values import SettledOutcome
from plainleaf.vocabulary.words_2 import DUTIES

Row = tuple[Cell, ...]
# Keys under `contacts` after the emergency number, in the order of the table.
_KEYS = (
    "clinic", "after_hours", "hospice", "home_nurse", "dietitian", "pharmacy", "diabetes",
    "oncology", "supplies",
)  # fmt: skip


def _label(key: str) -> Phrase:
    return Phrase(f"contact-{key.replace('_', '-')}")


def _contact_row(label: Value, contact: Contact) -> Row:
    name: Cell = (label,)
    if contact.name:
        name += (text_of(contact.name),)
    if contact.open is not None:
        name += (hours_phrase(contact.open),)
    elif contact.hours:
        name += (text_of(contact.hours),)
    if contact.place:
        name += (text_of(contact.place),)
    return (name, (Typed("phone", contact.phone),))


def _named(patient: Patient) -> Iterator[tuple[Value, Contact]]:
    """Every contact with its label, who is called first at the top, each number once.

    With hospice first the emergency number comes last: for when nobody else answers.
    """
    contacts = patient.contacts
    first = first_called(patient)
    hospice = is_hospice_first(patient)
    yield Phrase("contact-hospice-first" if hospice else "contact-emergency"), first
    given = [first]
    for key in _KEYS:
        contact: Contact | None = getattr(contacts, key)
        if contact is None or (hospice and contact in given):
            continue
        given.append(contact)
        yield _label(key), contact
    for contact in contacts.others:
        yield Phrase("contact-other"), contact
    if hospice:
        yield Phrase("contact-last"), contacts.emergency


def _named_of_1(patient: Patient) -> Iterator[tuple[Value, Contact]]:
    contacts = patient.contacts
    yield Phrase("contact-emergency"), contacts.emergency
    yield Phrase("contact-clinic"), contacts.clinic
    yield Phrase("contact-after-hours"), contacts.after_hours
    for contact in contacts.others:
        yield Phrase("contact-other"), contact


# --- who steps in --------------------------------------------------------------------------------


def _duties(outcome: SettledOutcome) -> Iterator[Phrase]:
    for duty in DUTIES:
        if duty in outcome.about:
            yield Phrase(f"duty-{duty}")


def _times(patient: Patient, outcome: SettledOutcome) -> Iterator[Value]:
    """When nobody with a duty is there, of a decision about those times."""
    tasks = tasks_of(patient)
    minutes = {
        minute
        for duty in outcome.about
        if duty in tasks
        for minute in uncovered(patient, duty, tasks[duty])
    }
    if outcome.finding == "duty-not-covered" and minutes:
        yield minutes_phrase(minutes)


def _backup_rows(patient: Patient) -> Iterator[tuple[Cell, Cell]]:
    """Who steps in for whom, for what, and when."""
    for finding in ("one-trained-helper", "duty-not-covered"):
        for outcome in outcomes_of(patient, finding, "backup"):
            cell: Cell = (Phrase("contact-backup"), text_of(str(outcome.fields["who"])))
            cell += (*_duties(outcome), *_times(patient, outcome))
            yield cell, (Typed("phone", str(outcome.fields["phone"])),)


def rescue_alone(patient: Patient) -> Value | None:
    """The hours at which nobody may help in what cannot wait, where it was settled that the
    emergency number is called then; None where it was not."""
    if not outcomes_of(patient, "rescue-not-covered", "emergency-first"):
        return None
    seizure = any(key.startswith("medicines") for key in rescue_needs(patient))
    return spans_phrase(rescue_gaps(patient, alone=not seizure))


def _alone_rows(patient: Patient) -> Iterator[Row]:
    hours = rescue_alone(patient)
    if hours is not None:
        phone = Typed("phone", first_called(patient).phone)
        yield ((Phrase("contact-nobody"), hours), (say("contact-nobody-do", phone=phone),))


def contacts_box(source: SlotSource) -> FilledBlock:
    """Whom to call, with the phones; of format 2 with hours in words, and who steps in."""
    patient = source.patient
    named = _named_of_1(patient) if patient.format == 1 else _named(patient)
    rows = [_contact_row(label, contact) for label, contact in named]
    if patient.format != 1:
        rows += [*_alone_rows(patient), *_backup_rows(patient)]
    return FilledBlock("contacts_box", "contacts", ("head-whom", "head-phone"), tuple(rows))
