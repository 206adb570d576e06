"""Every shipped language is whole and sound; a new language folder needs no new test."""

from __future__ import annotations

import pytest
from builders import ROOT

from plainleaf.authoring.translation import english_messages, updated
from plainleaf.authoring.translation.language_faults import language_faults
from plainleaf.inputs.catalog import languages
from plainleaf.printing.fonts import OwnFonts

LOCALES = ROOT / "teaching" / "locales"
TAGS = languages(LOCALES)[1:]
MESSAGES = english_messages(ROOT / "teaching")


def test_spanish_and_arabic_ship() -> None:
    assert {"es", "ar"} <= set(TAGS)


@pytest.mark.parametrize("tag", TAGS)
def test_a_language_has_no_fault(tag: str, fonts: OwnFonts) -> None:
    found = [str(f) for f in language_faults(MESSAGES, LOCALES, tag, fonts.letters)]
    assert found == []


@pytest.mark.parametrize("tag", TAGS)
def test_the_catalogs_are_as_an_update_writes_them(tag: str) -> None:
    for name, text in updated(MESSAGES, LOCALES, tag).items():
        assert (LOCALES / tag / name).read_text(encoding="utf-8") == text, name


@pytest.mark.parametrize("tag", TAGS)
def test_the_notes_say_that_nobody_qualified_has_read_it(tag: str) -> None:
    notes = (LOCALES / tag / "NOTES.md").read_text(encoding="utf-8")
    assert "Reviewed by no qualified translator." in notes
