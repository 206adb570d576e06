"""Whom to call, in words of the phrase file: names, numbers, hours, and who answers at others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import time

from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.facts.runs import A_DAY
from plainleaf.facts.week import A_WEEK, WeekSpan
from plainleaf.inputs.patient import Contact, Patient, Visit
from plainleaf.inputs.patient.order_values import SettledOutcome
from plainleaf.vocabulary.opening_hours import DAYS, Hours

# Two days in a row stand beside each other; from three on, a run stands by its ends.
_A_RUN = 3


def is_hospice_first(patient: Patient) -> bool:
    """Whether the hospice is called where else the emergency number is."""
    return patient.contacts.first_call == "hospice" and patient.contacts.hospice is not None


def first_called(patient: Patient) -> Contact:
    """Who is called in an emergency: emergency services, or the hospice where it comes first."""
    contacts = patient.contacts
    hospice = contacts.hospice
    return hospice if hospice is not None and is_hospice_first(patient) else contacts.emergency


def next_called(patient: Patient) -> Contact:
    """Who is called where the first gives no answer.

    With hospice first: the first of after hours, clinic and the emergency number that has another
    number.
    """
    contacts, first = patient.contacts, first_called(patient)
    others = (contacts.after_hours, contacts.clinic, contacts.emergency)
    return next((c for c in others if c.phone != first.phone), contacts.emergency)


def contact_called(patient: Patient, key: str) -> Contact:
    """The contact of a key that an order names; the emergency number gives way to the hospice."""
    if key == "emergency":
        return first_called(patient)
    contact: Contact | None = getattr(patient.contacts, key)
    return first_called(patient) if contact is None else contact


def is_for_emergency(patient: Patient, key: str) -> bool:
    """Whether an order that names this contact asks for the call of an emergency."""
    return contact_called(patient, key).phone == first_called(patient).phone


# --- hours ---------------------------------------------------------------------------------------


def _phrase(identity: str, **values: Value) -> Phrase:
    return Phrase(identity, tuple(values.items()))


def joined_by(identity: str, parts: Sequence[Value]) -> Value:
    """Values in one line, by a phrase with `first` and `second`."""
    first, *rest = parts
    for part in rest:
        first = _phrase(identity, first=first, second=part)
    return first


def days_phrase(days: Sequence[str]) -> Value:
    """Days of the week in their order, a run of three or more by its ends."""
    if len(days) == len(DAYS):
        return Phrase("hours-each-day")
    runs: list[list[int]] = []
    for number in map(DAYS.index, days):
        if runs and number == (runs[-1][-1] + 1) % len(DAYS):
            runs[-1].append(number)
        else:
            runs.append([number])
    return joined_by("list-two", [part for run in runs for part in _run(run)])


def _run(run: Sequence[int]) -> Iterator[Phrase]:
    names = [Phrase(f"weekday-{number + 1}") for number in run]
    if len(names) < _A_RUN:
        yield from names
    else:
        yield _phrase("hours-run", first=names[0], last=names[-1])


def _clock(at: time) -> Typed:
    return Typed("clock-short", at)


def hours_phrase(hours: Hours) -> Value:
    """When somebody answers: Monday to Friday, 8 am to 4 pm."""
    if hours.always:
        return Phrase("hours-always")
    spans = [
        _phrase(
            "hours-span",
            days=days_phrase(span.days),
            opens=_clock(span.opens),
            closes=_clock(span.closes),
        )
        for span in hours.spans
    ]
    return joined_by("hours-more", spans)


def _at(minute: int) -> time:
    return time(minute % A_DAY // 60, minute % 60)


def _day(minute: int) -> str:
    return DAYS[minute // A_DAY % len(DAYS)]


def minutes_phrase(minutes: Iterable[int]) -> Value:
    """Minutes of the week, the days of one clock time together: Saturday, Sunday, at 7:30 am."""
    days: dict[time, list[str]] = {}
    for minute in sorted(minutes):
        days.setdefault(_at(minute), []).append(_day(minute))
    times = [
        _phrase("hours-at", days=days_phrase(on), time=_clock(clock)) for clock, on in days.items()
    ]
    return joined_by("hours-more", times)


def spans_phrase(spans: Iterable[WeekSpan]) -> Value:
    """Spans of the week, the days of those with the same clock times together."""
    days: dict[tuple[time, time, int], list[str]] = {}
    for start, end in sorted(spans):
        if end - start >= A_WEEK:
            return Phrase("hours-always")
        days.setdefault((_at(start), _at(end), end - start), []).append(_day(start))
    return joined_by("hours-more", [part for key, on in days.items() for part in _span(key, on)])


def _span(key: tuple[time, time, int], days: Sequence[str]) -> Iterator[Phrase]:
    opens, closes, long = key
    if long < A_DAY:
        yield _phrase(
            "hours-span", days=days_phrase(days), opens=_clock(opens), closes=_clock(closes)
        )
        return
    for day in days:
        start = DAYS.index(day) * A_DAY + opens.hour * 60 + opens.minute
        yield _phrase(
            "hours-over-days",
            day=Phrase(f"weekday-{DAYS.index(day) + 1}"),
            opens=_clock(opens),
            last=Phrase(f"weekday-{DAYS.index(_day(start + long)) + 1}"),
            closes=_clock(closes),
        )


# --- calls ---------------------------------------------------------------------------------------


def is_not_always_there(contact: Contact) -> bool:
    """Whether a contact has hours at which nobody answers."""
    return contact.open is not None and not contact.open.always


def name_phrase(contact: Contact) -> Value:
    """A contact by name with its number; by its number alone where it has no name."""
    phone = Typed("phone", contact.phone)
    if not contact.name:
        return phone
    return _phrase("contact-named", name=Typed("text", contact.name), phone=phone)


def call_phrase(patient: Patient, contact: Contact) -> Phrase:
    """A sentence: call this contact, and who answers at other hours, with both numbers.

    Wherever a contact has hours, the line of after hours stands beside it with its number.
    """
    who = name_phrase(contact)
    other = patient.contacts.after_hours
    if contact.open is None or not is_not_always_there(contact) or other.phone == contact.phone:
        return _phrase("contact-call", who=who)
    return _phrase(
        "contact-call-hours", who=who, hours=hours_phrase(contact.open), other=name_phrase(other)
    )


def outcomes_of(patient: Patient, finding: str, do: str) -> tuple[SettledOutcome, ...]:
    """What was decided of a finding by one outcome, in file order."""
    return tuple(o for o in patient.outcomes if o.finding == finding and o.do == do)


def call_for(patient: Patient, key: str, about: str) -> Phrase:
    """A sentence: whom a planned check or call goes to, as it was settled for closed hours.

    Args:
        key: The contact that the order names.
        about: What a decision calls it: what is watched, a visit's kind, a medicine's name.
    """
    contact = contact_called(patient, key)
    for outcome in patient.outcomes:
        if outcome.finding != "contact-closed" or about not in outcome.about:
            continue
        if outcome.do == "call-instead":
            return call_phrase(patient, contact_called(patient, str(outcome.fields["contact"])))
        if contact.open is not None:
            return _phrase(
                "contact-call-opening", who=name_phrase(contact), hours=hours_phrase(contact.open)
            )
    return call_phrase(patient, contact)


# Whom a call by phone or video goes to, by its kind; any other goes to the clinic.
_OF_VISITS = {
    "dietitian": "dietitian", "diabetes": "diabetes", "oncology": "oncology",
    "hospice nurse": "hospice", "home nurse": "home_nurse", "pharmacy": "pharmacy",
    "supply delivery": "supplies",
}  # fmt: skip


def visit_contact(patient: Patient, visit: Visit) -> Contact:
    """Who is called for a visit by phone or video: its place, its own line, else the clinic."""
    own: Contact | None = getattr(patient.contacts, _OF_VISITS.get(visit.what, "clinic"))
    return visit.place or own or patient.contacts.clinic


def settled_visit(patient: Patient, visit: Visit) -> Phrase | None:
    """What was decided of a call that falls outside its contact's hours; None where nothing was."""
    for outcome in patient.outcomes:
        if outcome.finding != "contact-closed" or visit.what not in outcome.about:
            continue
        if outcome.do == "call-instead":
            return call_phrase(patient, contact_called(patient, str(outcome.fields["contact"])))
        contact = visit_contact(patient, visit)
        if contact.open is not None:
            return _phrase(
                "contact-call-opening", who=name_phrase(contact), hours=hours_phrase(contact.open)
            )
    return None


# Others of the contacts, by key; the supply company stands with the supplies.
_MORE = ("home_nurse", "dietitian", "pharmacy", "diabetes", "oncology")


def more_contacts(patient: Patient) -> Iterator[tuple[str, Contact]]:
    """Phrase of a label, and whom else to call than clinic, nights and supplies, each once."""
    contacts = patient.contacts
    given = [contacts.clinic, contacts.after_hours]
    named = [("contact-hospice", contacts.hospice)]
    named += [(f"contact-{key.replace('_', '-')}", getattr(contacts, key)) for key in _MORE]
    for label, contact in named:
        if contact is not None and contact not in given:
            given.append(contact)
            yield label, contact
    yield from (("contact-other", contact) for contact in contacts.others)
    hospice = is_hospice_first(patient)
    if hospice or contacts.emergency.name:
        yield "contact-last" if hospice else "contact-emergency", contacts.emergency
