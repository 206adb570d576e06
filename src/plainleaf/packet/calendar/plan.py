"""Which reminders one patient gets: every date that is still to come and is this patient's own."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from datetime import date, datetime, timedelta

from plainleaf.facts import Facts
from plainleaf.facts.derived import Phrase, TimelineEntry
from plainleaf.facts.opening import span
from plainleaf.facts.visit_words import still_to_come, visit_what
from plainleaf.inputs.patient import Patient, Visit
from plainleaf.inputs.policy import Policy, days
from plainleaf.packet.calendar.dated import dated_reminders
from plainleaf.packet.calendar.reminder import A_YEAR, Reminder

# Timeline entry → phrase of its reminder. Washing with another line or tube waits for an answer.
_TITLES = {
    "dressing": "remind-dressing",
    "shower": "remind-shower",
    "bath": "remind-bath",
    "swim": "remind-swim",
}
_ASK_WITH_OTHER_LINES = {"shower": "remind-shower-ask"}
# A day and two hours before a visit; common practice, no source.
_BEFORE_A_VISIT = (timedelta(days=1), timedelta(hours=2))


def reminders(patient: Patient, policy: Policy, facts: Facts) -> tuple[Reminder, ...]:
    """Every reminder of one patient, in order of its first day.

    Nothing that has passed when the packet is made, and nothing without a date of its own.
    """
    found = [
        *_visits(patient),
        *_first_days(facts),
        *_change(patient, facts),
        *_balloon(patient, policy, facts),
        *_plan_and_call(patient, policy, facts),
        *dated_reminders(patient, facts),
    ]
    return tuple(sorted(found, key=lambda one: (day_of(one.starts), str(one.starts), one.key)))


def day_of(moment: datetime | date) -> date:
    """The day of a start, whether it has a time or not."""
    return moment.date() if isinstance(moment, datetime) else moment


def _visits(patient: Patient) -> Iterator[Reminder]:
    seen: Counter[str] = Counter()
    for visit in patient.visits:
        seen[visit.what] += 1
        moment = still_to_come(visit, patient.prepared_on)
        if moment is not None:
            key = f"visit:{visit.what}:{seen[visit.what]}"
            yield _visit(visit, moment, key, patient)


def _visit(visit: Visit, moment: datetime, key: str, patient: Patient) -> Reminder:
    """One visit: at its time, or for the whole day; one that comes again until its end."""
    title = Phrase("timeline-visit")
    if not names_someone(patient, visit.what):
        title = _visit_title(visit)
    where = None if names_someone(patient, visit.where or "") else visit.where
    if visit.when is not None:
        return Reminder(key, title, visit.when, where, ahead=_BEFORE_A_VISIT)
    day = moment.date()
    if visit.every is None:
        return Reminder(key, title, day, where)
    return Reminder(key, title, day, where, span(visit.every), visit.ends or day + A_YEAR)


def _visit_title(visit: Visit) -> Phrase:
    """What it is, and of format 2 how: a call is waited for at the phone."""
    what = ("what", visit_what(visit))
    if visit.how is None:
        return Phrase("remind-visit", (what,))
    return Phrase("remind-visit-by", (what, ("by", Phrase(f"visit-by-{visit.how}"))))


def names_someone(patient: Patient, text: str) -> bool:
    """Whether a text holds a part of the patient's or a learner's name, or the record number."""
    people = (patient.person.name, *(learner.name for learner in patient.learners))
    secret = {word for name in people for word in _words(name) if len(word) > 1}
    record = patient.person.record_number.casefold()
    alone = rf"(?<!\w){re.escape(record)}(?!\w)"
    return bool(secret & set(_words(text)) or re.search(alone, text.casefold()))


def _words(text: str) -> list[str]:
    return re.findall(r"\w+", text.casefold())


def _first_days(facts: Facts) -> Iterator[Reminder]:
    other_lines = facts.answers["other_lines"] == "true"
    for entry in facts.timeline:
        if entry.id not in _TITLES or entry.past:
            continue
        asks = _ASK_WITH_OTHER_LINES if other_lines else {}
        title = asks.get(entry.id, _TITLES[entry.id])
        yield Reminder(entry.id, Phrase(title), _start(entry))


def _start(entry: TimelineEntry) -> datetime | date:
    return entry.starts.date() if entry.whole_day else entry.starts


def _change(patient: Patient, facts: Facts) -> Iterator[Reminder]:
    """The window in which this kind of tube is usually changed: its first and its last day."""
    today = patient.prepared_on.date()
    for entry in facts.timeline:
        if entry.id != "change" or entry.ends is None:
            continue
        for key, moment in (("change-from", entry.starts), ("change-by", entry.ends)):
            if moment.date() > today:
                yield Reminder(key, Phrase(f"remind-{key}"), moment.date())


def _balloon(patient: Patient, policy: Policy, facts: Facts) -> Iterator[Reminder]:
    """The water in the balloon, for those who are taught to check it.

    It comes back until the tube is usually changed; where that time is over, for a year.
    """
    title = _balloon_title(patient, facts)
    if title is None:
        return
    every = timedelta(days=days(policy.quantity("balloon_check_every")))
    ordered = patient.dates.get("balloon_check_from")
    today = patient.prepared_on.date()
    first = today + every if ordered is None else ordered.date()
    if first < today:
        first += every * -((first - today) // every)
    ends = [entry.ends.date() for entry in facts.timeline if entry.id == "change" and entry.ends]
    last = max([end for end in ends if end > first], default=first + A_YEAR)
    yield Reminder("balloon", Phrase(title), first, every=every, until=last)


def _balloon_title(patient: Patient, facts: Facts) -> str | None:
    """Who is reminded of the balloon: the family, or whoever is ordered to check it."""
    by = (patient.overrides or {}).get("balloon_check_by")
    if by in ("staff", "nurse") and patient.tube.held_by == "balloon":
        return f"remind-balloon-{by}"
    return "remind-balloon" if facts.answers["balloon_check_at_home"] == "true" else None


def _plan_and_call(patient: Patient, policy: Policy, facts: Facts) -> Iterator[Reminder]:
    """The review of the feeding plan, and the call that a nurse promised."""
    if patient.feeding:
        after = timedelta(days=days(policy.quantity("plan_review_after")))
        yield Reminder("plan", Phrase("remind-plan"), patient.prepared_on.date() + after)
    for entry in facts.timeline:
        if entry.id == "follow-up" and entry.ends is not None:
            yield Reminder("follow-up", Phrase("remind-follow-up"), entry.ends)
