"""The table of whom to call."""

from __future__ import annotations

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource, text_of
from plainleaf.facts.derived import Phrase, Typed
from plainleaf.inputs.patient import Contact


def _contact_row(label: str, contact: Contact) -> tuple[Cell, ...]:
    name: Cell = (Phrase(label),)
    if contact.name:
        name += (text_of(contact.name),)
    if contact.hours:
        name += (text_of(contact.hours),)
    return (name, (Typed("phone", contact.phone),))


def contacts_box(source: SlotSource) -> FilledBlock:
    """Whom to call, with the phones."""
    contacts = source.patient.contacts
    rows = [
        _contact_row("contact-emergency", contacts.emergency),
        _contact_row("contact-clinic", contacts.clinic),
        _contact_row("contact-after-hours", contacts.after_hours),
    ]
    rows += [_contact_row("contact-other", contact) for contact in contacts.others]
    return FilledBlock("contacts_box", "contacts", ("head-whom", "head-phone"), tuple(rows))
