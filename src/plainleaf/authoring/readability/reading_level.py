"""The reading level of a packet as printed, by page and by statement (English only).

Only running text is scored: statements and cautions. Titles, headings and tables are left out, and
so are the phones, dates and moments inside a sentence; what was left out is listed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from plainleaf.authoring.readability.counters import Counts, count
from plainleaf.authoring.readability.formulas import (
    flesch_kincaid,
    refuse_other_language,
    smog_words,
)
from plainleaf.authoring.readability.pieces import RUNNING, Piece, Printed, Remark, handout
from plainleaf.compose.word import Words

# Gate of row RL-01: the strictest mainstream value; above the aim a page is worth a look.
MOST_GRADE = 6.0
AIM_GRADE = 5.0
# A large-print page holds at least about this many words of running text.
PAGE_WORDS = 100
# Kinds of merged values that are no prose (CP-15).
LEFT_OUT = ("phone", "date", "day-of-year", "moment", "moment-near")
_ROLES = {
    "title": "titles", "heading": "headings", "head": "table heads", "cell": "table cells",
    "picture": "captions", "label": "picture labels", "alt": "pictures read out",
}  # fmt: skip

Easy = frozenset[tuple[str, ...]]


@dataclass(frozen=True)
class Level:
    """The level of a page, section or statement: raw, and with explained terms counted as easy."""

    where: str
    raw: Counts
    explained: Counts

    @property
    def grade(self) -> float:
        """Flesch-Kincaid grade, raw."""
        return flesch_kincaid(self.raw)

    @property
    def grade_explained(self) -> float:
        """Flesch-Kincaid grade with explained terms counted as easy."""
        return flesch_kincaid(self.explained)

    def __str__(self) -> str:
        return (
            f"{self.where}: grade {self.grade:.1f} raw, {self.grade_explained:.1f} explained; "
            f"SMOG {smog_words(self.raw)} raw, {smog_words(self.explained)} explained"
        )


@dataclass(frozen=True)
class PacketLevel:
    """The levels of one packet; `left_out`: what was not scored → how many."""

    name: str
    whole: Level
    pages: tuple[Level, ...]
    sections: tuple[Level, ...]
    statements: tuple[Level, ...]
    left_out: Mapping[str, int]


def prose(words: Words) -> str:
    """The text that is scored: without phones, dates and moments."""
    return "".join(run.text for run in words.runs if run.kind not in LEFT_OUT)


@lru_cache(maxsize=20_000)
def _count(text: str, easy: Easy) -> Counts:
    return count(text, easy)


def _levels(groups: Mapping[str, Sequence[str]], easy: Easy) -> Iterator[Level]:
    for place, texts in groups.items():
        raw = sum((_count(text, frozenset()) for text in texts), Counts())
        explained = sum((_count(text, easy) for text in texts), Counts())
        if raw.words:
            yield Level(place, raw, explained)


def _group(pieces: Sequence[Piece], names: Sequence[str]) -> dict[str, list[str]]:
    grouped: dict[str, list[str]] = {}
    for piece, name in zip(pieces, names, strict=True):
        grouped.setdefault(name, []).append(prose(piece.words))
    return grouped


def _stretches(pieces: Sequence[Piece]) -> dict[str, list[str]]:
    """Runs of whole sections, each about a page long, from every section on."""
    sections: dict[str, list[str]] = {}
    for piece in pieces:
        sections.setdefault(piece.section, []).append(prose(piece.words))
    names = list(sections)
    stretches: dict[str, list[str]] = {}
    for number, section in enumerate(names):
        texts: list[str] = []
        words = 0
        for name in names[number:]:
            if words >= PAGE_WORDS:
                break
            texts += sections[name]
            words += sum(_count(text, frozenset()).words for text in sections[name])
        if number == 0 or words >= PAGE_WORDS:
            stretches[f"about a page from {section}"] = texts
    return stretches


def by_page(printed: Printed, running: Sequence[Piece]) -> dict[str, list[str]]:
    """The running text of each page; without pages, of stretches about a page long."""
    if printed.pages:
        return _group(running, [f"page {printed.pages[piece.where]}" for piece in running])
    return _stretches(running)


def _left_out(pieces: Sequence[Piece]) -> dict[str, int]:
    counts = Counter(_ROLES[piece.role] for piece in pieces if piece.role in _ROLES)
    for piece in pieces:
        if piece.role in RUNNING:
            counts.update(run.kind for run in piece.words.runs if run.kind in LEFT_OUT)
    return dict(sorted(counts.items()))


def packet_level(printed: Printed, easy: Easy = frozenset()) -> PacketLevel:
    """The reading level of one packet.

    A statement counts on the page where it starts. Without pages, stretches of sections about a
    page long stand for them.

    Args:
        easy: Terms that the packet explains, each as its words in small letters.
    Raises:
        NoFormulaError: The packet is not in English.
    """
    refuse_other_language(printed.packet.language)
    pieces = list(handout(printed))
    running = [piece for piece in pieces if piece.role in RUNNING]
    pages = by_page(printed, running)
    whole = next(_levels({"whole packet": [prose(piece.words) for piece in running]}, easy))
    return PacketLevel(
        printed.name,
        whole,
        tuple(_levels(pages, easy)),
        tuple(_levels(_group(running, [piece.section for piece in running]), easy)),
        tuple(_levels(_group(running, [piece.where for piece in running]), easy)),
        _left_out(pieces),
    )


def worst(levels: Sequence[Level], many: int = 3) -> list[Level]:
    """The hardest to read, hardest first."""
    return sorted(levels, key=lambda level: -level.grade)[:many]


def level_remarks(level: PacketLevel) -> list[Remark]:
    """A fault for each page above the gate, a note for each above the aim.

    The gate holds for the raw grade and for the explained one; the raw one is never the lower.
    """
    remarks = []
    for page in level.pages:
        if page.grade > MOST_GRADE or page.grade_explained > MOST_GRADE:
            says = f"above grade {MOST_GRADE:g}: {page}"
            remarks.append(Remark("fault", "RL-01", page.where, says, level.name))
        elif page.grade > AIM_GRADE:
            says = f"above the aim of grade {AIM_GRADE:g}: {page}"
            remarks.append(Remark("note", "RL-01", page.where, says, level.name))
    return remarks
