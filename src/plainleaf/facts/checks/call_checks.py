"""Checks on calls and lessons: whether a line is open, whether a session can be as it is written.

Asked of format 2 alone. None of them is ever unknown.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from plainleaf.facts.calls import visit_contact
from plainleaf.facts.checks.outcome import check_of_2, each, listed, part
from plainleaf.facts.derived import Checked
from plainleaf.facts.feed_stages import last_moment, tied_minutes
from plainleaf.facts.given import Given
from plainleaf.facts.runs import A_DAY, minute_of, minutes_in
from plainleaf.facts.sugar_scale import called_by
from plainleaf.facts.week import is_there, minute_words, open_on
from plainleaf.inputs.patient import Contact, Patient, Visit
from plainleaf.inputs.patient.order_values import Check
from plainleaf.vocabulary.opening_hours import DAYS
from plainleaf.vocabulary.patient_file.scalars_2 import moment_of
from plainleaf.vocabulary.quantities import Quantity

# Minutes that one topic takes with one learner, at the least; common practice, no source.
MINUTES_A_TOPIC = 5
# After so many times what comes again in whole days has met each day of the week that it meets.
_TURNS = len(DAYS)


@dataclass(frozen=True)
class Occasion:
    """Something at which a contact may be called: at minutes of the week, or on whole days."""

    key: str
    words: str
    contact: Contact
    minutes: frozenset[int] = frozenset()
    days: tuple[str, ...] = ()

    @property
    def closed(self) -> str:
        """When nobody answers, in words; empty where the hours are open, or nobody wrote them."""
        hours = self.contact.open
        if hours is None:
            return ""
        minutes = [m for m in self.minutes if not is_there(hours, m)]
        days = [day for day in self.days if not open_on(hours, day)]
        return "; ".join(words for words in (minute_words(minutes), ", ".join(days)) if words)


def _contact(patient: Patient, key: str) -> Contact | None:
    contact: Contact | None = getattr(patient.contacts, key)
    return contact


def _turns(first: date, every: Quantity | None, last: date | None) -> Iterator[date]:
    """The first time and those that follow, until each day of the week has been met."""
    end = last_moment(last)
    moment = moment_of(first)
    assert moment is not None
    for _ in range(1 if every is None else _TURNS):
        if end is not None and moment >= end:
            return
        yield moment if isinstance(first, datetime) else moment.date()
        moment += timedelta(minutes=0 if every is None else minutes_in(every))


def _on(turns: Iterable[date]) -> tuple[frozenset[int], tuple[str, ...]]:
    """Minutes of the week of moments, and days of the week of days."""
    every = list(turns)
    minutes = (t.weekday() * A_DAY + minute_of(t.time()) for t in every if isinstance(t, datetime))
    days = (DAYS[t.weekday()] for t in every if not isinstance(t, datetime))
    return frozenset(minutes), tuple(dict.fromkeys(days))


def _check_times(patient: Patient, check: Check) -> tuple[frozenset[int], tuple[str, ...]]:
    if check.next is not None:
        return _on(_turns(check.next, check.every, check.ends))
    if not check.times and check.tied is None:
        return frozenset(), check.days
    return tied_minutes(patient, check.times, check.tied, check.days), ()


def _check_occasions(patient: Patient) -> Iterator[Occasion]:
    for number, check in enumerate(patient.watch):
        contact = _contact(patient, check.call)
        if contact is not None:
            words = f"the check of {check.what}"
            yield Occasion(f"watch[{number}]", words, contact, *_check_times(patient, check))


def _scale_occasions(patient: Patient) -> Iterator[Occasion]:
    for medicine in patient.medicines:
        for key in called_by(medicine.scale or {}):
            contact = _contact(patient, key)
            if contact is not None:
                minutes = tied_minutes(patient, medicine.times, medicine.tied, medicine.days)
                name = f"medicines[{medicine.number}].scale"
                words = f"the scale of {medicine.name}"
                yield Occasion(name, words, contact, minutes)


def _visit_times(visit: Visit, now: datetime) -> tuple[frozenset[int], tuple[str, ...]]:
    first: date | None = visit.when or visit.day or visit.begins
    if first is None:
        return frozenset(), ()
    today = now if isinstance(first, datetime) else now.date()
    return _on(t for t in _turns(first, visit.every, visit.ends) if t >= today)


def _visit_occasions(patient: Patient) -> Iterator[Occasion]:
    for number, visit in enumerate(patient.visits):
        if visit.how not in ("phone", "video"):
            continue
        contact = visit_contact(patient, visit)
        words = f"the {visit.what} call"
        times = _visit_times(visit, patient.prepared_on)
        yield Occasion(f"visits[{number}]", words, contact, *times)


@check_of_2("what", "contact", "hours", "when")
def contact_closed(given: Given) -> Checked:
    """A check, a dose by a scale or a planned call at a time when its contact does not answer."""
    patient = given.patient
    occasions = (
        *_check_occasions(patient), *_scale_occasions(patient), *_visit_occasions(patient)
    )  # fmt: skip
    return each(
        part(
            occasion.key,
            what=occasion.words,
            contact=occasion.contact.name or occasion.contact.phone,
            hours=occasion.contact.hours or "",
            when=closed,
        )
        for occasion in occasions
        if (closed := occasion.closed)
    )


# --- sessions ------------------------------------------------------------------------------------


@check_of_2("number", "moment")
def session_past(given: Given) -> Checked:
    """A teaching session that lies before `prepared.at`."""
    return each(
        part(
            f"sessions[{number}].at",
            number=str(number + 1),
            moment=session.at.strftime("%Y-%m-%d %H:%M"),
        )
        for number, session in enumerate(given.patient.sessions)
        if session.at < given.prepared
    )


@check_of_2("what")
def session_short(given: Given) -> Checked:
    """A session that is shorter than its topics take with its learners (practice)."""
    short = []
    for number, session in enumerate(given.patient.sessions):
        asks = MINUTES_A_TOPIC * len(session.topics) * len(session.who)
        if minutes_in(session.lasts) < asks:
            words = f"session {number + 1} lasts {session.lasts} and asks about {asks} min"
            short.append((f"sessions[{number}].for", words))
    return listed(short)


@check_of_2("what")
def learner_in_no_session(given: Given) -> Checked:
    """Sessions are planned, and somebody who gives care is in none of them."""
    patient = given.patient
    taught = {name for session in patient.sessions for name in session.who}
    missing = [
        (f"learners[{number}]", learner.name)
        for number, learner in enumerate(patient.learners)
        if patient.sessions and learner.duties and learner.name not in taught
    ]
    return listed(missing)
