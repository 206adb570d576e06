"""Conversions, ages and sums of a day against outside judges and the rows of arithmetic.yaml."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml
from builders import facts_with, library
from scipy import constants

from plainleaf.compose.word import Wording
from plainleaf.facts.derived import Typed
from plainleaf.inputs.catalog import Catalog
from plainleaf.vocabulary.quantities import UNITS, Quantity, read_quantity

ORACLES: dict[str, list[dict[str, Any]]] = yaml.load(
    Path(__file__).with_name("arithmetic.yaml").read_text("utf-8"), Loader=yaml.BaseLoader
)
WORDS = Wording(library(), Catalog("en", {}))


def cases(table: str) -> Any:
    return pytest.mark.parametrize("case", ORACLES[table], ids=lambda case: case["name"])


def amount(text: str) -> Quantity:
    """An amount of whatever kind its unit measures."""
    return read_quantity(text, UNITS[text.split(" ", 1)[1]].kind)


# --- judge: scipy.constants (CODATA and NIST factors), which is not the library that converts ---
# unit, base unit, factor in SI, SI of the base unit
FACTORS = [
    ("fl oz", "mL", constants.fluid_ounce, constants.milli * constants.liter),
    ("L", "mL", constants.liter, constants.milli * constants.liter),
    ("lb", "kg", constants.pound, 1.0),
    ("g", "kg", constants.gram, 1.0),
    ("in", "cm", constants.inch, constants.centi),
    ("cm", "mm", constants.centi, constants.milli),
    ("h", "min", constants.hour, constants.minute),
    ("d", "h", constants.day, constants.hour),
]


@pytest.mark.parametrize(("unit", "base", "si", "si_of_base"), FACTORS, ids=[f[0] for f in FACTORS])
def test_factors_agree_with_scipy(unit: str, base: str, si: float, si_of_base: float) -> None:
    ours = Quantity(Decimal(1), unit).to(base).value
    assert float(ours) == pytest.approx(si / si_of_base, rel=1e-14)


@pytest.mark.parametrize("celsius", ["-40", "0", "36.6", "37", "38", "38.3", "39", "42", "100"])
def test_temperatures_agree_with_scipy(celsius: str) -> None:
    there = Quantity(Decimal(celsius), "°C").to("°F")
    judged = constants.convert_temperature(float(celsius), "Celsius", "Fahrenheit")
    assert float(there.value) == pytest.approx(judged, abs=1e-9)
    assert there.to("°C").value == Decimal(celsius)


def test_a_french_is_a_third_of_a_millimetre_for_every_size_in_use() -> None:
    for size in range(5, 31):  # fr-def, fr-typical
        assert float(Quantity(Decimal(size), "Fr").to("mm").value) == pytest.approx(size / 3)


# --- rows ---------------------------------------------------------------------------------------


@cases("conversions")
def test_conversion(case: dict[str, str]) -> None:
    figure, unit = case["expected"].split(" ", 1)
    converted = amount(case["input"]).to(unit).value
    rounded = converted.quantize(Decimal(figure), ROUND_HALF_UP)
    assert rounded == Decimal(figure)
    if "never" in case:
        assert rounded != Decimal(case["never"].split(" ", 1)[0])


@cases("smaller")
def test_which_is_smaller(case: dict[str, str]) -> None:
    smaller, larger = amount(case["smaller"]), amount(case["larger"])
    assert smaller < larger
    assert not larger <= smaller


@cases("products")
def test_product(case: dict[str, Any]) -> None:
    first, operation, second = case["input"]
    one, two = amount(first), amount(second)
    result = one * two if operation == "*" else one / two
    expected = amount(case["expected"])
    assert (result.kind, result) == (expected.kind, expected)


@cases("printed")
def test_printed_amount(case: dict[str, str]) -> None:
    said = WORDS.value(Typed("volume", amount(case["input"]))).plain
    assert said == case["expected"]
    assert said != case.get("never")


@cases("stages")
def test_age_of_the_opening(case: dict[str, str]) -> None:
    keys = {"placed": "tube.placed", "made": "tube.opening_made", "born": "patient.born",
            "now": "prepared.on"}  # fmt: skip
    changes = {key: case[name] for name, key in keys.items() if name in case}
    stage = facts_with(changes).answers["opening_stage"]
    assert stage == case["expected"]
    assert stage != case.get("never")


@cases("pump_ends")
def test_end_of_a_pump_run(case: dict[str, str]) -> None:
    changes = {"feeding.0.starts": case["starts"], "feeding.0.runs_for": case["runs_for"]}
    facts = facts_with(changes, "gj-pump-overnight")
    assert f"{facts.values['pump_stop'].value:%H:%M}" == case["expected"]
    (stop,) = (event for event in facts.events if event.kind == "pump-stop")
    assert f"{stop.at:%H:%M}" == case["expected"]


@cases("days")
def test_sums_of_a_day(case: dict[str, Any]) -> None:
    totals = facts_with(case["change"]).totals
    for name, text in case["expected"].items():
        assert getattr(totals, name) == amount(text), name
    for name, text in case.get("never", {}).items():
        assert getattr(totals, name) != amount(text), name


def test_energy_and_water_a_kilogram_of_the_case() -> None:
    """Row o-case: 28.3 kcal/kg and 33.5 mL/kg for 62.7 kg."""
    (case,) = (one for one in ORACLES["days"] if one["source"] == "o-case")
    totals = facts_with(case["change"]).totals
    assert totals.energy is not None
    weight = Decimal("62.7")
    tenth = Decimal("0.1")
    assert (totals.energy.value / weight).quantize(tenth, ROUND_HALF_UP) == Decimal("28.3")
    assert (totals.water.value / weight).quantize(tenth, ROUND_HALF_UP) == Decimal("33.5")


# --- judge: the standard library's calendar -------------------------------------------------------


@pytest.mark.parametrize(
    "placed",
    [datetime(2024, 1, 31, 23, 30), datetime(2023, 12, 30, 6), datetime(2026, 2, 27, 14)],
    ids=["end of January, leap year", "end of a year", "end of February"],
)
def test_dates_of_the_first_days_agree_with_the_calendar(placed: datetime) -> None:
    now = placed + timedelta(hours=26)
    changes = {
        "tube.placed": f"{placed:%Y-%m-%d %H:%M}", "prepared.on": f"{now:%Y-%m-%d %H:%M}",
    }  # fmt: skip
    values = facts_with(changes).values
    expected = {  # example policy: 72 h, 24 h, 48 h, 28 d
        "red_flag_until": placed + timedelta(hours=72),
        "first_dressing_off_on": placed + timedelta(hours=24),
        "shower_from": placed + timedelta(hours=48),
        "bath_from": (placed + timedelta(days=28)).date(),
    }
    assert {name: values[name].value for name in expected} == expected
