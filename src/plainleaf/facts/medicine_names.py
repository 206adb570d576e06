"""Reads a medicine's name as it was typed: which medicines of the table it means.

Letter case, accents, strengths, forms, salts and release suffixes are folded. A word that is no
name is read as the name that it is closest to, when no other is nearly as close; that is never
silent, and neither is a name that cannot be read.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Protocol

from rapidfuzz.distance import OSA
from rapidfuzz.process import extract

from plainleaf.inputs.content import MedicineLists, MedicineRow, Substance

_TOKEN = re.compile(r"[a-z]+|[0-9]+(?:[.,][0-9]+)*")
_JOINTS = re.compile(r"\b(?:and|with|plus|y|con)\b|[+/&]")
# From so many letters on, a word is read with one wrong letter, with two.
_ONE_WRONG, _TWO_WRONG = 5, 8
# How much further off the next name must be.
_APART = 2
# Lists whose words may stand beside a name.
_FORM_LISTS = (
    "modified_release_forms", "modified_release_suffixes", "not_modified_release",
    "never_crush_forms", "dispersible_forms",
)  # fmt: skip

Phrase = tuple[str, ...]


def folded(text: str) -> str:
    """Small letters without accents.

    >>> folded("Fenitoína")
    'fenitoina'
    """
    parts = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in parts if not unicodedata.combining(letter))


@dataclass(frozen=True)
class NameReading:
    """What a typed name means.

    Attributes:
        substances: The medicines, in the order of the name; none where it cannot be read.
        changed: Whether a word was read as another, or could not be read beside a name.
        near: Names that it may mean, where none is the closest.
    """

    substances: tuple[Substance, ...]
    changed: bool
    near: tuple[str, ...] = ()

    @property
    def meant(self) -> str:
        """The generic names, in words."""
        return " with ".join(substance.name for substance in self.substances)


class KnownMedicine(Protocol):
    """What its name means, and what the table of medicines says of it."""

    @property
    def typed(self) -> NameReading:
        """What its name means as it is typed."""

    @property
    def reading(self) -> NameReading:
        """The same, by the pharmacist's word where there is one."""

    def rows_of(self, kind: str) -> Sequence[MedicineRow]:
        """The rows of a kind that hold of its line."""


