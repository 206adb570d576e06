"""Catalogs: current words or none, plural forms by CLDR, slots kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from plainleaf.inputs.catalog import Catalog, languages, load_catalog
from plainleaf.vocabulary.errors import LocaleError

HEAD = """\
msgid ""
msgstr ""
"Language: {tag}\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Plural-Forms: {plural}\\n"

"""
# Plural rules: CLDR, for Arabic zero one two few many other; for Spanish one many other.
ARABIC = (
    "nplurals=6; plural=(n==0 ? 0 : n==1 ? 1 : n==2 ? 2 : n%100>=3 && n%100<=10 ? 3"
    " : n%100>=11 && n%100<=99 ? 4 : 5);"
)
WORDS = """\
msgctxt "water.when.why"
msgid "Water keeps the tube open."
msgstr "الماء يبقي الأنبوب مفتوحا."

msgctxt "water.when.feed"
msgid "Before each feeding: {water_before_feed}"
msgstr "قبل كل وجبة: {water_before_feed}"

#, fuzzy
msgctxt "water.how.close"
msgid "Close the cap."
msgstr "أغلق الغطاء."

msgctxt "water.how.push"
msgid "Push the water in slowly."
msgstr ""

msgid "No context"
msgstr "بلا سياق"

msgctxt "phrase:span-hours"
msgid "{count} hour"
msgid_plural "{count} hours"
msgstr[0] "{count} ساعة (صفر)"
msgstr[1] "ساعة واحدة ({count})"
msgstr[2] "ساعتان ({count})"
msgstr[3] "{count} ساعات"
msgstr[4] "{count} ساعة"
msgstr[5] "{count} ساعة تقريبا"

#~ msgctxt "water.old"
#~ msgid "An old sentence."
#~ msgstr "جملة قديمة."
"""


def write(folder: Path, words: str = WORDS, tag: str = "ar", plural: str = ARABIC) -> Path:
    path = folder / tag / "water.po"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(HEAD.format(tag=tag, plural=plural) + words, encoding="utf-8")
    return folder


@pytest.fixture(name="arabic")
def _arabic(tmp_path: Path) -> Catalog:
    return load_catalog(write(tmp_path), "ar")


def test_english_gives_the_source_back(tmp_path: Path) -> None:
    catalog = load_catalog(tmp_path / "none", "en")
    assert catalog.text("any", "Any words.") == "Any words."
    assert [catalog.plural("any", "one", "other", n) for n in (0, 1, 2)] == [
        "other",
        "one",
        "other",
    ]


def test_a_current_message_is_given(arabic: Catalog) -> None:
    assert arabic.text("water.when.why", "Water keeps the tube open.").startswith("الماء")


# CLDR categories for Arabic: 0 zero, 1 one, 2 two, 3 few, 11 many, 100 other.
FORMS = [
    (0, "{count} ساعة (صفر)"), (1, "ساعة واحدة ({count})"), (2, "ساعتان ({count})"),
    (3, "{count} ساعات"),
    (11, "{count} ساعة"), (100, "{count} ساعة تقريبا"),
]  # fmt: skip


@pytest.mark.parametrize(("count", "is_"), FORMS, ids=[str(n) for n, _ in FORMS])
def test_arabic_plurals(count: int, is_: str, arabic: Catalog) -> None:
    assert arabic.plural("phrase:span-hours", "{count} hour", "{count} hours", count) == is_


@pytest.mark.parametrize(
    ("identity", "source", "wrong"),
    [
        ("water.how.close", "Close the cap.", "no translation"),
        ("water.how.push", "Push the water in slowly.", "no translation"),
        ("water.old", "An old sentence.", "no translation"),
        ("water.new", "A new sentence.", "no translation"),
        ("water.when.why", "Water keeps your tube open.", "another English text"),
    ],
    ids=["fuzzy", "empty", "obsolete", "missing", "stale"],
)
def test_words_that_are_not_current_are_refused(
    identity: str, source: str, wrong: str, arabic: Catalog
) -> None:
    with pytest.raises(LocaleError) as error:
        arabic.text(identity, source)
    assert wrong in str(error.value)
    assert identity in str(error.value)


@pytest.mark.parametrize(
    ("one", "other"),
    [("{count} hr", "{count} hours"), ("{count} hour", "{count} whole hours")],
    ids=["singular changed", "plural changed"],
)
def test_a_plural_made_from_other_english_is_stale(one: str, other: str, arabic: Catalog) -> None:
    with pytest.raises(LocaleError, match="another English text"):
        arabic.plural("phrase:span-hours", one, other, 3)


def test_a_plural_with_too_few_forms_is_refused(tmp_path: Path) -> None:
    words = """
