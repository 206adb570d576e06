"""For every patient: the calendar reads back whole, names nobody and says what the paper says.

Judge: vobject, an independent parser.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta

from builders import policy, policy_with
from calendars import calendar_of, events, wall
from hypothesis import given
from hypothesis import strategies as st
from strategies import Data, Made, few, files

from plainleaf.packet.calendar import reminders

ZONES = ("America/New_York", "America/Los_Angeles", "Asia/Kathmandu", "Pacific/Auckland")


def _day(moment: datetime | date) -> date:
    return moment.date() if isinstance(moment, datetime) else moment


@few(60)
@given(files(), st.sampled_from(ZONES))
def test_each_reminder_is_one_entry_at_its_time(data: Data, name: str) -> None:
    made = Made(data)
    rules = policy_with(time_zone=name)
    planned = reminders(made.patient, rules, made.facts)
    found = events(calendar_of(made.patient, made.facts, rules))
    assert len(found) == len(planned)
    expected = sorted(str(one.starts) for one in planned)
    starts = [event.dtstart.value for event in found.values()]
    shown = sorted(str(wall(s) if isinstance(s, datetime) else s) for s in starts)
    skipped_hour = [s for s in starts if isinstance(s, datetime) and _in_a_gap(wall(s))]
    assert shown == expected or skipped_hour


def _in_a_gap(moment: datetime) -> bool:
    """Whether a time was moved on because the spring change leaves its hour out."""
    return moment.hour == 3 and moment.month in (3, 9)


@few(60)
@given(files())
def test_nothing_lies_in_the_past_and_nothing_names_the_patient(data: Data) -> None:
    made = Made(data)
    today = made.patient.prepared_on
    for one in reminders(made.patient, policy(), made.facts):
        assert _day(one.starts) >= today.date()
        if isinstance(one.starts, datetime):
            assert one.starts >= today
    text = calendar_of(made.patient, made.facts, policy()).decode().replace("\r\n ", "")
    person = made.patient.person
    for secret in (person.name, person.record_number, *(lr.name for lr in made.patient.learners)):
        assert secret not in text


@few(40)
@given(files())
def test_dates_are_those_of_the_timeline(data: Data) -> None:
    made = Made(data)
    told = {entry.id: entry for entry in made.facts.timeline}
    planned = {one.key: one for one in reminders(made.patient, policy(), made.facts)}
    for key in ("dressing", "shower", "bath", "swim"):
        # A baby takes no shower.
        assert (key in planned) is (key in told and not told[key].past)
        if key in planned:
            assert _day(planned[key].starts) == told[key].starts.date()
    if "change-from" in planned:
        span = planned["change-by"].starts - planned["change-from"].starts
        assert timedelta(days=0) < span < timedelta(days=800)
