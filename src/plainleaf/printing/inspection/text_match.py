"""Whether a text stands in what a reader gives back of a page.

Where lines run from left to right a text is looked for as it stands, without its spaces. Where
they run from right to left, PDF readers put each line in order again in their own way: digits and
brackets change places, the pair lam-alef, which is one glyph, comes back with its letters swapped,
and a vowel mark tears its word in two. There a text is compared word by word, and a word by its
letters in the order of the alphabet. What runs from left to right inside it, a number or a Latin
word, is compared as it stands.
"""

from __future__ import annotations

import re
from collections import Counter
from typing import Protocol

from plainleaf.compose.word.bidi import without_isolates

# A number with what stands inside it; Latin letters; letters of any other script.
_PIECE = re.compile(r"\d+(?:[.,:]\d+)*|[A-Za-z]+|[^\W\dA-Za-z_]+")
# Vowel marks of Arabic; a reader puts a space or the end of a line after one inside a word.
_VOWELS = re.compile("[\u064b-\u065f\u0670]+")
_WITH_VOWELS = re.compile(r"\d+(?:[.,:]\d+)*|[A-Za-z]+|(?:[^\W\dA-Za-z_]|[\u064b-\u065f\u0670])+")
# Shorter pieces would be found in the letters of other words.
_LEAST_INSIDE = 3


def squeezed(text: str) -> str:
    """A text without spaces and marks of direction, to compare across line and page breaks."""
    return re.sub("[\\s\u2066-\u2069]+", "", text)


def pieces(text: str) -> Counter[str]:
    """The words and numbers of a text, each with how often it stands there.

    >>> sorted(pieces("60 mL، 10:30"))
    ['10:30', '60', 'mL']
    >>> pieces("الماء لا") == pieces("ال الماء")
    True
    """
    return Counter(_key(piece) for piece in _pieces(text))


def _pieces(text: str) -> list[str]:
    return _PIECE.findall(_VOWELS.sub("", without_isolates(text)))


def _key(piece: str) -> str:
    return piece if piece.isascii() else "".join(sorted(piece))


class TextSearch(Protocol):
    """Text read back, which can be asked for words."""

    def holds(self, text: str) -> bool:
        """Whether all of a text stands in it."""
        ...


class InOrder:
    """Text of pages that run from left to right."""

    def __init__(self, text: str) -> None:
        self._text = squeezed(text)

    def holds(self, text: str) -> bool:
        """Whether the text stands in it as it is."""
        return squeezed(text) in self._text


class InAnyOrder:
    """Text of pages that run from right to left."""

    def __init__(self, text: str) -> None:
        self._pieces = pieces(text)
        self._letters = _VOWELS.sub("", squeezed(text))

    def holds(self, text: str) -> bool:
        """Whether every word and number stands in it, as often as in the text."""
        return not self.lacking(text)

    def lacking(self, text: str) -> list[str]:
        """The words and numbers of a text that are not in it."""
        lacking = pieces(text) - self._pieces
        words = dict.fromkeys(_WITH_VOWELS.findall(without_isolates(text)))
        return [
            word
            for word in words
            if _key(_VOWELS.sub("", word)) in lacking and not self._torn(word)
        ]

    def _torn(self, word: str) -> bool:
        """Whether a word stands there in pieces, torn where it has a vowel mark; a name in Latin
        letters may be torn anywhere, as on pages that run from left to right."""
        if word.isascii():
            return word.isalpha() and len(word) >= _LEAST_INSIDE and word in self._letters
        bare = _VOWELS.sub("", word)
        if len(bare) >= _LEAST_INSIDE and self._within(bare):
            return True
        parts = [part for part in _VOWELS.split(word) if part]
        return len(parts) > 1 and all(self._pieces[_key(part)] for part in parts)

    def _within(self, word: str) -> bool:
        """Whether the letters of a word stand together, spaces left out, in any order."""
        key, long, letters = _key(word), len(word), self._letters
        return word in letters or any(
            letters[start] in key and _key(letters[start : start + long]) == key
            for start in range(len(letters) - long + 1)
        )


def found_in(text: str, direction: str) -> TextSearch:
    """Text that was read back, to be asked for words."""
    return InAnyOrder(text) if direction == "rtl" else InOrder(text)