class NameReader:
    """Reads names by one table of medicines."""

    def __init__(self, lists: MedicineLists) -> None:
        self._lists = lists
        self._phrases: dict[Phrase, Substance] = {}
        for substance in lists.substances:
            for name in (substance.name, *substance.also):
                self._phrases.setdefault(self._words(name), substance)
        self._longest = max(map(len, self._phrases), default=0)

    @cached_property
    def _short(self) -> Mapping[str, str]:
        """Short form of a salt → the salt."""
        return {short: salt for salt, forms in self._lists.salts.items() for short in forms}

    @cached_property
    def _beside(self) -> frozenset[str]:
        """Words that are no name."""
        entries = (e for name in _FORM_LISTS for e in self._lists.words.get(name, ()))
        of_forms = (word for entry in entries for word in _TOKEN.findall(entry.match.lower()))
        return frozenset((*self._lists.besides, *of_forms, *self._lists.salts))

    @cached_property
    def _owners(self) -> Mapping[str, frozenset[str]]:
        """Every word of a name that is long enough to be misspelled → whose it is."""
        owners: dict[str, set[str]] = {}
        for phrase, substance in self._phrases.items():
            for word in phrase:
                if len(word) >= _ONE_WRONG and word not in self._lists.salts:
                    owners.setdefault(word, set()).add(substance.name)
        for salt in self._lists.salts:
            owners[salt] = {salt}
        return {word: frozenset(names) for word, names in owners.items()}

    def _words(self, text: str) -> Phrase:
        return tuple(self._short.get(word, word) for word in _TOKEN.findall(folded(text)))

    def written_out(self, name: str) -> str:
        """The words of a name with each salt in full."""
        return " ".join(self._words(name))

    def read(self, name: str) -> NameReading:
        """The medicines that a typed name means."""
        whole, unread = self._match(self._words(name))
        if not unread:
            return NameReading(whole, False)
        parts = [self._part(self._words(part)) for part in _JOINTS.split(folded(name))]
        return NameReading(
            tuple(dict.fromkeys(s for part in parts for s in part.substances)),
            any(part.changed for part in parts),
            tuple(dict.fromkeys(name for part in parts for name in part.near)),
        )

    def _part(self, words: Phrase) -> NameReading:
        """One name of several, its wrong words corrected."""
        matches, rest = self._match(words)
        if not rest:
            return NameReading(matches, False)
        corrected, near = self._corrected(words, rest)
        matches, rest = self._match(corrected)
        if rest:
            matches = tuple(m for m in matches if not self._by_a_salt(m, corrected))
        return NameReading(matches, True, near)

    def _match(self, words: Phrase) -> tuple[tuple[Substance, ...], Phrase]:
        """The names among some words, the longest first, and the words that are none."""
        matches: list[Substance] = []
        rest: list[str] = []
        place = 0
        after_name = False
        while place < len(words):
            step = 1
            if not (after_name and words[place] in self._lists.salts):
                size = self._size_at(words, place)
                if size:
                    matches.append(self._phrases[words[place : place + size]])
                    step, after_name = size, True
                elif not self._is_beside(words[place]):
                    rest.append(words[place])
            place += step
        return tuple(dict.fromkeys(matches)), tuple(rest)

    def _by_a_salt(self, substance: Substance, words: Phrase) -> bool:
        """Whether only a salt, such as potassium, names it: beside an unread word that may err."""
        salts = [word for word in words if word in self._lists.salts]
        return any(self._phrases.get((salt,)) is substance for salt in salts)

    def _size_at(self, words: Phrase, place: int) -> int:
        sizes = range(min(self._longest, len(words) - place), 0, -1)
        return next((n for n in sizes if words[place : place + n] in self._phrases), 0)

    def _is_beside(self, word: str) -> bool:
        return word in self._beside or word[0].isdigit()

    def _corrected(self, words: Phrase, wrong: Iterable[str]) -> tuple[Phrase, Phrase]:
        """The words with each wrong one as the name that it is closest to, and names that come
        equally close.
        """
        read: dict[str, str] = {}
        guesses: list[str] = []
        for word in wrong:
            near = self._near(word)
            if len(near) == 1:
                read[word] = near[0]
            if len(near) > 1:
                owners = (name for other in near for name in sorted(self._owners[other]))
                guesses += [name for name in owners if name not in self._lists.salts]
        return tuple(read.get(word, word) for word in words), tuple(guesses)

    def _near(self, word: str) -> Sequence[str]:
        """The word of a name that it is closest to, or several that are nearly as close."""
        most = (len(word) >= _ONE_WRONG) + (len(word) >= _TWO_WRONG)
        if not most:
            return ()
        close = self._distances(word, most + _APART - 1)
        if not close or close[0][1] > most or close[0][0][0] != word[0]:
            return ()
        best, distance = close[0]
        rivals = [
            other
            for other, off in close[1:]
            if off < distance + _APART and self._owners[other] != self._owners[best]
        ]
        return (best, *rivals)

    def _distances(self, word: str, most: int) -> list[tuple[str, int]]:
        """Words of names that are at most so far off, the closest first."""
        close = extract(word, list(self._owners), scorer=OSA.distance, limit=5, score_cutoff=most)
        return [(other, int(distance)) for other, distance, _ in close]


@lru_cache(maxsize=8)
def reader_of(lists: MedicineLists) -> NameReader:
    """The reader by a table, made once."""
    return NameReader(lists)


@lru_cache(maxsize=4096)
def read_name(lists: MedicineLists, name: str) -> NameReading:
    """The medicines that a typed name means, by a table."""
    return reader_of(lists).read(name)


# What is asked or said of a name that is no listed one.
NAME_FACTS = ("name_read_as", "name_not_known", "name_not_listed")


def about_name(
    fact: str, typed: NameReading, meant: str | None, *, asked: bool
) -> MedicineRow | None:
    """What one of `NAME_FACTS` is to say of a name, or None.

    Args:
        meant: What a pharmacist said it means, where the table lacks that too.
        asked: Whether a name that is not listed is a question; else it is only noted.
    """
    if fact == "name_not_listed" and meant is not None:
        return _of_name(f"it means {meant}, and no rule looked at that name either")
    if typed.substances and not typed.changed:
        return None
    wanted = "name_read_as" if typed.substances else "name_not_known"
    if fact != (wanted if asked else "name_not_listed"):
        return None
    if not typed.substances:
        near = " or ".join(typed.near)
        return _of_name(f"it may be {near}" if near else "no listed name is close to it")
    return _of_name(typed.meant if asked else f"it was read as {typed.meant}")


def _of_name(says: str) -> MedicineRow:
    return MedicineRow("known", says, ("list-own",), "policy")
