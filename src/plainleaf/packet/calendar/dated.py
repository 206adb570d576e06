"""Reminders of a dated file: what begins, changes, ends or comes again on days of its own."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from plainleaf.facts import Facts
from plainleaf.facts.derived import Phrase
from plainleaf.facts.opening import span
from plainleaf.inputs.patient import Medicine, Patient
from plainleaf.packet.calendar.reminder import A_YEAR, Reminder
from plainleaf.vocabulary.opening_hours import DAYS
from plainleaf.vocabulary.quantities import Quantity

_A_DAY = timedelta(days=1)
# What comes again after hours that make no whole days stands alone, so far ahead.
_AHEAD = timedelta(days=60)
# Kind of order → phrase of the day on which it changes.
_CHANGES = {
    "feeding": "remind-feeding-changes",
    "additives": "remind-feeding-changes",
    "medicines": "remind-medicine-changes",
    "watch": "remind-check-changes",
}
_ORDERED = {
    "skin_buttons_off": "remind-skin-buttons",
    "stitches_out": "remind-stitches",
    "tube_change": "remind-tube-change",
}


def dated_reminders(patient: Patient, facts: Facts) -> Iterator[Reminder]:
    """Everything of a file of format 2 that has days of its own, besides visits."""
    if patient.format == 1:
        return
    yield from _changes(patient, facts)
    for medicine in patient.medicines:
        yield from _medicine(medicine, patient.prepared_on)
    for check in patient.watch:
        if check.every is not None and check.next is not None:
            title = f"remind-check-{check.what.replace(' ', '-')}"
            key = f"check:{check.what}"
            yield from _again(key, title, check.next, check.every, check.ends, patient.prepared_on)
    yield from _ordered_dates(patient)
    until = patient.person.mouth_until
    if until is not None and until >= patient.prepared_on.date():
        yield Reminder("mouth-until", Phrase("remind-mouth"), until)


def _changes(patient: Patient, facts: Facts) -> Iterator[Reminder]:
    """The first day of each plan, once for each kind of order that changes on it."""
    for plan in facts.plans:
        if plan.first <= patient.prepared_on.date():
            continue
        kinds = (key.split("[")[0].split(".")[0] for key in plan.changed)
        titles = dict.fromkeys(_CHANGES[kind] for kind in kinds if kind in _CHANGES)
        for title in titles:
            yield Reminder(f"{title}:{plan.first}", Phrase(title), plan.first)


def _medicine(medicine: Medicine, now: datetime) -> Iterator[Reminder]:
    """A medicine that is not for every day: on its weekdays, or each time it comes again."""
    key, title = f"medicine:{medicine.name}:{medicine.number}", "remind-medicine"
    if medicine.form == "patch":
        title = "remind-patch"
    if medicine.every is not None and medicine.next is not None:
        yield from _again(key, title, medicine.next, medicine.every, medicine.ends, now)
    first = max(filter(None, (medicine.begins, now.date())))
    for day in medicine.days:
        start = first + timedelta(days=(DAYS.index(day) - first.weekday()) % 7)
        until = medicine.ends or start + A_YEAR
        if start <= until:
            yield Reminder(f"{key}:{day}", Phrase(title), start, every=7 * _A_DAY, until=until)


def _again(
    key: str, title: str, first: date, every: Quantity, last: date | None, now: datetime
) -> Iterator[Reminder]:
    """What comes again from a moment on: whole days as one entry, else each time alone."""
    step = span(every)
    if step % _A_DAY:
        yield from _each_time(key, title, first, step, last, now)
        return
    day = first.date() if isinstance(first, datetime) else first
    if day < now.date():
        day += step * -((day - now.date()) // step)
    until = last or day + A_YEAR
    if day <= until:
        yield Reminder(key, Phrase(title), day, every=step, until=until)


def _each_time(
    key: str, title: str, first: date, step: timedelta, last: date | None, now: datetime
) -> Iterator[Reminder]:
    moment = first if isinstance(first, datetime) else datetime.combine(first, time())
    end = now + _AHEAD if last is None else datetime.combine(last + _A_DAY, time())
    while moment < min(end, now + _AHEAD):
        if moment >= now:
            yield Reminder(f"{key}:{moment}", Phrase(title), moment)
        moment += step


def _ordered_dates(patient: Patient) -> Iterator[Reminder]:
    for key, title in _ORDERED.items():
        moment = patient.dates.get(key)
        if moment is None:
            continue
        start = moment.date() if key in patient.whole_days else moment
        today = patient.prepared_on
        if (moment.date() >= today.date()) if key in patient.whole_days else moment >= today:
            yield Reminder(key, Phrase(title), start)
