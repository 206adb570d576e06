"""What may go in the mouth: each word of the list, its limits, and what is never said beside it."""

from __future__ import annotations

from typing import Any

import pytest
from builders import library
from format_2 import REFEEDING, data_with, facility, patient_of

from plainleaf.compose.fill import SlotSource
from plainleaf.compose.fill.tables_mouth import mouth_table
from plainleaf.compose.word import NBSP, Wording
from plainleaf.facts import Facts, derive
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.content import condition_of
from plainleaf.vocabulary.conditions import Answer
from plainleaf.vocabulary.words_2 import BY_MOUTH, THICKNESS

WORDS = Wording(library(), Catalog("en", {}))


def facts_of(changes: dict[str, Any]) -> Facts:
    return derive(patient_of(data_with(changes, REFEEDING)), facility(), library().medicine_words)


def rows_of(changes: dict[str, Any]) -> list[str]:
    patient = patient_of(data_with({**changes}, REFEEDING))
    facts = derive(patient, facility(), library().medicine_words)
    rows = mouth_table(SlotSource(patient, facts)).rows
    return [": ".join(str(WORDS.value(line)) for cell in row for line in cell) for row in rows]


def printed(changes: dict[str, Any]) -> str:
    """The worded statements about eating that hold, joined."""
    answers = facts_of(changes).answers
    return " ".join(
        statement.text
        for module in library().modules
        for section, statement in module.statements()
        if (statement.choice or "") in CHOICES
        and condition_of(module, section, statement).ask(answers) is Answer.TRUE
    )


CHOICES = ("by-mouth", "questions.eating", "questions.alcohol-mouth")

# Words of the list → how a reader knows it again.
SAID = {
    "ice chips": "Ice chips",
    "sips of water": "Sips of water",
    "sips of clear liquids": "Sips of clear liquids",
    "clear liquids": "Clear liquids",
    "full liquids": "Any liquid",
    "tastes": "tastes",
    "pureed": "Smooth, blended food",
    "minced": "very small bits",
    "soft": "Soft food",
    "regular": "Any food and drink",
    "breast or bottle": "Breast or bottle",
}


def test_every_word_of_the_list_is_said() -> None:
    assert {*SAID, "nothing"} == set(BY_MOUTH)


@pytest.mark.parametrize(("word", "said"), SAID.items())
def test_a_word_is_printed_and_gives_each_choice_one_text(word: str, said: str) -> None:
    (row,) = rows_of({"patient.by_mouth": [word]})
    assert row.startswith("What may go in: ")
    assert said in row
    assert facts_of({"patient.by_mouth": [word]}).answers["mouth_listed"] == "true"
    words = printed({"patient.by_mouth": [word]})
    assert "list" in words
    assert "small sips" not in words


def test_nothing_alone_needs_no_list() -> None:
    assert rows_of({"patient.by_mouth": ["nothing"]}) == []
    answers = facts_of({"patient.by_mouth": ["nothing"]}).answers
    assert (answers["eats"], answers["mouth_listed"]) == ("nothing", "false")


@pytest.mark.parametrize("word", THICKNESS)
def test_how_thick_drinks_must_be_is_printed(word: str) -> None:
    rows = rows_of({"patient.by_mouth": ["soft"], "patient.thickness": word})
    assert any(row.lower().startswith(f"how thick drinks must be: {word}") for row in rows)


def test_limits_of_the_order_stand_in_the_list() -> None:
    rows = rows_of({
        "patient.by_mouth": ["tastes", "ice chips"], "patient.mouth_each": "10 mL",
        "patient.mouth_by": "W. Idris, SLP", "patient.by_mouth_until": "2026-08-20",
        "patient.drink": "400 mL",
    })  # fmt: skip
    assert [row.replace(NBSP, " ") for row in rows] == [
        "What may go in: Tiny tastes: Ice chips",
        "Most at one time: 10 mL",
        "To drink each day: 400 mL (about 13.5 oz)",
        "How long: Until Thursday, August 20, 2026. Then ask us again.",
        "Whose plan: W. Idris, SLP",
    ]


@pytest.mark.parametrize(
    ("words", "eats"),
    [
        (["nothing"], "nothing"),
        (["ice chips", "sips of water"], "sips"),
        (["tastes"], "full"),
        (["regular"], "full"),
    ],
)
def test_how_much_is_taken_is_always_known(words: list[str], eats: str) -> None:
    changes = {"patient.by_mouth": words}
    assert facts_of(changes).answers["eats"] == eats
