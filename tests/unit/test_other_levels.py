"""Levels of packets that are not in English: by a formula for Spanish, else by sentences."""

from __future__ import annotations

import pytest

from plainleaf.authoring.readability.other_levels import hardest_lines, other_level
from plainleaf.authoring.readability.pieces import Printed
from plainleaf.compose.word import (
    Run,
    WordedPacket,
    WordedPage,
    WordedSection,
    WordedStatement,
    Words,
)


def printed(language: str, *texts: str | Words, name: str = "one") -> Printed:
    statements = tuple(
        WordedStatement(
            f"m.s.{n}", "say", text if isinstance(text, Words) else Words((Run(text),)), None, ()
        )
        for n, text in enumerate(texts)
    )
    section = WordedSection("m.s", Words((Run("Heading"),)), None, statements)
    page = WordedPage("m", "daily", 1, Words((Run("Title"),)), (section,))
    return Printed(name, WordedPacket(language, "ltr", (), (page,)))


def test_spanish_goes_by_its_own_formula() -> None:
    easy = other_level(printed("es", "Cierre la tapa. Lave la piel."))
    assert easy.remarks == ()
    # 6 words, 2 sentences, 9 syllables: 206.835 - 62.3 * 9 / 6 - 3
    assert easy.value == pytest.approx(110.385, abs=0.001)
    assert "very easy" in str(easy)


def test_a_hard_spanish_page_is_a_fault() -> None:
    hard = other_level(printed("es", "Administración gastroyeyunostomía individualizada."))
    (remark,) = hard.remarks
    assert (remark.level, remark.rule) == ("fault", "RL-04")
    assert "at least 65" in remark.says


@pytest.mark.parametrize("language", ["ar", "so", "vi"])
def test_other_languages_go_by_the_length_of_sentences(language: str) -> None:
    fifteen = " ".join(["w"] * 15)
    assert other_level(printed(language, f"{fifteen}. {fifteen}.")).remarks == ()
    long = other_level(printed(language, "Short.", f"{fifteen} more."))
    (remark,) = long.remarks
    assert (remark.rule, remark.where) == ("RL-06", "m.s.1")
    assert long.value == 16
    assert "no validated formula" in str(long)


def test_an_arabic_question_mark_ends_a_sentence() -> None:
    assert other_level(printed("ar", "كيف؟ اغسل يديك.")).value == 2


def test_names_phones_and_dates_are_not_counted() -> None:
    many = Run(" ".join(["name"] * 30), "text")
    assert other_level(printed("ar", Words((Run("اغسل "), many)))).value == 1


def test_the_hardest_packet_of_each_language_is_named() -> None:
    levels = [
        other_level(printed("es", "Cierre la tapa.", name="easy")),
        other_level(printed("es", "Administración individualizada.", name="hard")),
        other_level(printed("ar", "اغسل يديك.", name="short")),
        other_level(printed("ar", "اغسل يديك بالماء.", name="long")),
    ]
    lines = list(hardest_lines(levels))
    assert lines[0].startswith("long (ar): hardest m.s.0, longest sentence 3 words")
    assert lines[1].startswith("hard (es): hardest about a page from m.s")
    assert all(line.endswith("(of 2 packets)") for line in lines)
