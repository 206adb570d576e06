"""Visits, calls and blood tests: each word of the lists, and every way a time is written."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from builders import library
from format_2 import REFEEDING, data_with, facility, patient_of

from plainleaf.compose.fill import SlotSource
from plainleaf.compose.fill.tables_tube import first_days_table
from plainleaf.compose.fill.tables_visits import visits_table
from plainleaf.compose.word import NBSP, Wording
from plainleaf.facts import derive
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.patient.order_values import SettledOutcome
from plainleaf.vocabulary.words_2 import BLOOD, VISIT_HOW, VISITS

WORDS = Wording(library(), Catalog("en", {}))
DAY = "2026-08-20 09:30"


def source_of(*visits: dict[str, Any]) -> SlotSource:
    patient = patient_of(data_with({"visits": list(visits)}, REFEEDING))
    return SlotSource(patient, derive(patient, facility(), library().medicine_words))


def rows_of(*visits: dict[str, Any]) -> list[tuple[str, ...]]:
    rows = visits_table(source_of(*visits)).rows
    return [
        tuple(
            " / ".join(str(WORDS.value(line)).replace(NBSP, " ") for line in cell) for cell in row
        )
        for row in rows
    ]


def visit(**other: Any) -> dict[str, Any]:
    return {"kind": "surgeon", "how": "clinic", "when": DAY, **other}


SAID = {
    "tube check": "Tube check", "tube change": "Tube change",
    "skin buttons off": "Skin buttons come off", "stitches out": "Stitches come out",
    "surgeon": "Surgeon", "dietitian": "Dietitian (food expert)",
    "speech therapy": "Speech and swallow therapy", "oncology": "Cancer clinic",
    "blood test": "Blood test", "swallow test": "Swallow test", "diabetes": "Diabetes clinic",
    "primary care": "Family doctor", "hospice nurse": "Hospice nurse", "home nurse": "Home nurse",
    "supply delivery": "Supplies are delivered", "pharmacy": "Pharmacy", "other": "Other visit",
}  # fmt: skip


@pytest.mark.parametrize("kind", VISITS)
def test_each_kind_is_said(kind: str) -> None:
    more = {"tests": ["potassium"], "read_by": "B. Quist, MD"} if kind == "blood test" else {}
    ((_, what, _),) = rows_of(visit(kind=kind, **more))
    assert what == SAID[kind] + (" / potassium" if more else "")


@pytest.mark.parametrize(
    ("how", "where"),
    [
        *zip(
            VISIT_HOW,
            ("At the clinic / Ask us where", "At your home", "By phone", "By video"),
            strict=True,
        )
    ],
)
def test_each_way_is_said(how: str, where: str) -> None:
    assert rows_of(visit(how=how))[0][2] == where


def test_a_place_of_the_directory_is_named_with_its_phone_and_another_as_it_stands() -> None:
    named, typed = rows_of(visit(where="tube-clinic"), visit(kind="dietitian", where="Room 7"))
    entry = facility().named.directory["tube-clinic"]
    assert named[2].startswith(f"At the clinic / {entry.name}")
    assert str(entry.phone) in named[2]
    assert typed[2] == "At the clinic / Room 7"


@pytest.mark.parametrize("test", BLOOD)
def test_each_blood_test_is_named(test: str) -> None:
    ((_, what, _),) = rows_of(visit(kind="blood test", tests=[test], read_by="B. Quist, MD"))
    assert what.partition(" / ")[2].split(" ")[0] in (test.split(" ")[0], "level")


TIMES = [
    ({"when": DAY}, "Thursday, August 20, 2026, at 9:30 am"),
    ({"when": "2026-08-20"}, "Thursday, August 20, 2026 (ask us for the time)"),
    ({"every": "7 d", "from": "2026-08-20"}, "Every 7 days, from Thursday, August 20, 2026 on"),
    ({"every": "1 d", "from": "2026-08-20", "until": "2026-08-31"},
     "Each day, from Thursday, August 20, 2026 to Monday, August 31, 2026"),
    # One that has begun goes on with its next turn: August 12 is the day of the packet.
    ({"every": "2 d", "from": "2026-08-09"}, "Every 2 days, from Thursday, August 13, 2026 on"),
]  # fmt: skip


@pytest.mark.parametrize(("written", "said"), TIMES)
def test_each_way_of_writing_a_time(written: dict[str, str], said: str) -> None:
    ((when, _, _),) = rows_of({"kind": "home nurse", "how": "home", **written})
    assert when == said


def test_what_is_over_is_left_out_and_the_rest_stands_in_order() -> None:
    rows = rows_of(
        visit(kind="oncology", when="2026-09-01"),
        visit(when="2026-08-01 09:00"),
        visit(kind="dietitian", when="2026-08-13"),
        {"kind": "home nurse", "how": "home", "every": "1 d", "from": "2026-08-01",
         "until": "2026-08-10"},
    )  # fmt: skip
    assert [row[1] for row in rows] == ["Dietitian (food expert)", "Cancer clinic"]


def test_the_first_visit_is_the_next_one_in_words() -> None:
    facts = source_of(visit(when="2026-08-21", where="Room 7"), visit(when="2026-08-30")).facts
    said = {k: str(WORDS.value(facts.values[f"first_visit_{k}"])) for k in ("what", "when")}
    assert said["what"] == "Surgeon"
    assert "August" in said["when"]
    assert "(ask us for the time)" in said["when"]


def test_the_first_days_hold_every_visit() -> None:
    rows = first_days_table(source_of(visit(), visit(kind="dietitian", when="2026-08-25"))).rows
    labels = [str(WORDS.value(row[0][0])) for row in rows]
    # by date: both stand before what is healed by September
    assert labels.index("Surgeon") + 1 == labels.index("Dietitian (food expert)")
    assert labels.index("Dietitian (food expert)") < labels.index("Bath, after you ask us")
    (surgeon,) = (row[0] for row in rows if str(WORDS.value(row[0][0])) == "Surgeon")
    assert [str(WORDS.value(line)) for line in surgeon[1:]] == ["At the clinic", "Ask us where"]


@pytest.mark.parametrize(
    ("do", "fields", "said"),
    [
        ("call-instead", {"contact": "after_hours"}, "Call Quillmere nurse line, "),
        ("next-opening", {}, ", when they next answer: Monday to Friday, 8 am to 4 pm."),
    ],
)
def test_a_call_outside_hours_says_what_was_decided(
    do: str, fields: dict[str, Any], said: str
) -> None:
    source = source_of(visit(kind="tube check", how="phone", when="2026-08-22 10:00"))
    outcome = SettledOutcome(
        "contact-closed", do, fields, ("tube check",), (), "S. Park, RN", None, date(2026, 8, 12)
    )
    patient = replace(source.patient, outcomes=(outcome,))
    ((_, _, where),) = visits_table(replace(source, patient=patient)).rows
    lines = [str(WORDS.value(line)).replace(NBSP, " ") for line in where]
    assert lines[0] == "By phone"
    assert said in lines[1]
