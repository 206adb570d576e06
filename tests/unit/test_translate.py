"""Catalogs taken from the English and brought up to date: nothing lost, nothing guessed.

Plural forms are compared with CLDR through Babel; PO files are read with Babel's reader and their
plural expressions with Python's own gettext.
"""

from __future__ import annotations

import gettext
import io
from collections.abc import Mapping
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path

import pytest
from babel import Locale
from babel.messages.extract import extract
from babel.messages.pofile import read_po
from builders import EXAMPLES, ROOT, library
from packets import decision_from, settled_text
from small_library import MODULE, write_library

from plainleaf.authoring.translation import (
    english_messages,
    read_po_file,
    template,
    updated,
)
from plainleaf.authoring.translation.samples import BY_KIND, OF_PHRASES
from plainleaf.cli.main import main
from plainleaf.compose.fill import fill
from plainleaf.compose.word import Wording, word
from plainleaf.facts import SLOTS
from plainleaf.facts.derived import Phrase, Typed
from plainleaf.inputs.catalog import Catalog, load_catalog
from plainleaf.vocabulary.languages import plurals_of
from plainleaf.vocabulary.quantities import Quantity, mL

MESSAGES = english_messages(ROOT / "teaching")
ASKED = {message.id: message.source for found in MESSAGES.values() for message in found}


class Recorder(Catalog):
    """English, writing down which messages it was asked for."""

    def text(self, identity: str, source: str) -> str:
        SEEN[identity] = (source,)
        return source

    def plural(self, identity: str, one: str, other: str, count: int) -> str:
        SEEN[identity] = (one, other)
        return super().plural(identity, one, other, count)


SEEN: dict[str, tuple[str, ...]] = {}


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_the_packet_asks_for_is_what_translators_get(name: str) -> None:
    SEEN.clear()
    decision = decision_from(settled_text(base=name))
    # What to listen for is for staff alone, in their language.
    word(fill(decision), Wording(library(), Recorder("en", {})))
    assert len(SEEN) > 100
    for_families = {i: s for i, s in SEEN.items() if "/listen-" not in i}
    assert {i: s for i, s in for_families.items() if ASKED.get(i) != s} == {}


def test_every_message_tells_what_it_is_and_what_its_slots_become() -> None:
    for found in MESSAGES.values():
        for message in found:
            assert message.notes, message.id
            told = " ".join(message.notes)
            assert all(f"{{{slot}}} becomes" in told for slot in slots(message.source[-1]))


def slots(text: str) -> list[str]:
    return [part.partition("}")[0] for part in text.split("{")[1:]]


def _typed() -> Mapping[str, object]:
    return {
        "phone": "(555) 010-0143",
        "size": Quantity(Decimal("18"), "Fr"),
        "length": Quantity(Decimal("3.5"), "cm"),
        "balloon-volume": mL("10"),
        "count": 4,
        "times": 2,
        "volume": mL("60"),
        "dose-volume": mL("5"),
        "rate": Quantity(Decimal("75"), "mL/h"),
        "span": Quantity(Decimal("12"), "h"),
        "interval": Quantity(Decimal("3"), "d"),
        "angle-range": "30 to 45",
        "weight": Quantity(Decimal("10"), "lb"),
        "temperature": Quantity(Decimal("38"), "°C"),
        "clock": time(18),
        "date": date(2026, 3, 4),
        "day": date(2026, 3, 4),
        "moment": datetime(2026, 3, 4, 10, 30),
        "blood-sugar": Quantity(Decimal("70"), "mg/dL"),
        "phrase": Phrase("port-gastric"),
    }


@pytest.mark.parametrize("kind", BY_KIND)
def test_samples_are_what_is_printed(kind: str) -> None:
    value = Typed(kind, _typed()[kind])  # type: ignore[arg-type]
    assert Wording(library(), Catalog("en", {})).value(value).plain == BY_KIND[kind]


def test_every_kind_of_slot_has_a_sample() -> None:
    assert {fact.kind for fact in SLOTS.values()} == {*BY_KIND, "text"}
    named = {s for m in MESSAGES["phrases"] for s in slots(m.source[-1])}
    assert set(OF_PHRASES) <= named, "a sample that no phrase uses"


# --- the extractor and the template


def test_babel_runs_the_extractor() -> None:
    found = list(
        extract(
            "plainleaf.authoring.translation.extract:extract_yaml",
            io.BytesIO(MODULE.encode()),
            {"pgettext": ((1, "c"), 2)},
        )
    )
    line = MODULE.splitlines().index('        say: "Water keeps the tube open."') + 1
    assert (line, "Water keeps the tube open.", ["A paragraph."], "water.when.why") in found


def test_the_template_names_file_and_line(tmp_path: Path) -> None:
    text = template(write_library(tmp_path))
    catalog = read_po(io.BytesIO(text.encode()), abort_invalid=True)
    (message,) = [m for m in catalog if m.context == "water.when.feed+child"]
    line = MODULE.splitlines().index(
        '        child: "Before each feeding of your child: {water_before_feed}"'
    )
    assert message.locations == [("modules/water.yaml", line + 1)]
    assert message.id == "Before each feeding of your child: {water_before_feed}"
    assert "python-brace-format" in message.flags
    assert "POT-Creation-Date" not in text


