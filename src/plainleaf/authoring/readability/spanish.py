"""Syllables, words and reading ease of Spanish.

Syllables by the rules of spelling: a syllable for each strong vowel (a, e, o) and for each weak
one (i, u) that carries an accent or stands without a strong one beside it; `y` at the end of a
word is a vowel; the `u` of que, qui, gue and gui is silent. Checked against a library of another
method on every word that the teaching content prints.

Formula: Szigriszt-Pazos (row F-10 of the print reference), read by the INFLESZ bands (F-11).
"""

from __future__ import annotations

import re
from functools import cache

from plainleaf.authoring.readability.counters import HARD, Counts, sentences

# A page counts as quite easy from here (rows RL-04 and F-11).
LEAST_EASE = 65.0
# INFLESZ band → from which value on, the lower bound inclusive (F-11).
BANDS = ((80.0, "very easy"), (65.0, "quite easy"), (55.0, "normal"), (40.0, "somewhat hard"))

_SILENT_U = re.compile(r"(?<=q)u|(?<=g)u(?=[eiéí])")
_STRONG, _WEAK, _ACCENTED = "aeoáéó", "iuü", "íú"
_WORD = re.compile(r"[^\W\d_]+")
_NUMBER = re.compile(r"\d+(?:[.,:]\d+)*")
# How units are read out, in syllables: mililitros, onzas, centímetros, grados …
_UNITS = {"mL": 5, "oz": 2, "cm": 5, "mm": 5, "kg": 4, "lb": 2, "mg": 5, "mcg": 6, "kcal": 5,
          "Fr": 2, "F": 4, "C": 3, "am": 3, "pm": 3}  # fmt: skip


@cache
def syllables(word: str) -> int:
    """Syllables of a Spanish word.

    >>> [syllables(w) for w in ("agua", "día", "oído", "neumonía", "alimentación", "jeringa")]
    [2, 2, 3, 4, 5, 3]
    """
    text = re.sub(r"y$", "i", word.lower())
    text = re.sub(r"y(?![aeiouáéíóú])", "i", text)
    text = _SILENT_U.sub("", text).replace("h", "")
    count = 0
    for group in re.findall(f"[{_STRONG}{_WEAK}{_ACCENTED}]+", text):
        count += _nuclei(group)
    return max(1, count)


def _nuclei(vowels: str) -> int:
    """Syllables that a run of vowels makes: strong and accented weak ones each stand alone."""
    alone = sum(vowel in _STRONG or vowel in _ACCENTED for vowel in vowels)
    if alone:
        return alone
    return (len(vowels) + 1) // 2


def spanish_counts(text: str) -> Counts:
    """Words, sentences and syllables of one piece of text, which is a sentence at least.

    A number counts as one word; two syllables for each of its digits stand for how it is read.
    """
    bare = _NUMBER.sub(lambda m: " " + "0" * sum(c.isdigit() for c in m[0]) + " ", text)
    words = _WORD.findall(bare)
    numbers = re.findall("0+", bare)
    spoken = sum(_UNITS.get(word) or syllables(word) for word in words)
    spoken += sum(2 * len(number) for number in numbers)
    many = len(words) + len(numbers)
    hard = sum((_UNITS.get(word) or syllables(word)) >= HARD for word in words)
    return Counts(many, len(sentences(text)) if many else 0, spoken, hard)


def szigriszt_pazos(counts: Counts) -> float:
    """Reading ease of Spanish: 206.835 - 62.3 Y/W - W/S (F-10); higher is easier."""
    if not counts.words or not counts.sentences:
        raise ValueError("no words to score")
    return 206.835 - 62.3 * counts.syllables / counts.words - counts.words / counts.sentences


def band(ease: float) -> str:
    """The INFLESZ band of a value (F-11).

    >>> band(78.465), band(65), band(39.9)
    ('quite easy', 'quite easy', 'very hard')
    """
    return next((name for least, name in BANDS if ease >= least), "very hard")
