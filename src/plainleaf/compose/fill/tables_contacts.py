"""The tables of whom to call: of page one, of everybody, and of who steps in."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource, text_of
from plainleaf.facts.calls import (
    first_called,
    hours_phrase,
    is_hospice_first,
    minutes_phrase,
    more_contacts,
    outcomes_of,
)
from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.facts.duty_times import tasks_of, uncovered
from plainleaf.inputs.patient import Contact, Patient
from plainleaf.inputs.patient.order_values import SettledOutcome
from plainleaf.vocabulary.words_2 import DUTIES

Row = tuple[Cell, ...]
# Keys under `contacts` besides who is called about the tube, in the order of the table.


def _hours(contact: Contact) -> Cell:
    """When a contact answers, where that is not always."""
    if contact.open is not None:
        return () if contact.open.always else (hours_phrase(contact.open),)
    return (text_of(contact.hours),) if contact.hours else ()


def _phone(contact: Contact) -> Cell:
    return (Typed("phone", contact.phone),)


def _called(patient: Patient) -> tuple[str, list[Row]]:
    """How the rows are marked, and the rows: night first, since who takes the first row at noon
    reaches people, and who takes the day row at night does not."""
    contacts = patient.contacts
    if is_hospice_first(patient):
        hospice = first_called(patient)
        return "phones_hospice", [((Phrase("phone-hospice"), *_hours(hospice)), _phone(hospice))]
    night, day = contacts.after_hours, contacts.clinic
    if night.phone == day.phone:
        return "phones_one", [((Phrase("contact-any"),), _phone(night))]
    by_night = ((Phrase("contact-after-hours"), *_hours(night)), _phone(night))
    return "phones", [by_night, ((Phrase("contact-clinic"), *_hours(day)), _phone(day))]


def contacts_box(source: SlotSource) -> FilledBlock:
    """Whom to call about the tube: the night row, then the day row with its hours."""
    name, rows = _called(source.patient)
    return FilledBlock(name, "contacts", ("head-whom", "head-phone"), tuple(rows))


def _row(label: Value, contact: Contact) -> Row:
    name: Cell = (label,)
    if contact.name:
        name += (text_of(contact.name),)
    name += _hours(contact)
    if contact.place:
        name += (text_of(contact.place),)
    return name, _phone(contact)


def contacts_more(source: SlotSource) -> FilledBlock:
    """Whom else to call, by name, with hours and place."""
    rows = tuple(_row(Phrase(label), contact) for label, contact in more_contacts(source.patient))
    return FilledBlock("contacts_more", "plan", ("head-whom", "head-phone"), rows)


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


def backups(patient: Patient) -> Iterator[Cell]:
    """Who steps in, for what, when, and the phone."""
    for finding in ("one-trained-helper", "duty-not-covered"):
        for outcome in outcomes_of(patient, finding, "backup"):
            name = text_of(str(outcome.fields["who"]))
            phone = Typed("phone", str(outcome.fields["phone"]))
            yield (name, *_duties(outcome), *_times(patient, outcome), phone)