# --- plural forms


@pytest.mark.parametrize("tag", ["ar", "en", "es", "fr", "ht", "ko", "pl", "ru", "so", "vi", "zh"])
def test_plural_headers_say_what_cldr_says(tag: str) -> None:
    plurals = plurals_of(tag)
    rule = Locale.parse(tag).plural_form
    form = gettext.c2py(plurals.expression)  # type: ignore[attr-defined]
    for count in (*range(202), 1_000, 1_000_000):
        assert plurals.categories[form(count)] == rule(count), count
        assert plurals.form(count) == form(count)


def test_a_private_part_of_a_tag_is_passed_over() -> None:
    assert plurals_of("en-x-stretch").categories == ("one", "other")
    assert Catalog("ar-x-try", {}).direction == "rtl"


# --- bringing catalogs up to date


def fill_in(text: str, changes: Mapping[str, str]) -> str:
    """PO text with translations written where nothing stands, as an editor writes them."""
    for identity, words in changes.items():
        before, mark, after = text.partition(f'msgctxt "{identity}"\n')
        assert mark, identity
        text = before + mark + after.replace('msgstr ""', f'msgstr "{words}"', 1)
    return text


WORDS = {
    "water.when.why": "El agua mantiene abierta la sonda.",
    "water.how.close": "Cierre la tapa.",
    "water.how.push": "Empuje el agua despacio.",
}


@pytest.fixture(name="teaching")
def _teaching(tmp_path: Path) -> Path:
    """A small library with a Spanish catalog of which three messages are filled in."""
    folder = write_library(tmp_path)
    text = update(folder)
    (folder / "locales/es/water.po").write_text(fill_in(text, WORDS), encoding="utf-8")
    update(folder)
    return folder


def update(folder: Path, tag: str = "es") -> str:
    """The module's catalog after an update of the folder."""
    for name, text in updated(english_messages(folder), folder / "locales", tag).items():
        path = folder / "locales" / tag / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return (folder / "locales" / tag / "water.po").read_text(encoding="utf-8")


def change(folder: Path, old: str, new: str) -> None:
    path = folder / "modules" / "water.yaml"
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


def entry(folder: Path, identity: str, name: str = "water"):  # type: ignore[no-untyped-def]
    file = read_po_file(folder / "locales/es" / f"{name}.po", name)
    return next(e for e in file.entries if e.id == identity)


def test_a_second_update_changes_nothing(teaching: Path) -> None:
    before = {p.name: p.read_bytes() for p in (teaching / "locales/es").iterdir()}
    update(teaching)
    assert {p.name: p.read_bytes() for p in (teaching / "locales/es").iterdir()} == before
    assert WORDS["water.how.close"] in before["water.po"].decode()


def test_updates_hold_no_time_and_no_person(teaching: Path) -> None:
    text = update(teaching)
    assert "Date" not in text
    assert "Translator" not in text


def test_a_changed_text_turns_fuzzy_and_keeps_what_it_was_made_from(teaching: Path) -> None:
    change(teaching, "Close the cap.", "Close the cap until it clicks.")
    text = update(teaching)
    assert '#| msgid "Close the cap."\n' in text
    found = entry(teaching, "water.how.close")
    assert found.fuzzy
    assert found.previous == ("Close the cap.",)
    assert found.forms == ("Cierre la tapa.",)
    assert found.source == ("Close the cap until it clicks.",)
    change(teaching, "until it clicks.", "and hear it click.")
    update(teaching)
    assert entry(teaching, "water.how.close").previous == ("Close the cap.",)
    before = update(teaching)
    assert update(teaching) == before
    assert "water.how.close" not in load_catalog(teaching / "locales", "es").messages


def test_what_was_confirmed_is_no_longer_fuzzy(teaching: Path) -> None:
    change(teaching, "Close the cap.", "Close the cap well.")
    text = update(teaching).replace("#, fuzzy\n", "")
    (teaching / "locales/es/water.po").write_text(text, encoding="utf-8")
    assert "#|" not in update(teaching)
    found = entry(teaching, "water.how.close")
    assert not found.fuzzy


def test_a_text_that_looks_alike_is_not_taken(teaching: Path) -> None:
    change(teaching, "id: water.how.close", "id: water.how.shut")
    update(teaching)
    assert entry(teaching, "water.how.shut").forms == ("",)


def test_a_text_that_is_gone_is_kept_as_obsolete_and_found_again(teaching: Path) -> None:
    cut = (
        '      - id: water.how.close\n        step: "Close the cap."\n        sources: [practice]\n'
    )
    change(teaching, cut, "")
    text = update(teaching)
    assert '#~ msgstr "Cierre la tapa."' in text
    assert update(teaching) == text
    (teaching / "modules/water.yaml").write_text(MODULE, encoding="utf-8")
    assert "#~" not in update(teaching)
    assert entry(teaching, "water.how.close").forms == ("Cierre la tapa.",)


