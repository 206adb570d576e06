"""All that the papers of one packet are made from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from plainleaf.compose.fill import FilledPacket, fill
from plainleaf.compose.word import WordedPacket, Wording, Words, word, wording_of
from plainleaf.inputs.catalog import SOURCE
from plainleaf.packet.papers.paper import LanguageWords, Paper, PressRoom, furniture
from plainleaf.packet.papers.paper_kind import PaperKind
from plainleaf.packet.papers.sheet_outline import outline_for
from plainleaf.packet.sheet.outline import Outline
from plainleaf.printing.furniture import PageFurniture
from plainleaf.rules.decision import Decision


@dataclass(frozen=True)
class PaperContext:
    """What every maker of a paper is given.

    Attributes:
        version: What every page prints; `digests`: of what the packet is made from.
        words: Language → the teaching in it, for each handout, the patient's own first.
        staff: The same in the language of staff.
        papers: What is made so far, by its name; pages may still be in the making.
    """

    decision: Decision
    room: PressRoom
    version: str
    digests: Mapping[str, str]
    words: Mapping[str, LanguageWords]
    staff: LanguageWords
    papers: Mapping[str, Paper | bytes] = field(default_factory=dict)

    @property
    def languages(self) -> tuple[str, ...]:
        """The languages of the handouts, the patient's own first."""
        return tuple(self.words)

    @cached_property
    def outline(self) -> Outline:
        """What the nurse's sheet asks, of whom, and in which words."""
        return outline_for(self.decision, self.staff, tuple(self.words.values()), self.version)

    def furniture(self, wording: Wording, title: Words) -> PageFurniture:
        """Head and foot of a paper with a title."""
        return furniture(self.decision, wording, title, self.version)

    def paper(self, kind: PaperKind[PaperContext, Paper | bytes], language: str) -> Paper:
        """A paper that is made already: those of the register before the one that asks."""
        files = kind.files(self.languages, self.staff.packet.language)
        paper = next(self.papers[name] for name, tag in files.items() if tag == language)
        assert isinstance(paper, Paper)
        return paper

    def content(self) -> dict[str, bytes]:
        """Name → content of what is made so far; pages are waited for.

        Raises:
            RenderError: The pages of one cannot be made.
        """
        return {
            name: paper.laid.pdf().data if isinstance(paper, Paper) else paper
            for name, paper in self.papers.items()
        }

    def with_paper(self, name: str, paper: Paper | bytes) -> PaperContext:
        """The same with one more file made."""
        return replace(self, papers={**self.papers, name: paper})


Kind = PaperKind[PaperContext, Paper | bytes]


def open_context(
    decision: Decision, room: PressRoom, version: str, digests: Mapping[str, str] | None = None
) -> PaperContext:
    """What the papers of a decision are made from, before any of them is made.

    Raises:
        LocaleError: A message has no current translation.
    """
    filled = fill(decision)
    words = {tag: _words(decision, filled, tag) for tag in decision.inputs.handout_languages}
    staff = words.get(SOURCE) or _words(decision, filled, SOURCE)
    return PaperContext(decision, room, version, digests or {}, words, staff)


def _words(decision: Decision, filled: FilledPacket, language: str) -> LanguageWords:
    wording = wording_of(decision, language)
    packet: WordedPacket = word(filled, wording)
    return LanguageWords(wording, packet)
