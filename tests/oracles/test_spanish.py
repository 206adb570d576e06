"""Spanish: the formula against rows O-09 and F-11, syllables against a library of other method."""

from __future__ import annotations

import re

import pytest
import silabeador
from builders import ROOT

from plainleaf.authoring.readability.counters import Counts
from plainleaf.authoring.readability.spanish import (
    band,
    spanish_counts,
    syllables,
    szigriszt_pazos,
)
from plainleaf.inputs.catalog import load_catalog

# The library opens its own files in a way that Python calls old.
pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning")

# Row CP-06 of the print reference: right counts, in brackets there.
COUNTED = {"agua": 2, "día": 2, "leer": 2, "oído": 3, "guía": 2, "aéreo": 4, "energía": 4,
           "neumonía": 4, "alimentación": 5}  # fmt: skip
# Words on which the library is wrong or goes by sound: the u of que is silent; by the rules of
# spelling, i or u beside another vowel without an accent is a diphthong.
BY_SPELLING = {
    "indiquemos": 4, "practiquemos": 4, "confianza": 3, "evaluado": 4, "licuar": 2, "cuídese": 3,
    "busquemos": 3, "marquemos": 3, "diluir": 2, "diluida": 3,
}  # fmt: skip


def test_the_formula() -> None:
    assert szigriszt_pazos(Counts(100, 10, 190, 0)) == pytest.approx(78.465)
    assert band(szigriszt_pazos(Counts(100, 10, 190, 0))) == "quite easy"
    with pytest.raises(ValueError, match="no words"):
        szigriszt_pazos(Counts())


# Row F-11: the lower bound of a band is inclusive.
@pytest.mark.parametrize(
    ("ease", "name"),
    [(80, "very easy"), (79.99, "quite easy"), (65, "quite easy"), (64.99, "normal"),
     (55, "normal"), (40, "somewhat hard"), (39.99, "very hard")],
)  # fmt: skip
def test_bands(ease: float, name: str) -> None:
    assert band(ease) == name


@pytest.mark.parametrize("word", COUNTED)
def test_words_that_hyphenation_gets_wrong(word: str) -> None:
    assert syllables(word) == COUNTED[word] == len(silabeador.syllabify(word))


def catalog_words() -> set[str]:
    catalog = load_catalog(ROOT / "teaching" / "locales", "es")
    texts = (form for message in catalog.messages.values() for form in message.forms)
    bare = (re.sub(r"\{[a-z_]+\}", " ", text).lower() for text in texts)
    return {word for text in bare for word in re.findall(r"[a-záéíóúüñ]+", text)} - {"am"}


def test_every_word_of_the_content_has_as_many_syllables_as_the_library_counts() -> None:
    words = catalog_words()
    assert len(words) > 1000
    differ = {w: syllables(w) for w in words if syllables(w) != len(silabeador.syllabify(w))}
    assert {w: n for w, n in differ.items() if BY_SPELLING.get(w) != n} == {}


@pytest.mark.parametrize(
    ("text", "words", "sentences", "many"),
    [
        ("Cierre la tapa.", 3, 1, 5),
        ("Cierre la tapa. Lave", 4, 2, 7),
        ("Dé 60 mL de agua", 5, 1, 1 + 4 + 5 + 1 + 2),
        ("1.5 mL", 2, 1, 4 + 5),
        ("", 0, 0, 0),
    ],
)
def test_counts(text: str, words: int, sentences: int, many: int) -> None:
    counts = spanish_counts(text)
    assert (counts.words, counts.sentences, counts.syllables) == (words, sentences, many)
