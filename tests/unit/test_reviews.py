"""Who has read which words: the digest decides, and one changed message turns a module back.

The reviews here are invented and stand in temporary folders; none ships.
"""

from __future__ import annotations

from datetime import date
from hashlib import sha256
from pathlib import Path

import pytest
from builders import ROOT
from small_library import write_library

from plainleaf.authoring.translation import english_messages, updated
from plainleaf.cli.main import main
from plainleaf.inputs.catalog import load_catalog, reviews_of_words
from plainleaf.inputs.reviews import digest_of_words
from plainleaf.vocabulary.errors import LocaleError

BY = ["--language", "es", "--by", "A. Example", "--qualification", "court interpreter", "--on",
      "2026-01-15"]  # fmt: skip


@pytest.fixture(name="teaching")
def _teaching(tmp_path: Path) -> Path:
    """A small library whose Spanish is complete: every message is its own id, with its slots."""
    folder = write_library(tmp_path)
    path = folder / "locales" / "es"
    path.mkdir(parents=True)
    for name, text in updated(english_messages(folder), folder / "locales", "es").items():
        (path / name).write_text(filled(text), encoding="utf-8")
    return folder


def filled(text: str) -> str:
    """PO text in which every message repeats its English."""
    lines, source = [], ""
    for line in text.splitlines():
        if line.startswith(("msgid ", "msgid_plural ")):
            source = line.partition(" ")[2]
        if line.startswith("msgstr") and source != '""':
            line = f"{line.partition(' ')[0]} {source}"
        lines.append(line)
    return "\n".join(lines) + "\n"


def reviewed(folder: Path, *arguments: str) -> int:
    return main(["locales", "reviewed", *arguments, "--teaching", str(folder)])


def edit(folder: Path, old: str, new: str, name: str = "water") -> None:
    path = folder / "locales/es" / f"{name}.po"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_no_review_ships() -> None:
    assert list((ROOT / "teaching").rglob("reviews.yaml")) == []


def test_the_digest_is_of_ids_english_and_words_in_any_order() -> None:
    one, two = ("a", ("Wash.",), ("Lave.",)), ("b", ("One", "Many"), ("Uno", "Muchos"))
    by_hand = sha256(b"a\0Wash.\0\0Lave.\0\nb\0One\0Many\0\0Uno\0Muchos\0\n").hexdigest()
    assert digest_of_words([one, two]) == digest_of_words([two, one]) == by_hand
    assert digest_of_words([("a", ("Wash.",), ("Lavar.",)), two]) != by_hand
    assert digest_of_words([("a", ("Wash now.",), ("Lave.",)), two]) != by_hand


def test_a_module_that_was_read_is_no_draft(teaching: Path) -> None:
    locales = teaching / "locales"
    assert load_catalog(locales, "es").draft(["water"])
    assert reviewed(teaching, "water", *BY) == 0
    assert load_catalog(locales, "es").reviewed == {"water"}
    assert load_catalog(locales, "es").draft(["water"]), "the phrases were not read yet"
    assert reviewed(teaching, "phrases", *BY) == 0
    catalog = load_catalog(locales, "es")
    assert not catalog.draft(["water"])
    assert catalog.draft(["water", "feeding"])
    found = reviews_of_words(locales, "es")["water"]
    assert (found.by, found.credential, found.on) == (
        "A. Example", "court interpreter", date(2026, 1, 15),
    )  # fmt: skip
    assert found.read == catalog.words("water")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('msgstr "Close the cap."', 'msgstr "Close the cap now."'),
        ('msgid "Close the cap."', 'msgid "Close a cap."'),
        ('msgctxt "water.how.close"', '#, fuzzy\nmsgctxt "water.how.close"'),
        ('"Close the cap."\nmsgstr "Close the cap."', '"Close the cap."\nmsgstr ""'),
    ],
    ids=["words", "english", "fuzzy", "emptied"],
)
def test_one_changed_message_turns_the_module_back(
    old: str, new: str, teaching: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    reviewed(teaching, "water", *BY)
    edit(teaching, old, new)
    assert load_catalog(teaching / "locales", "es").reviewed == frozenset()
    capsys.readouterr()
    main(["locales", "--teaching", str(teaching)])
    assert "changed" in next(
        line for line in capsys.readouterr().out.splitlines() if line.startswith("es/water")
    )
    edit(teaching, new, old)
    assert load_catalog(teaching / "locales", "es").reviewed == {"water"}


def test_a_comment_of_a_translator_changes_nothing(teaching: Path) -> None:
    reviewed(teaching, "water", *BY)
    edit(teaching, 'msgctxt "water.how.close"', '# checked\nmsgctxt "water.how.close"')
    assert load_catalog(teaching / "locales", "es").reviewed == {"water"}


@pytest.mark.parametrize(
    ("arguments", "wrong"),
    [
        (["water"], "Write also: --language --by --qualification --on."),
        ([*BY], "Write also: MODULE."),
        (["wine", *BY], "There is no module 'wine'. There is: water, phrases."),
        (["water", *BY[:-1], "03/04/2026"], "'03/04/2026' is not a date."),
    ],
    ids=["all lacking", "no module", "no such module", "no date"],
)
def test_a_review_says_who_what_and_when(
    arguments: list[str], wrong: str, teaching: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert reviewed(teaching, *arguments) == 1
    assert wrong in capsys.readouterr().err
    assert not (teaching / "locales/es/reviews.yaml").exists()


def test_what_is_not_finished_is_not_reviewed(
    teaching: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    edit(teaching, 'msgctxt "water.how.close"', '#, fuzzy\nmsgctxt "water.how.close"')
    assert reviewed(teaching, "water", *BY) == 1
    assert "'water.how.close' is fuzzy" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("reviews: [{of: water}]\n", "reviews[0].read is missing"),
        ("reviewed: []\n", "reviews"),
        ("reviews: [{of: a, by: b, credential: c, on: soon, read: d}]\n", "'soon'"),
        ("reviews: [\n", "cannot be read as YAML"),
    ],
    ids=["lacking", "unknown key", "no date", "no YAML"],
)
def test_a_broken_file_is_named(text: str, wrong: str, teaching: Path) -> None:
    (teaching / "locales/es/reviews.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(LocaleError) as error:
        load_catalog(teaching / "locales", "es")
    assert "locales/es/reviews.yaml" in str(error.value)
    assert wrong in str(error.value)