def test_a_text_that_moves_to_another_module_takes_its_words_along(teaching: Path) -> None:
    other = MODULE.replace("water.", "flush.").replace("id: water\n", "id: flush\n")
    (teaching / "modules/flush.yaml").write_text(other, encoding="utf-8")
    update(teaching)
    path = teaching / "locales/es/flush.po"
    path.write_text(
        fill_in(path.read_text(encoding="utf-8"), {"flush.how.close": "Cierre."}), encoding="utf-8"
    )
    (teaching / "modules/flush.yaml").unlink()
    change(teaching, "id: water.how.push", "id: flush.how.close")
    change(teaching, "Push the water in slowly.", "Close it.")
    update(teaching)
    found = entry(teaching, "flush.how.close")
    assert found.forms == ("Cierre.",)
    assert found.fuzzy


def test_translators_own_comments_stay(teaching: Path) -> None:
    path = teaching / "locales/es/water.po"
    text = path.read_text(encoding="utf-8")
    mark = '#. A paragraph.\nmsgctxt "water.when.why"'
    assert mark in text
    path.write_text(text.replace(mark, "# Not 'tubo' here.\n" + mark), encoding="utf-8")
    assert "# Not 'tubo' here.\n" in update(teaching)
    assert entry(teaching, "water.when.why").remarks == ("Not 'tubo' here.",)


def test_a_phrase_that_gets_a_plural_starts_fuzzy(tmp_path: Path) -> None:
    phrases = (ROOT / "teaching/phrases.yaml").read_text(encoding="utf-8")
    folder = write_library(tmp_path)
    path = folder / "locales/es/phrases.po"
    update(folder)
    text = fill_in(path.read_text(encoding="utf-8"), {"phrase:ask-where": "Pregunte"})
    path.write_text(text, encoding="utf-8")
    changed = phrases.replace(
        'ask-where: "Ask us where"', 'ask-where: {one: "Ask us where", other: "Ask us {count}"}'
    )
    (folder / "phrases.yaml").write_text(changed, encoding="utf-8")
    update(folder)
    found = entry(folder, "phrase:ask-where", "phrases")
    assert found.fuzzy
    assert found.forms == ("Pregunte",) * 3
    assert found.previous == ("Ask us where",)


# --- the command


def test_a_language_begins_with_an_update(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = write_library(tmp_path)
    asked = ["locales", "update", "--language", "pl", "--teaching", str(folder)]
    assert main(asked) == 0
    assert capsys.readouterr().out == "pl: 2 of 2 catalogs written\n"
    text = (folder / "locales/pl/phrases.po").read_text(encoding="utf-8")
    assert text.startswith("# Polish: phrases.")
    catalog = read_po(io.BytesIO(text.encode()), abort_invalid=True)
    assert catalog.num_plurals == 4
    assert main(asked) == 0
    assert capsys.readouterr().out == "pl: 0 of 2 catalogs written\n"


@pytest.mark.parametrize("tag", ["en", "../es", "Spanish", "e"])
def test_what_is_no_tag_is_refused(
    tag: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = write_library(tmp_path)
    assert main(["locales", "update", "--language", tag, "--teaching", str(folder)]) == 1
    assert f"'{tag}' is not a tag" in capsys.readouterr().err
    assert not (folder / "locales").exists()


def test_the_table_counts_each_state(teaching: Path, capsys: pytest.CaptureFixture[str]) -> None:
    change(teaching, "Close the cap.", "Close the cap well.")
    assert main(["locales", "--teaching", str(teaching)]) == 0
    table = {line.split()[0]: line.split()[1:] for line in capsys.readouterr().out.splitlines()}
    many = len(english_messages(teaching)["water"])
    assert table["messages"] == ["translated", "fuzzy", "stale", "missing", "reviewed"]
    assert table["es/water"] == [str(many), "2", "0", "1", str(many - 3), "no"]
    update(teaching)
    main(["locales", "--teaching", str(teaching), "--language", "es"])
    table = {line.split()[0]: line.split()[1:] for line in capsys.readouterr().out.splitlines()}
    assert table["es/water"] == [str(many), "2", "1", "0", str(many - 3), "no"]


def test_a_language_that_is_not_there_is_named(
    teaching: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["locales", "--teaching", str(teaching), "--language", "so"]) == 1
    assert "There is no catalog in 'so'" in capsys.readouterr().err


def test_a_language_counts_its_reviewed_modules(
    teaching: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["locales", "--teaching", str(teaching)]) == 0
    assert capsys.readouterr().out.splitlines()[-1].split()[-3:] == ["0", "of", "2"]


def test_extract_prints_the_template(teaching: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["locales", "extract", "--teaching", str(teaching)]) == 0
    assert capsys.readouterr().out == template(teaching)
