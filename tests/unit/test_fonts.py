"""The packet's own fonts: which letters they have, and that no other font is known."""

from __future__ import annotations

import shutil
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path

import pytest

from plainleaf.printing import fonts as own
from plainleaf.printing.fonts import OwnFonts
from plainleaf.vocabulary.errors import CacheError


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
def test_missing_letters(text: str, missing: tuple[str, ...], fonts: OwnFonts) -> None:
    for file in (fonts.file("Regular"), fonts.file("Bold")):
        assert own.missing_letters(text, file) == missing


def test_a_letter_is_looked_for_in_each_font(fonts: OwnFonts) -> None:
    assert own.missing_letters("ماء 日", fonts.file("Regular")) != ("日",)
    assert own.missing_letters("ماء 日", *fonts.letters) == ("日",)


# Letters of Standard Arabic with vowel marks and its own punctuation (Unicode chart U+0600).
ARABIC = "ءآأؤإئابةتثجحخدذرزسشصضطظعغفقكلمنهوىي،؛؟ًٌٍَُِّْ"


def test_standard_arabic_can_be_printed(fonts: OwnFonts) -> None:
    for weight in own.WEIGHTS:
        assert own.missing_letters(ARABIC, fonts.file(f"Arabic {weight}")) == ()


def test_marks_of_direction_need_no_letter(fonts: OwnFonts) -> None:
    assert own.missing_letters("\u2066a\u2067b\u2068c\u2069", fonts.file("Regular")) == ()


def test_missing_letters_are_sorted(fonts: OwnFonts) -> None:
    assert own.missing_letters("本日", fonts.file("Regular")) == ("日", "本")


def test_the_cuts_are_static_and_of_their_weight(fonts: OwnFonts) -> None:
    from fontTools.ttLib import TTFont

    for style, weight in own.WEIGHTS.items():
        with TTFont(fonts.file(style), lazy=True) as font:
            assert "fvar" not in font
            assert font["OS/2"].usWeightClass == weight


def test_fontconfig_is_told_of_these_fonts_alone(fonts: OwnFonts) -> None:
    text = fonts.configuration.read_text(encoding="utf-8")
    assert text.count("<dir>") == 1
    assert f"<dir>{fonts.folder}</dir>" in text


def test_a_cache_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(CacheError, match="cannot be written"):
        own.own_fonts(tmp_path / "file")


def contents(folder: Path) -> dict[str, bytes]:
    """The files of a folder by their names; what only speeds fontconfig up is left out."""
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


@pytest.fixture
def cache(fonts: OwnFonts, tmp_path: Path) -> Path:
    """A cache of this test's own, with the fonts in it."""
    shutil.copytree(fonts.folder, tmp_path / fonts.folder.name)
    own.own_fonts(tmp_path)
    return tmp_path


@pytest.fixture
def sound(fonts: OwnFonts, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Fonts are made in no time, as they are in the usual cache; which were made."""
    made_anew: list[str] = []

    def maker(style: str) -> bytes:
        made_anew.append(style)
        return fonts.file(style).read_bytes()

    monkeypatch.setattr(own, "_MAKERS", {style: partial(maker, style) for style in own._MAKERS})
    return made_anew


def test_an_empty_cache_is_filled(tmp_path: Path, sound: list[str]) -> None:
    made = own.own_fonts(tmp_path / "new")
    assert sorted(sound) == sorted(own._MAKERS)
    assert len(contents(made.folder)) == len(own._MAKERS) + 2


def test_what_is_sound_is_not_made_again(cache: Path, sound: list[str]) -> None:
    before = contents(own.own_fonts(cache).folder)
    assert contents(own.own_fonts(cache).folder) == before
    assert sound == []
    assert len(before) == len(own._MAKERS) + 2


def damage(file: Path, how: str) -> None:
    content = file.read_bytes()
    if how == "gone":
        file.unlink()
    else:
        half = len(content) // 2
        other = bytes([content[half] ^ 1])
        damaged = {
            "empty": b"",
            "cut off": content[:half],
            "one bit": content[:half] + other + content[half + 1 :],
        }
        file.write_bytes(damaged[how])


@pytest.mark.parametrize("how", ["gone", "empty", "cut off", "one bit"])
@pytest.mark.parametrize("style", list(own._MAKERS))
def test_a_damaged_font_is_made_again(style: str, how: str, cache: Path, sound: list[str]) -> None:
    fonts = own.own_fonts(cache)
    before = contents(fonts.folder)
    index = fonts.folder / "index"
    index.mkdir(exist_ok=True)
    damage(fonts.file(style), how)
    assert contents(own.own_fonts(cache).folder) == before
    assert sound == [style]
    assert not index.exists()  # what fontconfig knew of the damaged one


@pytest.mark.parametrize("how", ["gone", "empty", "cut off", "one bit"])
@pytest.mark.parametrize("name", ["digests.json", "fonts.conf"])
def test_damage_beside_the_fonts_is_mended(
    name: str, how: str, cache: Path, sound: list[str]
) -> None:
    fonts = own.own_fonts(cache)
    before = contents(fonts.folder)
    damage(fonts.folder / name, how)
    assert contents(own.own_fonts(cache).folder) == before


def test_a_font_that_cannot_be_written_whole_leaves_nothing(
    cache: Path, sound: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    fonts = own.own_fonts(cache)
    fonts.file("Bold").write_bytes(b"damaged")
    before = contents(fonts.folder)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(own.os, "fsync", full)
    with pytest.raises(CacheError, match="No space left on device"):
        own.own_fonts(cache)
    assert contents(fonts.folder) == before


def test_several_that_find_it_damaged_at_once_leave_it_sound(cache: Path, sound: list[str]) -> None:
    fonts = own.own_fonts(cache)
    before = contents(fonts.folder)
    for file in (fonts.file("Bold"), fonts.folder / "digests.json", fonts.configuration):
        file.write_bytes(b"damaged")
    with ThreadPoolExecutor(8) as pool:
        assert set(pool.map(own.own_fonts, [cache] * 8)) == {fonts}
    assert contents(fonts.folder) == before


@pytest.mark.thorough
def test_fonts_are_cut_the_same_each_time() -> None:
    """Else a cache would never agree with one made by somebody else."""
    usual = own.own_fonts(own.default_cache())
    cuts = {style: own._MAKERS[style]() for style in ("Fields", "Arabic Bold")}
    assert cuts == {style: usual.file(style).read_bytes() for style in cuts}
