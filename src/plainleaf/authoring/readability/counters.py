"""Counts words, sentences and syllables of English print that knows lists, numbers and units.

Every piece of text handed in is a block of its own (a list item, a step, a paragraph), so that an
item without a full stop is still a sentence. A full stop inside a number or after a short form
ends none; a semicolon does (F-06).
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import lru_cache

from plainleaf.authoring.readability.spoken import TOKEN, spoken_syllables

# A word of three syllables or more is hard (SMOG).
HARD = 3
# An explained term counts as easy: no more syllables than the longest word that is not hard.
EASY = HARD - 1
_END = re.compile(r"(?<=[.?!;])[\"”’)]*\s+(?=\S)")
_SHORT_FORM = re.compile(r"(?:\b(?:Dr|Mr|Mrs|Ms|St|No|vs|etc|e\.g|i\.e|[ap]\.m)|\b[A-Z])\.$")


@dataclass(frozen=True)
class Counts:
    """What the formulas need; `hard`: words of three syllables or more."""

    words: int = 0
    sentences: int = 0
    syllables: int = 0
    hard: int = 0

    def __add__(self, other: Counts) -> Counts:
        return Counts(
            self.words + other.words,
            self.sentences + other.sentences,
            self.syllables + other.syllables,
            self.hard + other.hard,
        )


@lru_cache(maxsize=20_000)
def sentences(text: str) -> tuple[str, ...]:
    """The sentences of one block of text.

    >>> sentences("Give 1.5 mL. Call Dr. Smith at 8 a.m. if it leaks")
    ('Give 1.5 mL.', 'Call Dr. Smith at 8 a.m. if it leaks')
    """
    parts: list[str] = []
    for piece in _END.split(text.replace("\u00a0", " ").strip()):
        if parts and _SHORT_FORM.search(parts[-1]):
            parts[-1] = f"{parts[-1]} {piece}"
        elif piece:
            parts.append(piece)
    return tuple(sentence for sentence in parts if TOKEN.search(sentence))


@lru_cache(maxsize=20_000)
def tokens(text: str) -> tuple[str, ...]:
    """The words of a text; a number, a unit and a word with hyphens are one each.

    >>> tokens("Flush with 60 mL (2 oz) of low-salt water.")
    ('Flush', 'with', '60', 'mL', '2', 'oz', 'of', 'low-salt', 'water')
    """
    return tuple(TOKEN.findall(text.replace("\u00a0", " ")))


def _easy_at(words: Sequence[str], terms: Collection[tuple[str, ...]]) -> set[int]:
    """Positions of words that belong to an explained term."""
    lower = [word.lower() for word in words]
    return {
        place + offset
        for term in terms
        for place in range(len(lower) - len(term) + 1)
        if lower[place] == term[0] and tuple(lower[place : place + len(term)]) == term
        for offset in range(len(term))
    }


def count(text: str, easy: Collection[tuple[str, ...]] = ()) -> Counts:
    """The counts of one block of text.

    Args:
        easy: Explained terms, each as its words in small letters.

    >>> count("Flush the tube with 60 mL of water.")
    Counts(words=8, sentences=1, syllables=13, hard=1)
    """
    words = tokens(text)
    spared = _easy_at(words, easy) if easy else set()
    beats = [
        min(spoken_syllables(word), EASY) if place in spared else spoken_syllables(word)
        for place, word in enumerate(words)
    ]
    return Counts(
        len(words), len(sentences(text)), sum(beats), sum(1 for beat in beats if beat >= HARD)
    )
