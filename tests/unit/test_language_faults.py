"""What the checks of a language find: one broken text a fault, and nothing in a sound one.

Row TR-24: a general PO reader does not compare `{placeholders}`, so ours must.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from builders import ROOT
from small_library import write_library

from plainleaf.authoring.translation.language import Language, load_language
from plainleaf.authoring.translation.language_faults import language_faults
from plainleaf.authoring.translation.messages import English, english_messages
from plainleaf.authoring.translation.pofile import Entry
from plainleaf.authoring.translation.source_texts import text_faults
from plainleaf.authoring.translation.update import updated
from plainleaf.cli.main import main
from plainleaf.printing.fonts import OwnFonts
from plainleaf.vocabulary.errors import LocaleError

SPANISH = Language(
    letters=frozenset("abcdefghijklmnñopqrstuvwxyzáéíóúüABCDEFGHIJKLMNÑOPQRSTUVWXYZÁÉÍÓÚ"),
    latin=frozenset({"mL"}),
    yes_no_starts=("puede", "entiende"),
    shaming=("examen", "hizo mal"),
    pairs=("()", "¿?", "«»", '""'),
    glossary={"feeding tube": ("sonda de alimentación",), "tube": ("sonda", "sondas"),
              "flush": ("enjuague", "enjuagar")},
    exceptions={"m.other": "is another word there"},
)  # fmt: skip
ARABIC = Language(
    letters=frozenset("ءآأؤإئابةتثجحخدذرزسشصضطظعغفقكلمنهوىي"),
    latin=frozenset({"mL"}),
    yes_no_starts=("هل",),
    shaming=("امتحان",),
    pairs=("()",),
    glossary={"tube": ("أنبوب",)},
    exceptions={},
)


def faults(
    source: str, text: str, language: Language = SPANISH, identity: str = "m.a", kind: str = "say"
) -> list[str]:
    english = English(identity, (source,), "m.yaml", 1, (), kind)
    return list(text_faults(english, Entry(identity, (source,), (text,)), language))


SOUND = [
    (
        "Flush the tube with {water_each}.",
        "Haga el enjuague de la sonda con {water_each}.",
        SPANISH,
    ),
    ("How often?", "¿Con qué frecuencia?", SPANISH),
    ("Open the tube (slowly).", "افتح الأنبوب (ببطء).", ARABIC),
    ("How?", "كيف؟", ARABIC),
    ("The feeding tube", "La sonda de alimentación", SPANISH),
    ("After {x_y} hours", "Después de {x_y} horas", SPANISH),
    ("24 habits", "24 hábitos", SPANISH),
]


@pytest.mark.parametrize(("source", "text", "language"), SOUND)
def test_a_sound_text_has_no_fault(source: str, text: str, language: Language) -> None:
    assert faults(source, text, language) == []


BROKEN = [
    ("Give {a}.", "Dé {b}.", "has other slots than its English: write exactly {a}"),
    ("Give {a}.", "Dé.", "has other slots"),
    ("Give {a}.", "Dé {a} y {a}.", "has other slots"),
    ("Give {a}.", "Dé {a}}.", "has other slots"),
    ("Give {a}.", "Dé {a} 2 veces.", "has other numbers"),
    ("Fill 2 bags.", "Llene 3 bolsas.", "has other numbers"),
    ("Fill 2 bags.", "Llene ٢ bolsas.", "has other digits than 0 to 9"),
    ("Give 60.", "Dé 60 mL.", "has an amount with a unit"),
    ("Give {number} mL", "Dé {number} ml", "has 'ml': the unit is mL"),
    ("Wash.", "Lave. ", "begins or ends with a space"),
    ("Wash.", "Lave  bien.", "has two spaces together"),
    ("Wash.", "<b>Lave</b>.", "has other markup"),
    ("Wash.", "Lave", "does not end as its English does, with '.'"),
    ("How?", "¿Cómo?.", "does not end as its English does, with '?'"),
    ("Wash:", "Lave.", "does not end as its English does, with ':'"),
    ("Action.", "Accio\u0301n.", "is not in the composed form (NFC)"),
    ("Wash.", "La\u200bve.", "has a mark that nobody sees, U+200B"),
    ("Wash (well).", "Lave (bien.", "has ( and ) that do not pair"),
    ("How?", "Cómo?", "has ¿ and ? that do not pair"),
    ("Say so.", 'Diga "así.', 'has an odd number of "'),
    ("Wash the port.", "Lave the puerto.", "has English left: 'the'"),
    ("Wash.", "Лave.", "has letters of another language: 'Лave'"),
    ("Flush.", "Lave.", "says 'flush' by another word than the glossary: enjuague"),
    ("The feeding tube", "La sonda", "says 'feeding tube' by another word"),
    ("Two tubes", "Dos tubos", "says 'tube' by another word"),
]


@pytest.mark.parametrize(("source", "text", "wrong"), BROKEN, ids=[w for *_, w in BROKEN])
def test_a_fault_is_named(source: str, text: str, wrong: str) -> None:
    assert any(wrong in fault for fault in faults(source, text))


ARABIC_BROKEN = [
    ("Wash.", "اغسـل.", "has U+0640: plain letters only"),
    ("No.", "\ufefb.", "has U+FEFB: plain letters only"),
    ("Wash.", "اغسل tube.", "has letters of another language: 'tube'"),
    ("Open the tube.", "افتح الخرطوم.", "says 'tube' by another word"),
]


@pytest.mark.parametrize(("source", "text", "wrong"), ARABIC_BROKEN)
def test_a_fault_in_arabic_is_named(source: str, text: str, wrong: str) -> None:
    assert any(wrong in fault for fault in faults(source, text, ARABIC))


@pytest.mark.parametrize(
    ("identity", "kind", "source", "text", "wrong"),
    [
        ("phrase:pic-cap", "", "Cap", "Tapa " * 5 + "fin", "is a label of 28 letters; at most 17"),
        ("m.a/alt", "", "A tube", "sonda " * 26, "is read out and has more than 150 letters"),
        ("m.a", "picture", "A tube", "sonda " * 11, "is a caption of more than 10 words"),
        ("m.tb/ask", "", "Tell me.", "Dígame. ¿Puede hacerlo?", "asks for yes or no: 'puede …'"),
        ("m.tb/ask+child", "", "Tell me.", "¿Entiende?", "asks for yes or no"),
        ("m.tb/ask", "", "Tell me.", "Es un examen.", "has a word that shames: 'examen'"),
        ("m.tb/ask", "", "Tell me.", "Lo hizo mal.", "has a word that shames: 'hizo mal'"),
    ],
)
def test_what_belongs_to_a_kind_of_text(
    identity: str, kind: str, source: str, text: str, wrong: str
) -> None:
    assert any(wrong in fault for fault in faults(source, text, identity=identity, kind=kind))


def test_open_questions_and_exceptions_pass() -> None:
    assert faults("Tell me?", "¿Qué puede hacer?", identity="m.tb/ask") == []
    assert faults("Flush.", "Lave.", identity="m.other") == []
    assert faults("It is a test.", "Es un examen.", identity="m.tb/again") == []


def test_a_plural_hides_its_number_in_no_form() -> None:
    english = English("phrase:x", ("{count} hour", "{count} hours"), "p.yaml", 1, ())
    entry = Entry("phrase:x", english.source, ("{count} hora", "{count} horas", "horas"))
    (fault,) = text_faults(english, entry, SPANISH)
    assert "write exactly {count}" in fault


# --- whole languages


@pytest.fixture(name="teaching")
def _teaching(tmp_path: Path) -> Path:
    """A small library whose Polish says what the English says, so far as the checks can tell."""
    folder = write_library(tmp_path)
    locales = folder / "locales"
    (locales / "pl").mkdir(parents=True)
    for name, text in updated(english_messages(folder), locales, "pl").items():
        (locales / "pl" / name).write_text(text, encoding="utf-8")
    assert main(["locales", "update", "--language", "pl", "--teaching", str(folder)]) == 0
    fill(folder, lambda identity, source: source)
    return folder


def fill(folder: Path, translate) -> None:  # type: ignore[no-untyped-def]
    """Every message as a function of its id and English says."""
    for path in (folder / "locales/pl").glob("*.po"):
        lines, context, source = [], "", ""
        for line in path.read_text(encoding="utf-8").splitlines():
            if line.startswith("msgctxt"):
                context = line.partition('"')[2][:-1]
            if line.startswith(("msgid ", "msgid_plural ")):
                source = line.partition('"')[2][:-1]
            if line.startswith("msgstr") and source:
                line = f'{line.partition(" ")[0]} "{translate(context, source)}"'
            lines.append(line)
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def found(folder: Path, fonts: tuple[Path, ...] = ()) -> list[str]:
    locales = folder / "locales"
    return [str(f) for f in language_faults(english_messages(folder), locales, "pl", fonts)]


def edit(folder: Path, name: str, old: str, new: str) -> None:
    path = folder / "locales/pl" / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_english_left_over_is_found_in_every_long_text(teaching: Path) -> None:
    lines = found(teaching)
    assert any("'water.when.why' has English left: 'Water'" in line for line in lines)
    assert all("has English left" in line for line in lines)


def polish(_: str, source: str) -> str:
    """No Polish, but letters of it in place of every English word; slots and marks stay."""
    inside, out = False, []
    for letter in source:
        inside = letter == "{" or (inside and letter != "}")
        out.append("ż" if letter.isalpha() and not inside else letter)
    return "".join(out)


def test_what_is_in_order_passes_and_the_command_says_so(
    teaching: Path, capsys: pytest.CaptureFixture[str], fonts: OwnFonts
) -> None:
    fill(teaching, polish)
    assert found(teaching, fonts.letters) == []
    assert main(["locales", "check", "--teaching", str(teaching)]) == 0
    assert capsys.readouterr().out.endswith("pl: no faults\n")


def test_the_command_ends_with_one_and_names_file_and_line(
    teaching: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fill(teaching, polish)
    slot = '{water_before_feed}"\nmsgstr "'
    edit(teaching, "water.po", slot, slot + "7")
    capsys.readouterr()
    assert main(["locales", "check", "--teaching", str(teaching), "--language", "pl"]) == 1
    (line,) = capsys.readouterr().out.splitlines()
    file, number, wrong = line.split(":", 2)
    lines = (teaching / "locales/pl/water.po").read_text(encoding="utf-8").splitlines()
    assert file == "locales/pl/water.po"
    assert lines[int(number) - 1].startswith(("msgctxt", "msgid"))
    assert "has other numbers than its English" in wrong


@pytest.mark.parametrize(
    ("old", "new", "wrong"),
    [
        ('msgctxt "water.how.close"', '#, fuzzy\nmsgctxt "water.how.close"', "messages are fuzzy"),
        ('msgid "Close the cap."', 'msgid "Close a cap."', "1 messages are stale"),
        ('msgid "Close the cap."\nmsgstr "żżżżż żżż żżż."', 'msgid "Close the cap."\nmsgstr ""',
         "1 messages are missing; the first is 'water.how.close'"),
        ("nplurals=4", "nplurals=2", "no fault"),
        ("plural=", "plural=(n != 1) + 0 * ", "another rule for plural forms"),
    ],
    ids=["fuzzy", "stale", "missing", "number of forms alone", "rule"],
)  # fmt: skip
def test_states_and_plural_rules(old: str, new: str, wrong: str, teaching: Path) -> None:
    fill(teaching, polish)
    edit(teaching, "water.po", old, new)
    lines = found(teaching)
    assert any(wrong in line for line in lines) or (wrong == "no fault" and not lines)


def test_a_plural_without_all_its_forms(teaching: Path) -> None:
    fill(teaching, polish)
    path = teaching / "locales/pl/phrases.po"
    kept = [
        line
        for line in path.read_text(encoding="utf-8").splitlines()
        if not line.startswith(("msgstr[2]", "msgstr[3]"))
    ]
    path.write_text("\n".join(kept).replace("nplurals=4", "nplurals=2"), encoding="utf-8")
    lines = found(teaching)
    assert any("'phrase:span-hours' has 2 plural forms." in line for line in lines)
    assert all("Write one each for: one, few, many, other." in line for line in lines)


def test_letters_that_the_fonts_lack(teaching: Path, fonts: OwnFonts) -> None:
    fill(teaching, lambda identity, source: polish(identity, source).replace("ż", "中"))
    assert any("the packet's fonts lack: 中" in line for line in found(teaching, fonts.letters))


@pytest.mark.parametrize("name", ["language.yaml", "glossary.yaml"])
def test_a_language_without_its_rules_is_refused(name: str, teaching: Path) -> None:
    (teaching / "locales/pl" / name).unlink()
    with pytest.raises(LocaleError, match=name):
        load_language(teaching / "locales/pl")


def test_an_unknown_key_of_the_rules_is_refused(teaching: Path) -> None:
    edit(teaching, "language.yaml", "latin: []", "latins: []")
    with pytest.raises(LocaleError, match="latins"):
        load_language(teaching / "locales/pl")


@pytest.mark.parametrize("tag", ["ar", "es"])
def test_the_shipped_rules_load(tag: str) -> None:
    language = load_language(ROOT / "teaching/locales" / tag)
    assert language.yes_no_starts and language.shaming and language.letters
    assert "feeding tube" in language.glossary
    longest = [len(term) for term in language.glossary]
    assert longest == sorted(longest, reverse=True)
