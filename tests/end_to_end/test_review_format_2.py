"""`plainleaf review` of the six files of format 2; nothing else is made of them.

Figures: README of the six files, kept in tests/oracles/dated-plans.yaml.
"""

from __future__ import annotations

import json
from contextlib import redirect_stderr, redirect_stdout
from decimal import Decimal
from functools import cache
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
import yaml
from builders import ROOT
from dated_patients import NAMES, text_of

import plainleaf
from plainleaf.cli.main import main
from plainleaf.inputs.policy import load_policy

ORACLES: dict[str, list[dict[str, Any]]] = yaml.load(
    (ROOT / "tests" / "oracles" / "dated-plans.yaml").read_text("utf-8"), Loader=yaml.BaseLoader
)
REFEEDING, INSULIN = "g-advance-refeeding", "g-medicines-insulin"
HOSPICE, HOME, RESTING = "gj-vent-hospice", "g-change-group-home", "j-resting"


@pytest.fixture(scope="module")
def settings() -> Path:
    """The example facility, whose directory and formulary the six files name."""
    return ROOT / "teaching" / "policy" / "example-facility.yaml"


def _file(name: str, folder: Path) -> Path:
    """A given file; the refeeding patient's with what the dietitian decided to be drunk a day."""
    drinks = ("  by_mouth:", "  drink: 400 mL\n  by_mouth:")
    text = text_of(name).replace(*drinks, 1) if name == REFEEDING else text_of(name)
    path = folder / f"{name}.yaml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def run(settings: Path, tmp_path_factory: pytest.TempPathFactory) -> Any:
    """What the command prints of a given file, with its status."""

    @cache
    def review(name: str, *more: str) -> tuple[int, str]:
        path = _file(name, tmp_path_factory.mktemp("files"))
        printed, complaints = StringIO(), StringIO()
        with redirect_stdout(printed), redirect_stderr(complaints):
            status = main(["review", str(path), "--policy", str(settings), *more])
        assert complaints.getvalue() == ""
        return status, printed.getvalue()

    return review


@pytest.mark.parametrize("name", NAMES)
def test_the_plans_hold_the_figures_of_the_six_files(name: str, run: Any) -> None:
    data = json.loads(run(name, "--json")[1])
    assert data["format"] == 2
    rows = [row for row in ORACLES["plans"] if row["file"] == name]
    spans = [(plan["from"], plan["until"] or "none") for plan in data["plans"]]
    assert spans == [(row["first"], row["last"]) for row in rows]
    for plan, row in zip(data["plans"], rows, strict=True):
        totals = plan["totals"]
        assert Decimal(str(totals["formula_ml"])) == Decimal(row["formula"])
        assert Decimal(str(totals["water_ml"])) == Decimal(row["water"])
        assert Decimal(str(totals["drained_flush_ml"])) == Decimal(row.get("drained", "0"))
        parts = ("water_in_formula_ml", "flush_ml", "mixing_ml", "juice_ml", "drink_ml")
        summed = sum(Decimal(str(totals[part])) for part in parts)
        assert summed == Decimal(str(totals["water_ml"]))
    assert data["schedule"] == data["plans"][0]["schedule"]
    assert data["totals"] == data["plans"][0]["totals"]


@pytest.mark.parametrize("name", NAMES)
def test_the_review_shows_every_plan_and_every_line(name: str, run: Any) -> None:
    status, text = run(name)
    data = json.loads(run(name, "--json")[1])
    assert status == (1 if data["stopped"] else 0)
    for plan in data["plans"]:
        assert f"From {plan['from']} {'to ' + plan['until'] if plan['until'] else 'on'}" in text
        for row in plan["schedule"]:
            assert row["what"] in text
            assert all(name in text for presence in row["who"] for name in presence["names"])
    # No value of a sentence that is not printed yet is asked for.
    assert not any(row["id"].startswith("missing-") for row in data["findings"])


LINES: list[tuple[str, str]] = [
    (REFEEDING, "Begins, ends or changes on 2026-08-14: feeding[0]"),
    (REFEEDING, "Goal, as ordered        1500 mL; planned 1528.6 mL, 102 % of it"),
    (REFEEDING, "Start the pump: 65 mL an hour"),
    (REFEEDING, "2026-08-12 until 2026-08-20  Visit: Home nurse, every 1 d"),
    (INSULIN, "340 mg/dL or more       9 units, then call after_hours"),
    (INSULIN, "On Thu, besides or instead:\n10:00"),
    (INSULIN, "Limit, as ordered       2000 mL; planned 1473.865 mL, 74 % of it"),
    (INSULIN, "carvedilol: 1 packet (6.25 mg) in 20 mL water"),
    (HOSPICE, "(it drains again and is not counted)"),
    (HOSPICE, "lorazepam: 1 tablet (0.5 mg), under tongue, for anxiety or nausea, at most 4 doses"),
    (HOSPICE, "2026-10-12  skin buttons off, by order"),
    (HOSPICE, "One dose of morphine, as needed, adds 40 mL of water."),
    (HOME, "lamotrigine: 1 tablet (100 mg) in 30 mL water  [Mon Tue Wed Thu Fri: Olga Marsh; "
     "Sat Sun: NOBODY]"),
    (HOME, "10:22                Stop the pump"),
    (HOME, "Protein powder: 2 scoops (14 g) in 90 mL water"),
    (RESTING, "On Mon, besides or instead:\n09:00                Check: weight"),
    (RESTING, "2026-11-04 09:15  Visit: Stitches come out"),
    ("g-infant-fortified", "(over 30 to 40 min)"),
    ("g-infant-fortified", "03:00         60 mL  Fill the bag again: 60 mL"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "line"), LINES)
def test_the_review_says_what_was_ordered(name: str, line: str, run: Any) -> None:
    assert line in run(name)[1]


def test_a_date_by_order_takes_the_place_of_the_usual_time(run: Any) -> None:
    assert "Skin buttons fall off" not in run(HOSPICE)[1]


def test_the_library_reviews_it(settings: Path) -> None:
    decision = plainleaf.decide(
        text_of(RESTING), plainleaf.open_teaching(), load_policy(settings), name="patient"
    )
    assert plainleaf.review(decision)["plans"][0]["totals"]["water_ml"] == 90


def test_a_rule_may_be_about_a_medicine_without_one_dose(settings: Path) -> None:
    scale = "route: injection\n    times: before each feed"
    tube = scale.replace("injection", "gastric\n    prepare: as it is")
    text = text_of(INSULIN).replace(scale, tube)
    decision = plainleaf.decide(text, plainleaf.open_teaching(), load_policy(settings))
    subjects = {f.id: f.subject for f in decision.findings}
    assert subjects["insulin-through-tube"] == "insulin regular"
