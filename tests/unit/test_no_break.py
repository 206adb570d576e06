"""Which pieces of a value stand on one line, in a text and in a narrow cell."""

from __future__ import annotations

import pytest

from plainleaf.compose.word import kept, unbroken
from plainleaf.compose.word.no_break import in_cell
from plainleaf.compose.word.worded_packet import Run


def run(kind: str, text: str) -> Run:
    return Run(text.replace("_", "\u00a0"), kind)


def pieces(one: Run) -> list[str]:
    return [piece.replace("\u00a0", "_") for piece in kept(one)]


@pytest.mark.parametrize(
    ("kind", "text", "wanted"),
    [
        ("", "Wash your hands", []),
        ("text", "Olga Marsh", []),
        ("said", "Call before noon.", []),
        ("phone", "+1_555_010_0172", ["+1_555_010_0172"]),
        ("span", "30_minutes", ["30_minutes"]),
        ("span", "2_hours 22_minutes", ["2_hours", "22_minutes"]),
        ("date", "Monday, March_4, 2026", ["Monday,", "March_4,", "2026"]),
        ("dose", "1_tablet", ["1_tablet"]),
        ("clock-short", "12:30_pm", ["12:30_pm"]),
    ],
)
def test_a_value_keeps_its_pieces(kind: str, text: str, wanted: list[str]) -> None:
    assert pieces(run(kind, text)) == wanted


@pytest.mark.parametrize(
    ("kind", "text", "wanted"),
    [
        ("volume", "60_mL_(2_oz)", ["60_mL_(2_oz)"]),
        ("volume", "355.5_mL_(about_12_oz)", ["355.5_mL", "(about_12_oz)"]),
        ("clock-short", "12:30_de_la_tarde", ["12:30", "de", "la", "tarde"]),
        ("clock-short", "10:22_am", ["10:22_am"]),
        ("clock", "half_past_six_in_the_evening", ["half_past_six_in_the_evening"]),
    ],
)
def test_a_long_value_may_break_between_its_parts_in_a_cell(
    kind: str, text: str, wanted: list[str]
) -> None:
    assert pieces(in_cell(run(kind, text))) == wanted


def test_what_stands_on_one_line_is_marked_so_where_it_is_set_apart() -> None:
    assert unbroken(run("phone", "+1_555_010_0172"))
    assert not unbroken(run("span", "2_hours 22_minutes"))
    assert not unbroken(run("text", "Olga Marsh"))
    assert not unbroken(run("dose", "a" * 40))
