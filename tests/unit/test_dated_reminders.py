"""Reminders of a dated file: each thing of the calendar, from the prose of the order sets."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

import pytest
from builders import library
from format_2 import (
    GROUP_HOME,
    HOSPICE,
    INSULIN,
    REFEEDING,
    RESTING,
    data_with,
    facility,
    patient_of,
)

from plainleaf.compose.word import NBSP, Wording
from plainleaf.facts import derive
from plainleaf.inputs.catalog import Catalog
from plainleaf.packet.calendar import Reminder, calendar_file, reminders
from plainleaf.vocabulary.time_zones import zone

WORDS = Wording(library(), Catalog("en", {}))
DAY = timedelta(days=1)


def made(base: str, changes: dict[str, Any] | None = None) -> dict[str, list[Reminder]]:
    """Title in words → its reminders."""
    patient = patient_of(data_with(changes, base))
    facts = derive(patient, facility(), library().medicine_words)
    found: dict[str, list[Reminder]] = {}
    for one in reminders(patient, facility(), facts):
        title = WORDS.value(one.title).plain.replace(NBSP, " ")
        found.setdefault(title, []).append(one)
    return found


def starts(found: list[Reminder]) -> list[datetime | date]:
    return [one.starts for one in found]


def test_blood_tests_and_the_home_nurse_have_their_days() -> None:
    found = made(REFEEDING)
    days = [one.starts for one in found["Visit: Blood test. At your home"]]
    assert [d.date() if isinstance(d, datetime) else d for d in days] == [
        date(2026, 8, 14), date(2026, 8, 16), date(2026, 8, 18)
    ]  # fmt: skip
    (nurse,) = found["Visit: Home nurse. At your home"]
    assert (nurse.every, nurse.until) == (DAY, date(2026, 8, 20))


def test_each_step_of_a_feeding_is_a_day_of_its_own() -> None:
    days = starts(made(REFEEDING)["The feeding changes today. Look at its table."])
    assert days == [date(2026, 8, 14), date(2026, 8, 16), date(2026, 8, 18)]


def test_the_end_of_a_medicine_is_a_day_of_its_own() -> None:
    (end,) = made(REFEEDING)["A medicine begins, changes or ends today. Look at the list."]
    assert end.starts == date(2026, 8, 22)


def test_a_taper_changes_on_its_days() -> None:
    days = starts(made(INSULIN)["A medicine begins, changes or ends today. Look at the list."])
    assert {date(2026, 6, 6), date(2026, 6, 11), date(2026, 6, 16)} <= set(days)


def test_a_weekly_medicine_and_a_patch_come_back() -> None:
    found = made(INSULIN)
    weekly = found["A medicine that is not for every day. Look at the list."]
    assert {one.starts.weekday() for one in weekly} == {3, 5}
    assert (weekly[-1].starts, weekly[-1].every) == (date(2026, 6, 11), 7 * DAY)
    (patch,) = found["Time for a new patch. Look at the list."]
    assert (patch.starts, patch.every) == (date(2026, 6, 9), 7 * DAY)


def test_a_medicine_for_three_weekdays_has_each_of_them() -> None:
    found = made(RESTING)["A medicine that is not for every day. Look at the list."]
    assert {one.starts.weekday() for one in found} == {0, 2, 4}
    assert all(one.every == 7 * DAY for one in found)


def test_what_comes_after_hours_that_make_no_days_stands_each_time() -> None:
    pill = {"name": "sodium chloride", "form": "tablet", "dose": "1 tablet", "route": "mouth",
            "every": "36 h", "next": "2026-06-06 08:00", "until": "2026-06-09"}  # fmt: skip
    data = data_with(base=INSULIN)
    medicines = [*data["medicines"], pill]
    found = made(INSULIN, {"medicines": medicines})
    times = [one.starts for one in found["A medicine that is not for every day. Look at the list."]
             if isinstance(one.starts, datetime)]  # fmt: skip
    assert times == [datetime(2026, 6, 6, 8), datetime(2026, 6, 7, 20), datetime(2026, 6, 9, 8)]


@pytest.mark.parametrize(
    ("what", "title"),
    [
        ("blood sugar", "Check the blood sugar"), ("weight", "Check the weight"),
        ("temperature", "Check the temperature"), ("stool", "Check the stool"),
        ("urine", "Check the urine"), ("drainage", "Check what drained"),
    ],
)  # fmt: skip
def test_a_check_every_so_often_comes_back(what: str, title: str) -> None:
    limit = {
        "blood sugar": {"call_above": "300 mg/dL"},
        "weight": {"call_up": "1 kg"},
        "temperature": {"call_above": "38.0 °C"},
        "drainage": {"call_above": "500 mL"},
    }
    check = {"what": what, "every": "3 d", "next": "2026-08-13 09:00", "call": "after_hours",
             **limit.get(what, {"call_none_for": "24 h"})}  # fmt: skip
    (one,) = made(REFEEDING, {"watch": [check]})[title]
    assert (one.starts, one.every) == (date(2026, 8, 13), 3 * DAY)


@pytest.mark.parametrize(
    ("key", "title"),
    [
        ("skin_buttons_off", "The skin buttons come off"),
        ("stitches_out", "The stitches come out"),
        ("tube_change", "The tube is changed"),
    ],
)
def test_a_date_by_order_is_a_reminder(key: str, title: str) -> None:
    data = {"dates": {key: "2026-10-12"}, "visits": "REMOVE"}
    assert starts(made(HOSPICE, data)[title]) == [date(2026, 10, 12)]
    timed = {"dates": {key: "2026-10-12 09:30"}, "visits": "REMOVE"}
    assert starts(made(HOSPICE, timed)[title]) == [datetime(2026, 10, 12, 9, 30)]
    assert title not in made(HOSPICE, {"dates": {key: "2026-01-12"}, "visits": "REMOVE"})


def test_eating_is_asked_again_on_its_day() -> None:
    (one,) = made(HOSPICE, {"patient.by_mouth_until": "2026-09-30"})[
        "Ask us again what may go in the mouth"
    ]
    assert one.starts == date(2026, 9, 30)


def test_a_change_of_the_tube_is_a_visit_and_staff_check_the_balloon() -> None:
    found = made(GROUP_HOME)
    (change,) = found["Visit: Tube change. At the clinic"]
    assert change.starts == datetime(2026, 10, 8, 10)
    assert "Staff check the water in the balloon" in found


def test_a_date_without_a_time_is_a_whole_day_and_names_nobody() -> None:
    visit = {"kind": "surgeon", "how": "clinic", "when": "2026-11-02", "where": "Room 7"}
    (one,) = made(RESTING, {"visits": [visit]})["Visit: Surgeon. At the clinic"]
    assert (one.starts, one.where) == (date(2026, 11, 2), "Room 7")


@pytest.mark.parametrize("base", [REFEEDING, INSULIN, HOSPICE, GROUP_HOME, RESTING])
def test_the_file_can_be_written_and_each_entry_has_its_own_name(base: str) -> None:
    patient = patient_of(data_with(base=base))
    facts = derive(patient, facility(), library().medicine_words)
    planned = reminders(patient, facility(), facts)
    assert len({one.key for one in planned}) == len(planned)
    title = WORDS.phrase("handout-title")
    text = calendar_file(patient, zone("America/New_York"), planned, WORDS, title, [title]).decode()
    assert text.count("BEGIN:VEVENT") == len(planned)
    assert not [m.name for m in patient.medicines if m.name in text]
