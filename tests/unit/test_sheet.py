"""What the nurse's sheet holds besides the teaching."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest
from builders import facts_with, findings_with, library, patient_with, policy

from plainleaf.compose.word import Wording
from plainleaf.facts.derived import Totals
from plainleaf.inputs.catalog import Catalog
from plainleaf.packet.sheet.form_fields import NEEDS
from plainleaf.packet.sheet.sheet_words import (
    interpreter_lines,
    sheet_findings,
    sheet_learners,
    signature_rows,
    totals_lines,
    totals_rows,
)
from plainleaf.vocabulary.quantities import Quantity, mL

A, B, C = "g-balloon-syringe", "g-bumper-blended", "g-button-child"
GJ, J = "gj-pump-overnight", "j-surgical-continuous"
WORDS = Wording(library(), Catalog("en", {}))


# Sums by hand from the files (see test_facts_day.py); ounces of 30 mL.
ROWS: list[tuple[str, list[tuple[str, str]]]] = [
    (GJ, [
        ("Formula", "900 mL (30 oz)"), ("Energy from formula", "1,350 kcal"),
        ("Water in formula", "684 mL (about 23 oz)"), ("All flushes", "210 mL (7 oz)"),
        ("Water in all", "894 mL (about 30 oz)"), ("Goal, as ordered", "1,700 mL (about 57 oz)"),
    ]),
    (B, [
        ("Home-blended food", "900 mL (30 oz)"),
        ("Energy from formula", "not known: home-blended food has no label"),
        ("All flushes", "330 mL (11 oz)"), ("Water in all", "330 mL (11 oz)"),
        ("Limit, as ordered", "2,000 mL (about 67 oz)"),
    ]),
]  # fmt: skip


@pytest.mark.parametrize(("base", "rows"), ROWS, ids=[row[0] for row in ROWS])
def test_totals_in_words(base: str, rows: list[tuple[str, str]]) -> None:
    found = totals_rows(facts_with(base=base), WORDS)
    assert [(label.plain, value.plain) for label, value in found] == rows


def test_water_in_all_is_printed_even_when_there_is_none() -> None:
    none, energy = mL(0), Quantity(Decimal(0), "kcal")
    totals = Totals(none, none, energy, none, none, none, none, None, None)
    found = [label.plain for _, label, _ in totals_lines(totals, WORDS)]
    assert found == ["Water in all", "Energy from formula"]


def test_learners_as_in_the_file() -> None:
    found = sheet_learners(patient_with({"learners.0.needs": ["reads-little", "hands"]}, GJ), WORDS)
    assert [(one.name, one.relation, one.hands_on) for one in found] == [
        ("Marguerite Okafor", "self", False), ("Ifeoma Okafor", "daughter", True),
    ]  # fmt: skip
    assert [one.needs for one in found] == ["reads little, hands", ""]


# base, changes, language of the handout, parts of each line
LINES: list[tuple[str, str, dict[str, Any], str, Sequence[str]]] = [
    ("nobody needs one", A, {}, "en", ["No learner on this sheet needs an interpreter"]),
    ("planned, with a gap", J, {}, "en",
     ["A learner reads Spanish.", "Planned: video, Spanish, id INT-20417",
      "The handout is in English. Arturo Villaseñor reads Spanish"]),
    ("planned, handout in the language", J, {}, "es", ["reads Spanish.", "Planned: video"]),
    ("needed and not planned", A, {"learners.1.language": "so"}, "en", ["A learner reads Somali."]),
    ("two languages", C, {"learners.1.language": "fr"}, "ar", ["reads Arabic, French.", "Planned"]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("base", "changes", "given", "parts"), [row[1:] for row in LINES], ids=[r[0] for r in LINES]
)
def test_what_the_sheet_says_of_the_interpreter(
    base: str, changes: dict[str, Any], given: str, parts: Sequence[str]
) -> None:
    patient, facts = patient_with(changes, base), facts_with(changes, base)
    found = [line.plain for line in interpreter_lines(patient, policy(), facts, given, WORDS)]
    assert len(found) == len(parts)
    assert all(part in line for part, line in zip(parts, found, strict=True)), found


def test_a_handout_in_the_readers_language_that_was_not_asked_for_is_named() -> None:
    changes = {"patient.language": "ar"}
    patient, facts = patient_with(changes, C), facts_with(changes, C)
    have = ("en", "ar")
    found = interpreter_lines(patient, policy(), facts, "en", WORDS, have)
    assert "there is a handout in it: build that one too" in found[-1].plain
    lacking = interpreter_lines(patient, policy(), facts, "en", WORDS, ("en", "es"))
    assert "there is no handout in it yet" in lacking[-1].plain


# Who signs: the patient or representative, each other learner, teachers, the interpreter.
SIGNS = [
    (A, {}, ["sign.patient", "sign.learner.1", "sign.teacher", "sign.second"]),
    (B, {}, ["sign.patient", "sign.teacher", "sign.second"]),
    (C, {}, ["sign.patient", "sign.learner.0", "sign.learner.1", "sign.teacher", "sign.second",
             "sign.interpreter"]),
]  # fmt: skip


@pytest.mark.parametrize(("base", "changes", "keys"), SIGNS, ids=[row[0] for row in SIGNS])
def test_signatures(base: str, changes: dict[str, Any], keys: list[str]) -> None:
    found = signature_rows(patient_with(changes, base), facts_with(changes, base), WORDS)
    assert [row.key for row in found] == keys


def test_an_accepted_finding_says_who_why_and_when() -> None:
    entry = {"finding": "crush-modified-release", "by": "Dr. Ames", "reason": "Changed.",
             "on": "2026-03-04"}  # fmt: skip
    found = sheet_findings(findings_with({"accepted": [entry]}), WORDS)
    (row,) = (one for one in found if one.id == "crush-modified-release")
    # The medicine is named once, also where the finding begins with it.
    assert row.says[0].startswith("omeprazole (delayed-release capsule) is planned")
    assert row.level == "stop"
    assert row.accepted is not None
    assert row.accepted.plain == ("Accepted by Dr. Ames on Wednesday, March 4, 2026: Changed.")
    assert all(one.accepted is None for one in found if one.id != "crush-modified-release")


def test_every_learning_need_has_words() -> None:
    assert {f"need-{name}" for name in NEEDS} <= set(library().phrases)
