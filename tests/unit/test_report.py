"""The decisions as data: the keys of the contract, exact numbers, no rounding.

Keys and shapes: the contract (README, "packet.json and review --json").
"""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

import pytest
from builders import EXAMPLES, facts_with, findings_with, library

from plainleaf.compose.word import (
    Run,
    WordedBlock,
    WordedModule,
    WordedPacket,
    WordedSection,
    WordedStatement,
    Wording,
    Words,
)
from plainleaf.inputs.catalog import Catalog
from plainleaf.packet.record.exact_numbers import exact
from plainleaf.packet.record.review_data import (
    finding_data,
    review_data,
    rulings_data,
    statements_data,
)
from plainleaf.rules.select import select
from plainleaf.vocabulary.quantities import Quantity, mL

A, B, GJ = "g-balloon-syringe", "g-bumper-blended", "gj-pump-overnight"
WORDS = Wording(library(), Catalog("en", {}))


def review(base: str, changes: dict[str, Any] | None = None) -> dict[str, Any]:
    return review_data(facts_with(changes, base), findings_with(changes, base), WORDS)


@pytest.mark.parametrize(
    ("amount", "unit", "is_"),
    [
        (None, "mL", None),
        (mL(900), "mL", 900),
        (mL("900.0"), "mL", 900),
        (mL("1150.2"), "mL", 1150.2),
        (Quantity(Decimal(2), "L"), "mL", 2000),
        (Quantity(Decimal("1777.5"), "kcal"), "kcal", 1777.5),
    ],
    ids=str,
)
def test_exact_numbers(amount: Quantity | None, unit: str, is_: float | None) -> None:
    found = exact(amount, unit)
    assert found == is_
    assert type(found) is type(is_)


@pytest.mark.parametrize("base", EXAMPLES)
def test_the_keys_of_the_contract(base: str) -> None:
    data = review(base)
    assert data["format"] == 1
    assert {"format", "stopped", "findings", "totals", "schedule", "timeline"} <= set(data)
    assert {
        "formula_ml", "energy_kcal", "water_in_formula_ml", "flush_ml", "water_ml", "goal_ml",
        "limit_ml",
    } <= set(data["totals"])  # fmt: skip
    for row in data["findings"]:
        assert {"id", "level", "says", "concerns", "sources", "accepted"} <= set(row)
        assert row["level"] in ("stop", "confirm", "note")
    for row in data["schedule"]:
        assert {"at", "what", "through", "amount_ml"} <= set(row)
    for row in data["timeline"]:
        assert {"what", "from", "until"} <= set(row)
    assert json.loads(json.dumps(data, allow_nan=False))["totals"] == data["totals"]


def test_the_totals_of_the_contracts_example() -> None:
    # 75 mL/h for 12 h of 1.5 kcal/mL and 76 % water (rows o-cyc): 900, 1350 and 684
    totals = review(GJ)["totals"]
    assert (totals["formula_ml"], totals["energy_kcal"], totals["water_in_formula_ml"]) == (
        900, 1350, 684,
    )  # fmt: skip
    assert (totals["goal_ml"], totals["limit_ml"]) == (1700, None)


def test_what_is_not_known_is_null_and_never_zero() -> None:
    assert review(B)["totals"]["energy_kcal"] is None
    assert review(A)["totals"]["goal_ml"] is None


def test_lines_of_the_schedule() -> None:
    rows = {(row["at"], row["kind"]): row for row in review(GJ)["schedule"]}
    assert rows["18:00", "pump-start"] == {
        "at": "18:00",
        "what": "Start the pump on the bowel port: 75 mL an hour, 900 mL (30 oz) in all",
        "kind": "pump-start",
        "through": "jejunal",
        "amount_ml": 900,
    }
    outside = next(row for row in review(B)["schedule"] if row["at"] == "21:00")
    assert (outside["through"], outside["amount_ml"]) == (None, None)


def test_lines_of_the_timeline_have_no_zone_and_name_the_visit() -> None:
    rows = {row["id"]: row for row in review(GJ)["timeline"]}
    assert rows["visit"] == {
        "id": "visit", "what": "Visit: First tube check", "from": "2026-03-18T09:00", "until": None,
    }  # fmt: skip
    assert rows["red-flag"]["until"] == "2026-03-07T10:30"


def test_a_finding_as_data() -> None:
    entry = {"finding": "crush-modified-release", "by": "Dr. Ames", "reason": "seen",
             "on": "2026-03-04"}  # fmt: skip
    found = findings_with({"accepted": [entry]})
    data = {one.id: finding_data(one) for one in found}
    crush = data["crush-modified-release"]
    assert crush["accepted"] == {"by": "Dr. Ames", "reason": "seen", "on": "2026-03-04"}
    assert crush["about"] == "omeprazole"
    assert crush["concerns"] == ["medicines[0]"]
    assert data["policy-example"]["accepted"] is None
    assert data["policy-example"]["about"] is None


@pytest.mark.parametrize(
    ("changes", "stopped"),
    [({}, True), ({"medicines": [], "other_lines": []}, False)],
    ids=["a stop", "only notes"],
)
def test_stopped_says_whether_a_packet_can_be_built(changes: dict[str, Any], stopped: bool) -> None:
    assert review(A, changes)["stopped"] is stopped


def test_decisions_say_in_or_out_and_why() -> None:
    facts = facts_with({"other_lines": []})
    rows = {row["id"]: row for row in rulings_data(select(library(), facts))}
    assert {row["in"] for row in rows.values()} == {True, False}
    everything = {s.id for module in library().modules for _, s in module.statements()}
    assert set(rows) == everything


def words(text: str) -> Words:
    return Words((Run(text),))


@pytest.mark.parametrize(
    ("look", "says"),
    [("table", "Time | Amount\n8 am | 60 mL / 2 oz"), ("card", "8 am | 60 mL / 2 oz")],
)
def test_statements_as_data_tables_as_lines(look: str, says: str) -> None:
    block = WordedBlock(
        "t", look, (words("Time"), words("Amount")),
        (((words("8 am"),), (words("60\u00a0mL"), words("2 oz"))),),
    )  # fmt: skip
    statements = (
        WordedStatement("m.a", "say", words("Give 60\u00a0mL."), None, ("practice",)),
        WordedStatement("m.t", "block", None, block, ()),
    )
    section = WordedSection("m.s", words("H"), None, statements)
    packet = WordedPacket("en", "ltr", (WordedModule("m", words("T"), (section,), (), ()),))
    found = statements_data(packet)
    assert found[0] == {
        "id": "m.a", "module": "m", "says": "Give 60 mL.", "sources": ["practice"],
    }  # fmt: skip
    assert found[1]["says"] == says
