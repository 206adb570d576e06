"""The calendar file of RFC 5545: local times with their zone, whole days as dates.

`now` is `prepared.on`, and the zone rules come with a package, so that the same patient file
gives the same bytes.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from plainleaf.compose.word import NBSP, Wording, Words
from plainleaf.inputs.patient import Patient
from plainleaf.packet.calendar.plan import day_of
from plainleaf.packet.calendar.reminder import Reminder
from plainleaf.vocabulary.time_zones import Change, changes, offset_at

if TYPE_CHECKING:
    from icalendar import Alarm, Calendar, Event, TimezoneDaylight, TimezoneStandard

PRODUCT = "-//plainleaf//reminders 1//EN"
# A phone rings by day only; common practice, no source.
_RING_FROM, _RING_UNTIL = time(8), time(21)
_RING_ON_A_DAY = time(9)
# The zone's changes are written from this long before the packet to this long after its last day.
_MARGIN = timedelta(days=366)


def calendar_file(
    patient: Patient,
    zone: ZoneInfo,
    planned: Sequence[Reminder],
    wording: Wording,
    title: Words,
    about: Sequence[Words],
) -> bytes:
    """The reminders as a calendar in one language, with CRLF line ends and folded lines.

    Args:
        title: Name of the calendar.
        about: Sentences that stand in each entry: whom to call, whose word counts.
    Raises:
        LocaleError: A message has no current translation.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    for name in ("name", "x-wr-calname"):
        calendar.add(name, _plain(title, wording))
    stamp = patient.prepared_on.replace(tzinfo=zone).astimezone(UTC)
    said = " ".join(_plain(words, wording) for words in about)
    _add_zone(calendar, patient, zone, planned)
    for reminder in planned:
        event = _event(patient, zone, reminder, wording, stamp)
        event.add("description", said, parameters={"language": wording.catalog.language})
        calendar.add_component(event)
    written: bytes = calendar.to_ical()
    return written


def _plain(words: Words, wording: Wording) -> str:
    """Words without hard spaces; in a right-to-left language each merged value is isolated."""
    if wording.catalog.direction == "ltr":
        return words.plain
    return words.isolated.replace(NBSP, " ")


def _add_zone(
    calendar: Calendar, patient: Patient, zone: ZoneInfo, planned: Sequence[Reminder]
) -> None:
    """The zone with each change of its clocks round the dates of the file.

    RFC 5545, 3.6.5: a change is written at the time that the clocks showed before it. The
    library's own zones write the spring change an hour late, so they are not used.
    """
    from icalendar import Timezone

    first = patient.prepared_on.date()
    last = max([first, *(one.until or day_of(one.starts) for one in planned)])
    start, end = (datetime.combine(day, time(0), UTC) for day in (first - _MARGIN, last + _MARGIN))
    known = Timezone()
    known.add("tzid", zone.key)
    offset, local = offset_at(zone, start), start.astimezone(zone)
    began = Change(
        (start + offset).replace(tzinfo=None), offset, offset, local.tzname() or "",
        bool(local.dst()),
    )  # fmt: skip
    for change in (began, *changes(zone, start, end)):
        known.add_component(_clocks(change))
    calendar.add_component(known)


def _clocks(change: Change) -> TimezoneDaylight | TimezoneStandard:
    from icalendar import TimezoneDaylight, TimezoneStandard

    part = TimezoneDaylight() if change.summer else TimezoneStandard()
    part.add("dtstart", change.wall)
    part.add("tzoffsetfrom", change.before)
    part.add("tzoffsetto", change.after)
    part.add("tzname", change.name)
    return part


def _event(
    patient: Patient, zone: ZoneInfo, reminder: Reminder, wording: Wording, stamp: datetime
) -> Event:
    from icalendar import Event

    event = Event()
    summary = _plain(wording.value(reminder.title), wording)
    event.add("uid", unique_id(patient, reminder.key))
    event.add("dtstamp", stamp)
    event.add("sequence", _sequence(stamp))
    event.add("summary", summary, parameters={"language": wording.catalog.language})
    event.add("class", "PRIVATE")
    if isinstance(reminder.starts, datetime):
        event.add("dtstart", _local(reminder.starts, zone))
    else:
        event.add("dtstart", reminder.starts)
        event.add("transp", "TRANSPARENT")
    if reminder.every is not None:
        event.add("rrule", {"freq": "daily", "interval": reminder.every.days,
                            "until": reminder.until})  # fmt: skip
    if reminder.where is not None:
        event.add("location", reminder.where)
    for trigger in triggers(reminder, zone):
        event.add_component(_alarm(trigger, summary))
    return event


def unique_id(patient: Patient, key: str) -> str:
    """A name of an entry that stays from packet to packet and shows nothing of the patient."""
    person, tube = patient.person, patient.tube
    seed = (person.record_number, person.born, person.name, tube.placed, key)
    return str(uuid.uuid5(uuid.NAMESPACE_OID, repr(tuple(map(str, seed)))))


def _sequence(stamp: datetime) -> int:
    """Minutes since 2000: a later packet has a higher number, as an update must."""
    return int((stamp - datetime(2000, 1, 1, tzinfo=UTC)).total_seconds() // 60)


def _local(moment: datetime, zone: ZoneInfo) -> datetime:
    """A wall-clock time in its zone; an hour that the spring change leaves out is moved on.

    RFC 5545, 3.3.5: a time that does not exist counts with the offset before the change.
    """
    return moment.replace(tzinfo=zone).astimezone(UTC).astimezone(zone)


def _elapsed(start: datetime, end: datetime, zone: ZoneInfo) -> timedelta:
    """True time between two wall-clock times; a night of the clock change is not 24 hours."""
    return end.replace(tzinfo=zone).astimezone(UTC) - start.replace(tzinfo=zone).astimezone(UTC)


def triggers(reminder: Reminder, zone: ZoneInfo) -> list[timedelta]:
    """When a phone rings, counted from the start of the entry.

    What begins in the night rings the next morning, never before it may begin.
    """
    starts = reminder.starts
    if not isinstance(starts, datetime):
        midnight = datetime.combine(starts, time(0))
        return [_elapsed(midnight, datetime.combine(starts, _RING_ON_A_DAY), zone)]
    if reminder.ahead:
        return [-ahead for ahead in reminder.ahead]
    return [_elapsed(starts, _by_day(starts), zone)]


def _by_day(moment: datetime) -> datetime:
    if moment.time() < _RING_FROM:
        return datetime.combine(moment.date(), _RING_FROM)
    if moment.time() > _RING_UNTIL:
        return datetime.combine(moment.date() + timedelta(days=1), _RING_FROM)
    return moment


def _alarm(trigger: timedelta, summary: str) -> Alarm:
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", summary)
    alarm.add("trigger", trigger)
    return alarm
