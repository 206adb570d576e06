"""The packet's own fonts: which letters they have, and that no other font is known."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

import pytest

from plainleaf.printing import fonts as own
from plainleaf.vocabulary.errors import RenderError


@pytest.mark.parametrize(
    ("text", "missing"),
    [
        ("Water for Nuñez, Ng\u1ec5n and Żółć: 1,200 mL", ()),
        ("100.4 °F (38 °C) “quoted” – it’s", ()),
        ("spaces \u00a0\n\tonly", ()),
        ("日本", ("日", "本")),
        ("abc 😀 😀", ("😀",)),
        ("", ()),
    ],
    ids=["latin", "signs", "spaces", "han", "emoji once", "nothing"],
)
def test_missing_letters(text: str, missing: tuple[str, ...], fonts: Mapping[str, Path]) -> None:
    for file in (fonts["Regular"], fonts["Bold"]):
        assert own.missing_letters(text, file) == missing


def test_a_letter_is_looked_for_in_each_font(fonts: Mapping[str, Path]) -> None:
    assert own.missing_letters("ماء 日", fonts["Regular"]) != ("日",)
    assert own.missing_letters("ماء 日", *own.letter_fonts(fonts)) == ("日",)


# Letters of Standard Arabic with vowel marks and its own punctuation (Unicode chart U+0600).
ARABIC = "ءآأؤإئابةتثجحخدذرزسشصضطظعغفقكلمنهوىي،؛؟ًٌٍَُِّْ"


def test_standard_arabic_can_be_printed(fonts: Mapping[str, Path]) -> None:
    for weight in own.WEIGHTS:
        assert own.missing_letters(ARABIC, fonts[f"Arabic {weight}"]) == ()


def test_marks_of_direction_need_no_letter(fonts: Mapping[str, Path]) -> None:
    assert own.missing_letters("\u2066a\u2067b\u2068c\u2069", fonts["Regular"]) == ()


def test_missing_letters_are_sorted(fonts: Mapping[str, Path]) -> None:
    assert own.missing_letters("本日", fonts["Regular"]) == ("日", "本")


def test_the_cuts_are_static_and_of_their_weight(fonts: Mapping[str, Path]) -> None:
    from fontTools.ttLib import TTFont

    for style, weight in own.WEIGHTS.items():
        with TTFont(fonts[style], lazy=True) as font:
            assert "fvar" not in font
            assert font["OS/2"].usWeightClass == weight


def test_the_renderer_is_pointed_at_these_fonts_alone(fonts: Mapping[str, Path]) -> None:
    conf = Path(os.environ["FONTCONFIG_FILE"])
    text = conf.read_text(encoding="utf-8")
    assert text.count("<dir>") == 1
    assert f"<dir>{fonts['Regular'].parent}</dir>" in text


def test_a_cache_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(RenderError, match="cannot be written"):
        own.font_files(tmp_path / "file")


def test_the_font_is_cut_only_once(
    fonts: Mapping[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object) -> None:
        raise AssertionError("cut again")

    monkeypatch.setattr(own, "_cut", never)
    assert own.font_files(fonts["Regular"].parent.parent) == dict(fonts)
