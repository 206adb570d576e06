"""What was dictated is told where it matters: lines of the day and tables of the dictated sets."""

from __future__ import annotations

from functools import cache

import pytest
import yaml
from builders import ROOT, library, teaching
from format_2 import Data, facility, judged, patient_of, with_codes

from plainleaf.compose.fill import BLOCKS, SlotSource
from plainleaf.compose.word import NBSP, Wording
from plainleaf.facts import derive
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.load_inputs import inputs_for
from plainleaf.rules.decision import decide
from plainleaf.rules.outcomes import resolved

WORDS = Wording(library(), Catalog("en", {}))
Rows = dict[str, list[str]]


def dictated(name: str) -> Data:
    """A dictated set as data."""
    text = (ROOT / "tests" / "oracles" / "dictated" / f"{name}.yaml").read_text(encoding="utf-8")
    data: Data = yaml.load(text, Loader=yaml.BaseLoader)
    return data


@cache
def rows(name: str, block: str = "day_schedule") -> Rows:
    """First line of each row → the lines of its last cell."""
    data = with_codes(dictated(name))
    patient = resolved(patient_of(data), judged(data).outcomes)
    facts = derive(patient, facility(), library().medicine_words)
    table = BLOCKS[block](SlotSource(patient, facts))
    cells = [
        [[WORDS.value(value).plain.replace(NBSP, " ") for value in cell] for cell in row]
        for row in table.rows
    ]
    return {row[0][0]: row[-1] for row in cells}


def day(name: str, time: str) -> list[str]:
    """What the day of a set says at a time."""
    return rows(name)[time]


def stops(data: Data) -> list[str]:
    """What a changed set is stopped for, in words."""
    patient = patient_of(with_codes(data))
    decision = decide(inputs_for(patient, facility(), teaching(), "en"))
    return [finding.says for finding in decision.findings if finding.blocks]


def test_a_range_of_time_names_both_units_where_they_differ() -> None:
    feeding = [line for line in day("g-cancer-taper", "8 am") if line.startswith("Feeding")]
    assert feeding == [
        "Feeding by gravity bag: 237 mL (about 8 oz), 1 carton, over 40 minutes to 1 hour"
    ]


def test_a_liquid_that_the_pharmacy_makes_is_no_tablet_any_more() -> None:
    assert "– capecitabine: 5 mL, as the pharmacy's liquid" in day("g-cancer-taper", "7 am")
    assert not any("tablet" in line for line in day("g-cancer-taper", "7 am"))


def test_a_fever_that_is_an_emergency_is_not_only_a_call() -> None:
    calls = rows("g-cancer-taper", "watch_calls")
    assert calls["Temperature of 100.4 °F (38 °C) or more"] == [
        "This fever is an emergency: first do what page 1 says. "
        "Call Cancer center nurse, +1 555 010 0149."
    ]


def test_an_as_needed_medicine_names_the_tube() -> None:
    needed = day("g-cancer-taper", "Only when you need it")
    assert needed[0] == "morphine, liquid, 10 mg in 5 mL: 2.5 mL (5 mg), through the tube"


def test_a_dose_outside_the_feeding_does_not_pause_it() -> None:
    assert not any("feeding" in line for line in day("g-night-insulin-arabic", "8 am"))
    later = day("g-night-insulin-arabic", "8:30 pm")
    assert later[0] == "Pause the pump" and later[-1] == "Start the pump again"
    assert not any("Is a feeding running" in line for line in later)


def test_a_draining_port_is_closed_for_a_dose_and_opened_in_time() -> None:
    dose = day("gj-baby-diaper", "6:30 am")
    assert "Close this port before it. Open it again 30 minutes after it, no later." in dose
    assert not any("drains out again" in line for line in dose)


def test_someone_who_is_called_each_day_stands_without_days() -> None:
    assert "Call Lise Brandvik for this, +1 555 010 0177" in day("j-alone-parkinson", "noon")


def test_what_a_hold_takes_is_told_and_was_asked() -> None:
    run = day("j-alone-parkinson", "8 pm")
    assert "Start the pump: 60 mL an hour, 600 mL (20 oz) in all" in run
    assert "The pause makes this less. Do not run the pump longer." in run
    assert stops(dictated("j-alone-parkinson")) == []


def test_a_hold_that_only_an_outcome_says_is_not_taken_in_silence() -> None:
    data = dictated("j-alone-parkinson")
    del data["medicines"][0]["hold_before"], data["medicines"][0]["hold_after"]
    data["settled"] = [
        block for block in data["settled"] if block["decided"][0]["finding"] != "feed-hold-costs"
    ]
    (says,) = stops(data)
    assert "60 mL a day are not given, 600 mL are, and nobody was asked about that" in says


def test_sums_are_told_in_whole_millilitres() -> None:
    sums = day("gj-baby-diaper", "The day adds up to")
    assert sums[1] == "Water, with the water in the formula: 548 mL (about 18.5 oz)"


@pytest.mark.parametrize(
    ("name", "time", "told"),
    [
        ("gj-drain-phenytoin", "11 am", "phenytoin, liquid, 125 mg in 5 mL: 4 mL (100 mg)"),
        ("g-school-child", "9:30 pm", "Let air out of the feeding port for 10 minutes"),
        ("g-school-child", "Only when you need it", "Give it when this has lasted 5 minutes."),
        ("g-night-insulin-arabic", "8 pm", "insulin NPH, injection: 14 units, by injection"),
    ],
)
def test_what_was_dictated_stands_in_the_day(name: str, time: str, told: str) -> None:
    assert any(told in line for line in day(name, time))
