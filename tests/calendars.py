"""A calendar file for tests: made from a changed example, read back with another parser.

Judges: vobject reads the file, dateutil reads its zone and repeats; neither is part of the program.
"""

from __future__ import annotations

from datetime import datetime
from io import StringIO
from typing import Any

import vobject
from builders import BASE, Changes, facts_with, library, patient_with, policy
from dateutil import tz

from plainleaf.compose.word import Wording
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.policy import Policy
from plainleaf.packet.calendar import calendar_file, reminders
from plainleaf.vocabulary.time_zones import zone

WORDS = Wording(library(), Catalog("en", {}))


def calendar_with(
    changes: Changes | None = None, base: str = BASE, rules: Policy | None = None
) -> bytes:
    """The calendar file of a changed example."""
    facts = facts_with(changes, base, rules)
    return calendar_of(patient_with(changes, base), facts, rules or policy())


def calendar_of(patient: Patient, facts: Any, rules: Policy, words: Wording = WORDS) -> bytes:
    """The calendar file of a patient."""
    title, about = words.phrase("handout-title"), [words.phrase("remind-changes")]
    planned = reminders(patient, rules, facts)
    return calendar_file(patient, zone(rules.word("time_zone")), planned, words, title, about)


def events(data: bytes) -> dict[str, Any]:
    """Title → entry, as vobject reads them."""
    calendar = vobject.readOne(data.decode())
    found = {event.summary.value: event for event in calendar.contents.get("vevent", [])}
    assert len(found) == len(calendar.contents.get("vevent", []))
    return found


def zone_in(data: bytes) -> Any:
    """The zone that the file itself describes, as dateutil reads it."""
    return tz.tzical(StringIO(data.decode().replace("\r\n", "\n"))).get()


def wall(moment: Any) -> datetime:
    """A time as the clocks show it."""
    shown: datetime = moment.replace(tzinfo=None)
    return shown
