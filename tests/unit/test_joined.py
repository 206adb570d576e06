"""Numbers stay with their units, amounts with their other unit, a call with 911 (row LP-07)."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from builders import ROOT, library

from plainleaf.compose.fill import FilledBlock
from plainleaf.compose.word import Wording, Words, together, word_block
from plainleaf.compose.word.numbers import NBSP
from plainleaf.facts.derived import Typed
from plainleaf.inputs.catalog import Catalog, load_catalog
from plainleaf.vocabulary.quantities import mL

ENGLISH = Wording(library(), Catalog("en", {}))


def shown(words: Words | str) -> str:
    """With no-break spaces as underscores."""
    return str(words).replace(NBSP, "_")


@pytest.mark.parametrize(
    ("text", "is_"),
    [
        ("Do not lift more than 10 lb (4.5 kg).", "Do not lift more than 10_lb_(4.5_kg)."),
        ("Call if it is 100.4 °F (38 °C) or more", "Call if it is 100.4_°F_(38_°C) or more"),
        ("Come at 1 pm on day 3.", "Come at 1_pm on day 3."),
        ("Espere 30 minutos.", "Espere 30_minutos."),
        ("انتظر 30 دقيقة.", "انتظر 30_دقيقة."),
        ("Use 2 (two) of them, v1.2 is old", "Use 2 (two) of them, v1.2 is old"),
        ("10 mL (or as much as 10 of them)", "10_mL (or as much as 10_of them)"),
    ],
)  # fmt: skip
def test_a_number_in_plain_words_stays_with_its_unit(text: str, is_: str) -> None:
    assert shown(together(text)) == is_


def say(text: str, **values: Any) -> str:
    typed = {name: Typed(name.replace("_", "-"), value) for name, value in values.items()}
    return shown(ENGLISH.substitute(text, typed))


def test_values_stay_with_what_belongs_to_them() -> None:
    assert say("Give {volume} now", volume=mL(300)) == "Give 300_mL_(10_oz) now"
    assert say("Call {phone} now", phone="911") == "Call_911 now"
    assert say("Llame al {phone}.", phone="911") == "Llame_al_911."
    assert say("Call {phone}", phone="+1 555 010 0160") == "Call +1_555_010_0160"
    assert say("Take {count} tablets", count=2) == "Take_2_tablets"
    assert say("Turn to page {count}.", count=11) == "Turn to page_11."
    assert say("{count}, then stop", count=2) == "2, then stop"


def test_a_long_amount_may_break_before_its_bracket_in_a_table() -> None:
    cells = tuple((Typed("volume", mL(amount)),) for amount in (300, 250))
    block = word_block(ENGLISH, FilledBlock("t", "table", ("total-flush", "total-water"), (cells,)))
    (row,) = block.rows
    assert [shown(cell[0]) for cell in row] == ["300_mL_(10_oz)", "250_mL (about_8.5_oz)"]


@pytest.mark.parametrize(
    ("language", "is_"),
    [("en", "Thursday, March_26, 2026"), ("es", "jueves 26_de_marzo de_2026")],
)
def test_a_day_stays_with_its_month(language: str, is_: str) -> None:
    wording = Wording(library(), load_catalog(ROOT / "teaching" / "locales", language))
    assert shown(wording.value(Typed("date", date(2026, 3, 26)))) == is_
