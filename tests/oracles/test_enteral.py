"""The published standard's own enteral examples: read into our totals, contradictions reported."""

from __future__ import annotations

from datetime import time
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import yaml
from builders import library, policy, text_with
from bundles import NEW_YORK, PATIENT, bundle, order, saved

from plainleaf.facts import derive
from plainleaf.inputs.fhir.contradictions import contradictions, reached_at, volume_of
from plainleaf.inputs.fhir.notes import Notes
from plainleaf.inputs.fhir.nutrition_orders import Draft, drafts
from plainleaf.inputs.fhir.patient_draft import begin
from plainleaf.inputs.fhir.read_bundle import read_bundle
from plainleaf.inputs.patient import read_patient
from plainleaf.inputs.strict_yaml import parse
from plainleaf.vocabulary.quantities import Quantity, read_quantity, total

CASES: list[dict[str, Any]] = yaml.safe_load(
    Path(__file__).with_name("enteral.yaml").read_text(encoding="utf-8")
)
BOLUS, CONTINUOUS, INFANT = CASES
UTC = ZoneInfo("UTC")


def read(case: dict[str, Any], tmp_path: Path, clocks: ZoneInfo = UTC) -> tuple[list[Draft], str]:
    """The orders of an example and every line that is reported."""
    path = saved(tmp_path, bundle(PATIENT, order(case["order"])))
    notes = Notes()
    found = drafts(read_bundle(path), clocks, notes)
    begun = begin(path, "gastrostomy", clocks)
    return found, "\n".join([*notes.lines, *contradictions(found), *begun.notes])


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_what_does_not_fit_is_reported_and_nothing_else(
    case: dict[str, Any], tmp_path: Path
) -> None:
    _, told = read(case, tmp_path)
    assert [part for part in case["says"] if part not in told] == [], told
    assert [part for part in case["quiet"] if part in told] == [], told


@pytest.mark.parametrize("case", [BOLUS, INFANT], ids=lambda case: case["id"])
def test_a_schedule_by_the_clock_adds_up(case: dict[str, Any], tmp_path: Path) -> None:
    ((draft,), _) = read(case, tmp_path)
    right = case["reads"]
    assert [f"{at:%H:%M}" for at in draft.times] == right["times"]
    assert draft.amount == read_quantity(right["amount"], "volume")
    assert draft.a_day == read_quantity(right["a_day"], "volume")
    assert draft.most == draft.a_day


def energy_of(volume: Quantity, strength: str) -> Quantity:
    """Energy of a volume at a strength as the label means it."""
    number, unit = strength.split(" ", 1)
    per = Quantity(Decimal(1), unit.removeprefix("kcal/"))
    return Quantity(volume.to(per.unit).value * Decimal(number), "kcal")


@pytest.mark.parametrize("case", [BOLUS, INFANT], ids=lambda case: case["id"])
def test_energy_is_that_of_the_label(case: dict[str, Any], tmp_path: Path) -> None:
    ((draft,), _) = read(case, tmp_path)
    assert draft.energy is None  # cal is refused, never turned into kcal in silence
    assert draft.a_day is not None
    right = read_quantity(case["reads"]["energy"], "energy")
    assert energy_of(draft.a_day, case["means"]) == right


def test_the_infants_ounces_in_millilitres(tmp_path: Path) -> None:
    ((draft,), _) = read(INFANT, tmp_path)
    assert draft.a_day is not None
    rounded = draft.a_day.to("mL").value.quantize(Decimal(1), ROUND_HALF_UP)
    assert str(rounded) == INFANT["reads"]["millilitres"]
    assert draft.by_mouth


def test_the_rates_follow_each_other_and_the_last_stays_open(tmp_path: Path) -> None:
    found, _ = read(CONTINUOUS, tmp_path)
    runs = [(f"{d.starts:%H:%M}", str(d.rate), d.runs_for) for d in found]
    right = CONTINUOUS["reads"]["runs"]
    assert [run[:2] for run in runs] == [tuple(run[:2]) for run in right]
    assert [run[2] for run in runs] == [
        read_quantity(right[0][2], "time span"), read_quantity(right[1][2], "time span"), None
    ]  # fmt: skip
    assert volume_of(found) is None


def test_the_most_is_reached_before_the_hold(tmp_path: Path) -> None:
    found, _ = read(CONTINUOUS, tmp_path)
    most = read_quantity("880 mL", "volume")
    assert f"{reached_at(found, most):%H:%M}" == CONTINUOUS["reads"]["reached"]
    parts = [read_quantity(f"{rate.removesuffix('/h')}", "volume") * 4
             for _, rate, _ in CONTINUOUS["reads"]["runs"]]  # fmt: skip
    assert str(total(parts)) == CONTINUOUS["reads"]["a_day"]


def test_on_the_clinics_clocks_the_words_and_the_codes_part(tmp_path: Path) -> None:
    """07:00 UTC is 03:00 in New York in September; the text speaks of 7 am."""
    found, told = read(CONTINUOUS, tmp_path, NEW_YORK)
    assert found[0].starts == time(3)
    assert "its text names 19:00, and its times on the clinic's clocks are 03:00" in told


# --- and into the day that the program prints ----------------------------------------------------


def test_the_bolus_becomes_the_printed_day(tmp_path: Path) -> None:
    path = saved(tmp_path, bundle(PATIENT, order(BOLUS["order"])))
    begun = yaml.safe_load(
        begin(path, None, UTC).text.replace("<energy with kcal/mL>", BOLUS["means"])
    )
    (feed,) = begun["feeding"]
    feed |= {"method": "syringe"}
    feed["formula"] |= {"name": "Formula", "water": "76 %", "system": "open"}
    text = text_with({"feeding": [feed], "medicines": []})
    facts = derive(read_patient(parse(text, "x")), policy(), library().medicine_words)
    assert facts.totals.formula == read_quantity(BOLUS["reads"]["a_day"], "volume")
    assert facts.totals.energy == read_quantity(BOLUS["reads"]["energy"], "energy")


def test_the_continuous_order_becomes_the_printed_day(tmp_path: Path) -> None:
    path = saved(tmp_path, bundle(PATIENT, order(CONTINUOUS["order"])))
    feeds = yaml.safe_load(begin(path, "gastrostomy", UTC).text)["feeding"]
    feeds[2]["runs_for"] = "4 h"  # to 19:00, the hold of the text
    for feed in feeds:
        feed |= {"through": "gastric"}
        feed["formula"] = {"name": "Formula", "energy": "1 kcal/mL", "water": "84 %",
                           "system": "open"}  # fmt: skip
    text = text_with({"feeding": feeds, "medicines": []})
    facts = derive(read_patient(parse(text, "x")), policy(), library().medicine_words)
    assert facts.totals.formula == read_quantity(CONTINUOUS["reads"]["a_day"], "volume")