msgctxt "phrase:span-hours"
msgid "{count} hour"
msgid_plural "{count} hours"
msgstr[0] "{count} ساعة"
msgstr[1] "{count} ساعات"
"""
    catalog = load_catalog(write(tmp_path, words, plural="nplurals=2; plural=(n!=1);"), "ar")
    with pytest.raises(LocaleError, match="2 plural forms, not 6"):
        catalog.plural("phrase:span-hours", "{count} hour", "{count} hours", 3)


def test_a_plural_form_that_hides_its_number_is_refused(tmp_path: Path) -> None:
    """Arabic has a dual, with which CLDR and good style leave the digit out (finding 10)."""
    words = WORDS.replace("ساعتان ({count})", "ساعتان")
    with pytest.raises(LocaleError, match=r"Write exactly: \{count\}"):
        load_catalog(write(tmp_path, words), "ar")


SLOTS = {
    "a slot too few": "قبل كل وجبة",
    "another slot": "قبل كل وجبة: {water_after_feed}",
    "a slot too many": "قبل كل وجبة: {water_before_feed} {water_each}",
    "a broken slot": "قبل كل وجبة: {water_before_feed",
    "a brace more": "قبل كل وجبة: {water_before_feed}}",
}


@pytest.mark.parametrize("name", SLOTS)
def test_a_translation_with_other_slots_is_refused(name: str, tmp_path: Path) -> None:
    words = WORDS.replace("قبل كل وجبة: {water_before_feed}", SLOTS[name])
    with pytest.raises(LocaleError) as error:
        load_catalog(write(tmp_path, words), "ar")
    (fault,) = error.value.faults
    assert fault.file == "locales/ar/water.po"
    assert fault.line == 1 + (HEAD + words).splitlines().index('msgctxt "water.when.feed"') + 1
    assert "'water.when.feed' has other slots" in fault.wrong
    assert fault.instead == "Write exactly: {water_before_feed}."


@pytest.mark.parametrize(
    ("words", "tag"),
    [("msgctxt nonsense\nmsgid\n", "ar"), (WORDS, "xx")],
    ids=["not PO", "no such language"],
)
def test_a_file_that_cannot_be_read_is_named(words: str, tag: str, tmp_path: Path) -> None:
    write(tmp_path, words, tag)
    with pytest.raises(LocaleError, match=f"locales/{tag}"):
        load_catalog(tmp_path, tag).plural("phrase:span-hours", "{count} hour", "{count} hours", 1)


def test_a_language_without_catalog_names_those_there_are(tmp_path: Path) -> None:
    with pytest.raises(LocaleError) as error:
        load_catalog(write(tmp_path), "so")
    assert str(error.value) == "locales/so: There is no handout in 'so'. There is: en, ar."


def test_languages_are_folders_with_words(tmp_path: Path) -> None:
    write(tmp_path)
    (tmp_path / "es").mkdir()
    (tmp_path / "README.md").write_text("words")
    assert languages(tmp_path) == ("en", "ar")
    assert languages(tmp_path / "none") == ("en",)


# Unicode CLDR, characterOrder of the layout of each locale.
@pytest.mark.parametrize(
    ("tag", "direction"),
    [("en", "ltr"), ("es-US", "ltr"), ("zh-Hans", "ltr"), ("ar", "rtl"), ("fa-AF", "rtl"),
     ("he", "rtl"), ("ur", "rtl")],
)  # fmt: skip
def test_direction(tag: str, direction: str) -> None:
    assert Catalog(tag, {}).direction == direction


def test_all_files_of_a_language_are_one_catalog(tmp_path: Path) -> None:
    write(tmp_path)
    more = HEAD.format(tag="ar", plural=ARABIC) + 'msgctxt "a.b"\nmsgid "A."\nmsgstr "ب."\n'
    (tmp_path / "ar" / "other.po").write_text(more, encoding="utf-8")
    catalog = load_catalog(tmp_path, "ar")
    assert catalog.text("a.b", "A.") == "ب."
    assert catalog.text("water.when.why", "Water keeps the tube open.")


def test_a_message_in_two_files_is_refused_and_names_both(tmp_path: Path) -> None:
    folder = tmp_path / "es"
    folder.mkdir()
    entry = 'msgctxt "a.b"\nmsgid "Wash."\nmsgstr "Lave."\n'
    for name in ("one.po", "two.po"):
        head = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=utf-8\\n"\n\n'
        (folder / name).write_text(head + entry, encoding="utf-8")
    with pytest.raises(LocaleError, match=r"two\.po:\d+: 'a\.b' stands in locales/es/one\.po too"):
        load_catalog(tmp_path, "es")
