"""How hard a packet in another language than English reads.

Spanish has a formula of its own. Where there is none that is validated (row RL-06), sentences are
counted. An English formula is never used for another language (RL-05).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from plainleaf.authoring.readability.counters import Counts
from plainleaf.authoring.readability.pieces import RUNNING, Piece, Printed, Remark, handout
from plainleaf.authoring.readability.reading_level import by_page, prose
from plainleaf.authoring.readability.spanish import (
    LEAST_EASE,
    band,
    spanish_counts,
    szigriszt_pazos,
)

# Words of a sentence in a language without a formula (RL-06).
MOST_WORDS = 15
_SENTENCE = re.compile(r"(?<=[.!?؟؛;:])\s+")


@dataclass(frozen=True)
class OtherLevel:
    """The level of a packet; `worst` is the page or statement that reads hardest.

    `value`: reading ease of that page, or the words of the longest sentence.
    """

    name: str
    language: str
    worst: str
    value: float
    remarks: tuple[Remark, ...]

    @property
    def harder(self) -> float:
        """A number that grows with how hard it reads, for comparing packets of one language."""
        return -self.value if self.language.split("-")[0] == "es" else self.value

    def __str__(self) -> str:
        if self.language.split("-")[0] == "es":
            what = f"reading ease {self.value:.1f}, {band(self.value)}"
        else:
            what = f"longest sentence {self.value:.0f} words; no validated formula"
        return f"{self.name} ({self.language}): hardest {self.worst}, {what}"


def other_level(printed: Printed) -> OtherLevel:
    """The level of a packet that is not in English."""
    running = [piece for piece in handout(printed) if piece.role in RUNNING]
    if printed.packet.language.split("-")[0] == "es":
        return _spanish(printed, by_page(printed, running))
    return _sentences(printed, running)


def _spanish(printed: Printed, pages: Mapping[str, Sequence[str]]) -> OtherLevel:
    """Reading ease by page; a page below the aim is a fault (RL-04)."""
    eases = {}
    for page, texts in pages.items():
        counts = sum((spanish_counts(text) for text in texts), Counts())
        if counts.words:
            eases[page] = szigriszt_pazos(counts)
    remarks = tuple(
        Remark("fault", "RL-04", page, f"reading ease {ease:.1f}, {band(ease)}; at least "
               f"{LEAST_EASE:g} is asked for", printed.name)
        for page, ease in eases.items()
        if ease < LEAST_EASE
    )  # fmt: skip
    worst = min(eases, key=lambda page: eases[page])
    return OtherLevel(printed.name, printed.packet.language, worst, eases[worst], remarks)


def _own_words(piece: Piece) -> str:
    """The text without phones, dates and what the patient file says."""
    runs = tuple(run for run in piece.words.runs if run.kind != "text")
    return prose(type(piece.words)(runs))


def _sentences(printed: Printed, running: Sequence[Piece]) -> OtherLevel:
    """The longest sentence; one of more than MOST_WORDS words is a fault (RL-06)."""
    counted = [
        (len(sentence.split()), piece.where)
        for piece in running
        for sentence in _SENTENCE.split(_own_words(piece))
    ]
    remarks = tuple(
        Remark("fault", "RL-06", place, f"a sentence of {many} words; at most {MOST_WORDS}",
               printed.name)
        for many, place in counted
        if many > MOST_WORDS
    )  # fmt: skip
    most, place = max(counted)
    return OtherLevel(printed.name, printed.packet.language, place, most, remarks)


def hardest_lines(levels: Sequence[OtherLevel]) -> Iterator[str]:
    """The hardest packet of each language, and how many there were."""
    for language in sorted({level.language for level in levels}):
        own = [level for level in levels if level.language == language]
        yield f"{max(own, key=lambda level: level.harder)} (of {len(own)} packets)"
