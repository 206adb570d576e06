"""The calendar for the family's phone.

Judges: vobject (another parser of RFC 5545) reads every file back; dateutil reads the zone that
the file describes and the repeats; zoneinfo says what the clocks show. Form: RFC 5545.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from builders import facts_with, library, patient_with, policy, policy_with
from calendars import calendar_of, calendar_with, events, wall, zone_in
from dateutil.rrule import rrulestr
from order_sets import RESTING, order_set

from plainleaf.compose.word import Wording
from plainleaf.facts import derive
from plainleaf.facts.derived import Phrase
from plainleaf.inputs.catalog import Catalog, Message
from plainleaf.packet.calendar import Reminder, reminders
from plainleaf.packet.calendar.ics import triggers, unique_id
from plainleaf.packet.calendar.plan import names_someone
from plainleaf.vocabulary.quantities import read_quantity
from plainleaf.vocabulary.time_zones import zone

NEW_YORK = zone("America/New_York")
EARLY = {"prepared.on": "2026-03-03 16:00"}  # two hours after the tube was placed
VISIT = {"visits": [{"what": "First tube check", "when": "2026-03-18 09:00", "where": "Desk 2"}]}
HEALED = {
    "tube.placed": "2025-11-03 14:00", "tube.opening_healed": {"by": "Dr. A", "on": "2026-01-03"}
}  # fmt: skip
CALL = "Call us if no nurse has called you yet"
FROM, BY = (
    "Call us to plan the change of the tube",
    "Call us if the tube has not been changed yet",
)
PLAN = "Ask us if the feeding plan still fits"


def plan(changes: dict[str, Any] | None = None, base: str = "g-balloon-syringe") -> dict[str, Any]:
    """Key → reminder."""
    found = reminders(patient_with(changes, base), policy(), facts_with(changes, base))
    assert len({one.key for one in found}) == len(found)
    return {one.key: one for one in found}


# --- which reminders: placed 2026-03-03 14:00, counted by hand from the policy -----------------


def test_every_date_to_come_has_its_entry() -> None:
    found = events(calendar_with({**EARLY, **VISIT}))
    starts = {title: event.dtstart.value for title, event in found.items()}
    assert {title: wall(s) if isinstance(s, datetime) else s for title, s in starts.items()} == {
        "The first dressing may come off now": datetime(2026, 3, 4, 14),  # 24 h
        "Showers are allowed from now on": datetime(2026, 3, 5, 14),  # 48 h
        CALL: datetime(2026, 3, 6, 16),  # 72 h from the packet
        "Visit: First tube check": datetime(2026, 3, 18, 9),
        "Ask us if a bath is allowed now": date(2026, 3, 31),  # 28 d
        "Ask us if swimming is allowed now": date(2026, 3, 31),  # 28 d
        FROM: date(2026, 6, 1),  # 90 d
        PLAN: date(2026, 6, 1),  # 90 d from the packet
        BY: date(2026, 8, 30),  # 180 d
    }


def test_what_has_passed_is_not_there() -> None:
    later = {"prepared.on": "2026-04-01 10:00", **VISIT}
    assert set(plan(later)) == {"follow-up", "plan", "change-from", "change-by"}
    assert not {"change-from", "change-by"} & set(plan({"prepared.on": "2026-08-30 10:00"}))


def test_only_what_this_patient_has() -> None:
    assert not {"change-from", "change-by"} & set(plan(base="j-surgical-continuous"))
    assert "plan" not in plan({"feeding": []})
    assert not [key for key in plan() if key.startswith("visit")]


def test_washing_with_another_line_waits_for_an_answer() -> None:
    titles = {one.key: one.title.id for one in plan({**EARLY, "other_lines": ["PICC"]}).values()}
    assert titles["shower"] == "remind-shower-ask"
    assert (titles["bath"], titles["swim"]) == ("remind-bath", "remind-swim")


def test_an_ordered_date_comes_before_the_policy() -> None:
    changes = {**EARLY, "dates": {"swim_from": "2026-05-02 08:00"}}
    assert plan(changes)["swim"].starts == date(2026, 5, 2)


def test_the_balloon_is_checked_only_by_those_who_are_taught_to() -> None:
    assert "balloon" not in plan()
    once = plan(HEALED)["balloon"]
    assert (once.starts, once.every) == (date(2026, 3, 11), timedelta(days=7))
    event = events(calendar_with(HEALED))["Check the water in the balloon"]
    rule = rrulestr(event.rrule.value, dtstart=datetime.combine(event.dtstart.value, time()))
    days = [moment.date() for moment in rule]
    # until the usual time to change the tube: 180 d from 2025-11-03
    assert (days[0], days[-1]) == (date(2026, 3, 11), date(2026, 4, 29))
    assert {b - a for a, b in pairwise(days)} == {timedelta(days=7)}


def test_the_balloon_is_checked_on_where_the_time_to_change_is_over() -> None:
    once = plan({"prepared.on": "2026-08-30 10:00"})["balloon"]
    assert (once.starts, once.until) == (date(2026, 9, 6), date(2027, 9, 6))


def test_the_review_of_the_plan_follows_the_facility() -> None:
    rules = policy_with(plan_review_after=read_quantity("30 d", "time span"))
    found = reminders(patient_with(), rules, facts_with(rules_of=rules))
    assert {one.key: one.starts for one in found}["plan"] == date(2026, 4, 3)


# --- nobody is named ------------------------------------------------------------------------------

NAMED = {
    "visits": [
        {"what": "Check for Walter", "when": "2026-03-18 09:00", "where": "Desk 2"},
        {"what": "Tube check", "when": "2026-03-19 09:00", "where": "File demo-0233"},
        {"what": "With Mrs. BRANDVOLD", "when": "2026-03-20 09:00"},
    ]
}


def test_titles_and_places_name_nobody() -> None:
    text = calendar_with(NAMED).decode().replace("\r\n ", "").casefold()
    assert not re.search("walter|brandvold|signe|0233|1949", text)
    found = [one for key, one in plan(NAMED).items() if key.startswith("visit")]
    assert [(one.title.id, one.where) for one in found] == [
        ("timeline-visit", "Desk 2"), ("remind-visit", None), ("timeline-visit", None),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "is_"),
    [("First tube check", False), ("walter's check", True), ("DEMO-0233", True), ("", False),
     ("DEMO-02331", False), ("Signe comes too", True), ("desk 2", False)],
)  # fmt: skip
def test_what_names_someone(text: str, is_: bool) -> None:
    assert names_someone(patient_with(), text) is is_


def test_the_id_of_an_entry_stays_and_shows_nothing() -> None:
    before, after = (
        events(calendar_with({**VISIT, "prepared.on": on, "water.daily": daily}))
        for on, daily in (("2026-03-04 15:00", "60 mL"), ("2026-03-09 08:30", "50 mL"))
    )
    moved = {"visits": [{**VISIT["visits"][0], "when": "2026-03-25 10:00"}]}
    visit = "Visit: First tube check"
    assert before[visit].uid.value == after[visit].uid.value
    assert events(calendar_with(moved))[visit].uid.value == before[visit].uid.value
    assert int(after[visit].sequence.value) > int(before[visit].sequence.value)
    assert len({event.uid.value for event in before.values()}) == len(before)
    other = unique_id(patient_with({"patient.record_number": "DEMO-0234"}), "swim")
    assert other != unique_id(patient_with(), "swim")
    assert re.fullmatch("[0-9a-f-]{36}", other)


# --- form: RFC 5545 -------------------------------------------------------------------------------

LONG = {
    "visits": [
        {
            "what": "Long, with; signs \\ and letters like ü " + "x" * 38,
            "when": "2026-03-18 09:00",
            "where": "Room \u1ebf " + "é" * 60,
        }
    ]
}


def test_lines_end_with_crlf_and_hold_at_most_75_octets() -> None:
    data = calendar_with(LONG)
    lines = data.split(b"\r\n")
    assert lines[-1] == b""
    assert not [line for line in lines if b"\n" in line or b"\r" in line]
    assert max(len(line) for line in lines) <= 75
    for line in lines:
        line.decode()  # no letter is cut in two


def test_signs_come_back_as_they_were() -> None:
    (title,) = [t for t in events(calendar_with(LONG)) if t.startswith("Visit: ")]
    assert title == f"Visit: {LONG['visits'][0]['what']}"
    assert events(calendar_with(LONG))[title].location.value == LONG["visits"][0]["where"]


def test_the_head_and_each_entry_hold_what_the_format_asks_for() -> None:
    data = calendar_with({**EARLY, **VISIT})
    text = data.decode()
    for line in ("VERSION:2.0", "PRODID:-//plainleaf//", "CALSCALE:GREGORIAN", "METHOD:PUBLISH"):
        assert text.count(line) == 1
    for event in events(data).values():
        # prepared on 2026-03-03 16:00 in New York: five hours behind UTC
        assert event.dtstamp.value == datetime(2026, 3, 3, 21, tzinfo=UTC)
        assert event.description.value.startswith("If your care team tells you another day")
        assert event.summary.params["LANGUAGE"] == ["en"]
        assert event.contents["class"][0].value == "PRIVATE"
        assert event.valarm_list


def test_the_same_file_gives_the_same_bytes() -> None:
    assert calendar_with(VISIT) == calendar_with(VISIT)


# --- when a phone rings ---------------------------------------------------------------------------


def rings(starts: datetime | date, *ahead: timedelta) -> list[datetime]:
    """Moments at which a phone rings, as its clock shows them."""
    one = Reminder("x", Phrase("remind-swim"), starts, ahead=ahead)
    begin = starts if isinstance(starts, datetime) else datetime.combine(starts, time())
    first = begin.replace(tzinfo=NEW_YORK).astimezone(UTC)
    return [wall((first + t).astimezone(NEW_YORK)) for t in triggers(one, NEW_YORK)]


@pytest.mark.parametrize(
    ("starts", "is_"),
    [
        (datetime(2026, 3, 4, 14), datetime(2026, 3, 4, 14)),
        (datetime(2026, 3, 4, 8), datetime(2026, 3, 4, 8)),
        (datetime(2026, 3, 4, 2), datetime(2026, 3, 4, 8)),
        (datetime(2026, 3, 4, 22, 30), datetime(2026, 3, 5, 8)),
        (date(2026, 3, 31), datetime(2026, 3, 31, 9)),
        # the nights of the clock change: 23 and 25 hours
        (datetime(2026, 3, 8, 1, 30), datetime(2026, 3, 8, 8)),
        (datetime(2026, 10, 31, 23, 30), datetime(2026, 11, 1, 8)),
        (date(2026, 3, 8), datetime(2026, 3, 8, 9)),
        (date(2026, 11, 1), datetime(2026, 11, 1, 9)),
    ],
    ids=str,
)
def test_it_rings_by_day_and_never_before_it_may_begin(
    starts: datetime | date, is_: datetime
) -> None:
    assert rings(starts) == [is_]


def test_a_visit_rings_the_day_before_and_two_hours_before() -> None:
    visit = events(calendar_with(VISIT))["Visit: First tube check"]
    alarms = [alarm.trigger.value for alarm in visit.valarm_list]
    assert alarms == [timedelta(days=-1), timedelta(hours=-2)]


# --- zones and the nights of the clock change ----------------------------------------------------

ZONES = ("America/New_York", "America/Phoenix", "Europe/Berlin", "Australia/Lord_Howe",
         "Asia/Kathmandu")  # fmt: skip


@pytest.mark.parametrize("name", ZONES)
def test_the_zone_in_the_file_is_the_zone(name: str) -> None:
    """Every half hour of two years that the file covers, by dateutil and by zoneinfo."""
    data = calendar_with(VISIT, rules=policy_with(time_zone=name))
    judged, known = zone_in(data), ZoneInfo(name)
    moment = datetime(2025, 6, 1, tzinfo=UTC)
    while moment < datetime(2027, 6, 1, tzinfo=UTC):
        there = moment.astimezone(known)
        assert there.replace(tzinfo=judged).utcoffset() == there.utcoffset(), moment
        moment += timedelta(minutes=30)


@pytest.mark.parametrize("name", ZONES)
def test_each_change_of_the_clocks_is_written_at_its_moment(name: str) -> None:
    """RFC 5545, 3.6.5: the time of a change stands on the clocks that are not yet changed."""
    data = calendar_with(VISIT, rules=policy_with(time_zone=name)).decode()
    parts = re.findall(
        r"DTSTART:(\d{8}T\d{6})\r\nTZNAME:\S+\r\nTZOFFSETFROM:(\S+)\r\nTZOFFSETTO:(\S+)", data
    )
    assert parts
    for start, before, after in parts:
        moment = datetime.strptime(start + before, "%Y%m%dT%H%M%S%z").astimezone(UTC)
        shown = [
            (moment + timedelta(seconds=s)).astimezone(ZoneInfo(name)).strftime("%z")
            for s in (-1, 0)
        ]
        assert shown == [before, after]


@pytest.mark.parametrize("name", ZONES)
def test_times_are_those_of_the_clinics_clocks(name: str) -> None:
    data = calendar_with({**EARLY, **VISIT}, rules=policy_with(time_zone=name))
    event = events(data)["Visit: First tube check"]
    assert wall(event.dtstart.value) == datetime(2026, 3, 18, 9)
    expected = datetime(2026, 3, 18, 9, tzinfo=ZoneInfo(name)).utcoffset()
    assert event.dtstart.value.utcoffset() == expected
    assert f"DTSTART;TZID={name}:20260318T090000" in data.decode().replace("\r\n ", "")


@pytest.mark.parametrize(
    ("placed", "is_"),
    [
        # 24 h later the clocks jump from 02:00 to 03:00: 02:30 is not there and becomes 03:30
        ("2026-03-07 02:30", "20260308T033000"),
        ("2026-03-07 01:59", "20260308T015900"),
        ("2026-03-07 03:00", "20260308T030000"),
        # in autumn 01:30 is there twice; what the paper says stays
        ("2026-10-31 01:30", "20261101T013000"),
    ],
)
def test_the_night_of_the_clock_change(placed: str, is_: str) -> None:
    changes = {"tube.placed": placed, "prepared.on": f"{placed[:10]} 12:00"}
    data = calendar_with(changes).decode()
    assert f"DTSTART;TZID=America/New_York:{is_}\r\n" in data


# --- other languages ------------------------------------------------------------------------


def _arabic() -> Wording:
    """A catalog whose words are the English ones turned about, with their slots kept."""
    messages = {
        f"phrase:{name}": Message((one,) if other is None else (one, other), (f"ع {one}",), "x", 1)
        for name, (one, other) in library().phrases.items()
    }
    return Wording(library(), Catalog("ar", messages))


def test_words_come_from_the_catalog_and_merged_values_are_isolated() -> None:
    patient, facts = patient_with(VISIT), facts_with(VISIT)
    found = events(calendar_of(patient, facts, policy(), _arabic()))
    assert "ع Visit: \u2068First tube check\u2069" in found
    event = found["ع Ask us if swimming is allowed now"]
    assert event.summary.params["LANGUAGE"] == ["ar"]


@pytest.mark.parametrize(("how", "said"), [("clinic", "At the clinic"), ("phone", "By phone")])
def test_a_visit_says_how_it_takes_place(how: str, said: str) -> None:
    patient = order_set(RESTING, {"visits.0.how": how})
    facts = derive(patient, policy(), library().medicine_words)
    visits = [r for r in reminders(patient, policy(), facts) if r.key.startswith("visit:")]
    words = Wording(library(), Catalog("en", {})).value(visits[0].title).plain
    assert words.startswith("Visit: ") and words.endswith(f". {said}")
