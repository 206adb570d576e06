"""Reading formulas for English. They take counts, so that the arithmetic is tested on its own.

Sources: Flesch 1948 and Kincaid 1975 (F-01, F-02), McLaughlin 1969 (F-03 to F-05), with the
constants of rows R1, R2 and R4 of the print reference. A grade formula says nothing about another
language than the one it was fitted to, so `refuse_other_language` stands before each use.
"""

from __future__ import annotations

from math import sqrt

from plainleaf.authoring.readability.counters import Counts

# Standard error of a SMOG grade (RL-03).
SMOG_ERROR = 1.5
# Below this many sentences a SMOG grade has no statistical basis (F-05).
SMOG_SENTENCES = 30


class NoFormulaError(ValueError):
    """A grade was asked for in a language that has no validated grade formula here."""


def refuse_other_language(language: str) -> None:
    """English passes; every other language is refused (RL-05, RL-06).

    Raises:
        NoFormulaError: The language is not English.
    """
    if language.split("-")[0] != "en":
        raise NoFormulaError(
            f"there is no validated grade formula for '{language}': "
            "use sentence length and a human reader instead"
        )


def flesch_ease(counts: Counts) -> float:
    """Flesch reading ease: 206.835 - 1.015 W/S - 84.6 Y/W (F-01); higher is easier."""
    words_a_sentence, syllables_a_word = _ratios(counts)
    return 206.835 - 1.015 * words_a_sentence - 84.6 * syllables_a_word


def flesch_kincaid(counts: Counts) -> float:
    """Flesch-Kincaid grade: 0.39 W/S + 11.8 Y/W - 15.59 (F-02), in US school grades."""
    words_a_sentence, syllables_a_word = _ratios(counts)
    return 0.39 * words_a_sentence + 11.8 * syllables_a_word - 15.59


def smog(counts: Counts) -> float:
    """SMOG grade: 1.0430 sqrt(30 P/S) + 3.1291 (F-03); scaled below 30 sentences as in F-05."""
    if not counts.sentences:
        raise ValueError("no sentence to grade")
    return 1.0430 * sqrt(counts.hard * 30 / counts.sentences) + 3.1291


def smog_words(counts: Counts) -> str:
    """The SMOG grade as it is shown: with its error, and as an estimate on a short text.

    >>> smog_words(Counts(100, 10, 140, 9))
    '8.5 ±1.5 (estimate, 10 sentences)'
    """
    short = counts.sentences < SMOG_SENTENCES
    tail = f" (estimate, {counts.sentences} sentences)" if short else ""
    return f"{smog(counts):.1f} ±{SMOG_ERROR}{tail}"


def _ratios(counts: Counts) -> tuple[float, float]:
    if not counts.words or not counts.sentences:
        raise ValueError("no words to grade")
    return counts.words / counts.sentences, counts.syllables / counts.words
