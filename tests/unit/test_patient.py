"""The patient file: what the examples hold, and the record that comes of each key.

What is refused stands in tests/faults/cases.yaml. Right values: read off the example files.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable
from dataclasses import FrozenInstanceError
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from builders import EXAMPLES, REMOVE, ROOT, patient_with

from plainleaf.inputs.patient import DOSE_UNITS, Dose, Patient, load_patient, read_dose
from plainleaf.vocabulary.errors import PatientError, UnitError
from plainleaf.vocabulary.quantities import Quantity

A, B, C = "g-balloon-syringe", "g-bumper-blended", "g-button-child"
GJ, J = "gj-pump-overnight", "j-surgical-continuous"


def amount(value: str, unit: str) -> Quantity:
    return Quantity(Decimal(value), unit)


def example(name: str) -> Patient:
    return load_patient(ROOT / "examples" / f"{name}.yaml")


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_example_loads_and_knows_its_file(name: str) -> None:
    assert example(name).file == f"{name}.yaml"


# Base, what is looked at, right value as in the file.
HOLDS: list[tuple[str, Callable[[Patient], Any], Any]] = [
    (A, lambda p: p.person.born, date(1949, 11, 2)),
    (A, lambda p: p.person.record_number, "DEMO-0233"),
    (A, lambda p: p.person.conditions, frozenset()),
    (A, lambda p: p.tube.placed, datetime(2026, 3, 3, 14)),
    (A, lambda p: p.tube.opening_made, None),
    (A, lambda p: p.tube.mark_at_skin, amount("3.5", "cm")),
    (A, lambda p: p.tube.ports, {"gastric": ("feeding", "medicines", "venting")}),
    (A, lambda p: p.feeding[0].times, (time(8), time(12), time(16), time(20))),
    (A, lambda p: p.feeding[0].formula.water, amount("81", "%")),  # type: ignore[union-attr]
    (A, lambda p: p.medicines[0].times, (time(7, 30),)),
    (A, lambda p: (p.medicines[1].as_needed, p.medicines[1].times), (True, ())),
    (A, lambda p: p.medicines[1].dose, Dose(Decimal(20), "mL")),
    (A, lambda p: p.other_lines, None),
    (A, lambda p: p.contacts.emergency.name, None),
    (A, lambda p: p.prepared_on, datetime(2026, 3, 4, 15)),
    (A, lambda p: p.accepted, ()),
    (B, lambda p: p.other_lines, ("PICC",)),
    (B, lambda p: p.person.weight, amount("150", "lb")),
    (B, lambda p: p.tube.turn_daily, True),
    (B, lambda p: p.feeding[0].blended, True),
    (B, lambda p: p.medicines[0].through, None),
    (B, lambda p: p.water.limit, amount("2", "L")),
    (B, lambda p: p.contacts.supplies, None),
    (C, lambda p: p.tube.opening_made, date(2025, 6, 10)),
    (C, lambda p: p.tube.length, amount("1.7", "cm")),
    (C, lambda p: p.interpreter.mode, "in person"),  # type: ignore[union-attr]
    (C, lambda p: p.feeding[0].over, amount("30", "min")),
    (C, lambda p: p.person.language, "ar"),
    (GJ, lambda p: p.person.height, amount("165", "cm")),
    (GJ, lambda p: p.learners[0].needs, ("glasses",)),
    (GJ, lambda p: [one.hands_on for one in p.learners], [False, True]),
    (GJ, lambda p: tuple(p.tube.ports), ("gastric", "jejunal")),
    (GJ, lambda p: p.feeding[0].starts, time(18)),
    (GJ, lambda p: p.medicines[1].crush, "pharmacist-approved"),
    (GJ, lambda p: p.visits[0].when, datetime(2026, 3, 18, 9)),
    (J, lambda p: p.person.name, "Arturo Villaseñor"),
    (J, lambda p: p.feeding[0].runs_for, amount("24", "h")),
    (J, lambda p: p.water.before_feed, None),
    (J, lambda p: p.tube.held_by, "stitches"),
]


@pytest.mark.parametrize(
    ("base", "look", "is_"), HOLDS, ids=[f"{row[0]}-{n}" for n, row in enumerate(HOLDS)]
)
def test_an_example_holds_what_its_file_says(
    base: str, look: Callable[[Patient], Any], is_: Any
) -> None:
    assert look(example(base)) == is_


def test_clock_times_come_in_clock_order() -> None:
    patient = patient_with({"feeding.0.times": ["20:00", "08:00", "12:00"]})
    assert patient.feeding[0].times == (time(8), time(12), time(20))


def test_what_may_be_left_out_stays_empty_and_is_never_filled_in() -> None:
    gone = ("patient.weight", "tube.mark_at_skin", "tube.balloon_fill", "tube.balloon_port_color",
            "feeding", "medicines", "contacts.supplies", "water.before_feed")  # fmt: skip
    patient = patient_with(dict.fromkeys(gone, REMOVE))
    tube = patient.tube
    assert (patient.person.weight, tube.mark_at_skin, tube.balloon_fill) == (None, None, None)
    assert (patient.feeding, patient.medicines, patient.contacts.supplies) == ((), (), None)
    assert patient.water.before_feed is None


ADDED: dict[str, tuple[dict[str, Any], Callable[[Patient], Any], Any]] = {
    "no other lines": ({"other_lines": []}, lambda p: p.other_lines, ()),
    "an order by hand": (
        {"tube.may_put_back": {"by": "Dr. A", "on": "2026-03-04"}},
        lambda p: (p.tube.may_put_back.by, p.tube.may_put_back.on),
        ("Dr. A", date(2026, 3, 4)),
    ),
    "a date by order": (
        {"dates": {"shower_from": "2026-03-09 08:00"}},
        lambda p: dict(p.dates),
        {"shower_from": datetime(2026, 3, 9, 8)},
    ),
    "extra water": (
        {"water.extra": {"amount": "100 mL", "times": ["10:00"], "through": "gastric"}},
        lambda p: (p.water.extra.amount, p.water.extra.times),
        (amount("100", "mL"), (time(10),)),
    ),
    "an accepted finding": (
        {"accepted": [{"finding": "x", "by": "Dr. A", "reason": "seen", "on": "2026-03-04"}]},
        lambda p: (p.accepted[0].finding, p.accepted[0].about),
        ("x", None),
    ),
    "other contacts": (
        {"contacts.others": [{"name": "Dietitian", "phone": "555 0100 then press 2"}]},
        lambda p: p.contacts.others[0].phone,
        "555 0100 then press 2",
    ),
    "a flush every 30 minutes": (
        {"water.every": "30 min", "water.each": "10 mL"},
        lambda p: p.water.every,
        amount("30", "min"),
    ),
    "a language with script and region": (
        {"patient.language": "zh-Hant-TW"},
        lambda p: p.person.language,
        "zh-Hant-TW",
    ),
}


@pytest.mark.parametrize("name", ADDED)
def test_more_keys(name: str) -> None:
    changes, look, is_ = ADDED[name]
    assert look(patient_with(changes)) == is_


@pytest.mark.parametrize("unit", DOSE_UNITS)
def test_a_dose_may_be_counted_in_each_unit_of_the_list(unit: str) -> None:
    text = "half tablet" if unit == "half tablet" else f"1.5 {unit}"
    value = "1" if unit == "half tablet" else "1.5"
    assert read_dose(text) == Dose(Decimal(value), unit)


@pytest.mark.parametrize(
    ("text", "instead"),
    [
        ("5", "number and a unit"),
        ("one tablet", "number and a unit"),
        ("5 ml", "capital L"),
        ("5 cc", "Write mL."),
        ("5 ML", "Write mL."),
        ("1 tsp", "household spoons"),
        ("2 teaspoons", "household spoons"),
        ("1 tbsp", "household spoons"),
        ("10 U", "Write units."),
        ("10 IU", "Write units."),
        ("50 µg", "Write mcg."),
        ("50 ug", "Write mcg."),
        ("2.5 fl oz", "number and a unit"),
        ("0 mL", "number and a unit"),
        ("2,5 mL", "Write 2.5."),
        (".5 mL", "Write 0.5."),
        ("1 tablet twice", "number and a unit"),
    ],
)
def test_a_dose_that_could_mislead_is_refused(text: str, instead: str) -> None:
    with pytest.raises(UnitError) as error:
        read_dose(text)
    assert instead in error.value.instead


def test_the_record_is_frozen() -> None:
    with pytest.raises(FrozenInstanceError):
        patient_with().prepared_by = "x"  # type: ignore[misc]


def test_every_fault_is_reported_at_once_in_file_order() -> None:
    with pytest.raises(PatientError) as error:
        patient_with({"patient.born": "x", "tube.size": "20", "feeding.0.amount": "1 cc"})
    lines = [fault.line for fault in error.value.faults]
    assert len(lines) == 3
    assert lines == sorted(lines)


def test_messages_name_the_key_and_never_the_patient() -> None:
    with pytest.raises(PatientError) as error:
        patient_with({"patient.born": "x", "patient.language": "English"})
    assert "Brandvold" not in str(error.value)
    assert "patient.born" in str(error.value)


def test_the_error_pickles() -> None:
    with pytest.raises(PatientError) as error:
        patient_with({"patient.born": "x"})
    assert pickle.loads(pickle.dumps(error.value)).faults == error.value.faults


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(PatientError, match="No such file"):
        load_patient(tmp_path / "nobody.yaml")


def test_ounces_are_no_finer_than_a_syringe_but_thousandths_of_a_millilitre_are() -> None:
    two_ounces = patient_with({"water.before_feed": "2 fl oz"})
    assert two_ounces.water.before_feed is not None
    # 29.5735295625 mL to the US fluid ounce, exact (NIST).
    assert two_ounces.water.before_feed.to("mL").value == Decimal("59.147059125")
    with pytest.raises(PatientError, match=r"water\.before_feed: 2\.125 mL is finer"):
        patient_with({"water.before_feed": "2.125 mL"})
