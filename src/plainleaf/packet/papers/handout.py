"""The family's handout in large print."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial

from plainleaf.compose.word import WordedPacket, Wording, Words
from plainleaf.packet.papers.paper import Paper, PressRoom
from plainleaf.packet.papers.paper_context import Kind, PaperContext
from plainleaf.packet.papers.paper_kind import MadeIn, PaperKind, Shown
from plainleaf.printing.html import PageFurniture
from plainleaf.printing.inspection import first_page_complete, inspect_handout
from plainleaf.printing.page_format import LARGE_PRINT
from plainleaf.printing.renderer.layout import Pdf
from plainleaf.printing.workers import Printing
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.languages import locale_name
from plainleaf.vocabulary.terms import PRINT_SIZES

# Classes that give page one more room where its words do not fit: wider, then also tighter.
_ROOM = ("", " wide", " wide tight")


@dataclass(frozen=True)
class Front:
    """How page one is set, which must be complete wherever it is hung.

    Attributes:
        size: Its print size in points.
        room: Classes that give it more room.
        split: Over both sides of a sheet and on: emergencies on page 1, phones right after them.
    """

    size: int
    room: str = ""
    split: bool = False


def fronts(size: int) -> tuple[Front, ...]:
    """What is tried for page one, best first.

    Up to 18 points it stands on one page; where a language needs more words than fit there, or
    contacts have long names, it is split. Larger print is split; only where the emergencies alone
    do not fit on page 1 is page one set in the next smaller size, never below 18.
    """
    if size <= LARGE_PRINT:
        whole = tuple(Front(size, room) for room in _ROOM)
        longer = tuple(Front(size, room, split=True) for room in _ROOM)
        return (*whole, *longer)
    larger = [s for s in sizes() if LARGE_PRINT < s <= size]
    tried = [Front(s, room, split=True) for s in reversed(larger) for room in _ROOM]
    return (*tried, *(Front(int(LARGE_PRINT), room) for room in _ROOM))


def sizes() -> tuple[int, ...]:
    """Every print size in points, smallest first."""
    return tuple(int(size.split()[0]) for size in PRINT_SIZES)


def handout_title(decision: Decision, wording: Wording) -> Words:
    """The title on the first page: for the person, or for the parent of a child."""
    child = decision.facts.answers["child"] == "true"
    return wording.phrase("handout-title-child" if child else "handout-title")


def cautions_of(decision: Decision, wording: Wording) -> list[Words]:
    """What stands after page 1: when to call, whom the packet is for, that it is a draft."""
    lines = [
        first_call_of(decision, wording),
        wording.phrase("caution-care-team"),
        wording.phrase("caution-orders"),
        wording.phrase("caution-made-for"),
    ]
    if decision.draft_teaching:
        lines.append(wording.phrase("caution-draft"))
    return lines + _gap(decision, wording)


def first_call_of(decision: Decision, wording: Wording) -> Words:
    """Whom to call when there is no time: emergency services, or the hospice where it is first."""
    hospice = decision.facts.answers["hospice_first"] == "true"
    name = "caution-hospice" if hospice else "caution-emergency"
    return wording.phrase(name, phone=decision.facts.values["emergency_phone"])


def _gap(decision: Decision, wording: Wording) -> list[Words]:
    """What is said to a patient in whose language there is no handout: what helps instead."""
    if decision.inputs.without_handout is None:
        return []
    have = [locale_name(tag) for tag in decision.inputs.teaching.languages]
    return [
        wording.phrase("gap-reads", wanted=locale_name(decision.inputs.without_handout)),
        wording.phrase("gap-interpreter"),
        wording.phrase("gap-languages", languages=wording.listed(have)),
    ]


def _pictures(packet: WordedPacket) -> list[tuple[str, Words]]:
    """The pictures of a packet: anchor and caption."""
    return [
        (identity, statement.words)
        for identity, statement in packet.statements().items()
        if statement.picture is not None and statement.words is not None
    ]


@dataclass(frozen=True)
class Manuscript:
    """A handout in words, before its pages are known."""

    room: PressRoom
    wording: Wording
    words: WordedPacket
    furniture: PageFurniture
    cautions: tuple[Words, ...]
    pictures: list[tuple[str, Words]]

    @property
    def size(self) -> int:
        """Its print size in points."""
        return self.room.format.size

    @property
    def note_lines(self) -> int:
        """Ruled lines on the back of page one, if it has a back of its own."""
        around, set_ = self.furniture, self.room.format
        if not set_.two_sided:
            return 0
        return set_.note_lines(around.head, around.identity, around.version)

    def html(
        self, css: str, front: Front, *, phone_links: bool = False, alone: bool = False
    ) -> str:
        """A page of HTML with page one set in a way, or page one alone."""
        printer = self.room.printer
        style = printer.css(css, self.wording, self.furniture, help_size=front.size)
        packet = self.words
        return printer.html(
            HANDOUT.template,
            style,
            self.wording,
            replace(packet, modules=packet.modules[:1]) if alone else packet,
            self.furniture,
            cautions=self.cautions,
            pictures=self.pictures,
            phone_links=phone_links,
            rows_named=not phone_links,
            room=front.room,
            split=front.split,
            note_lines=self.note_lines if not front.split else 0,
        )


class HandoutPages:
    """The pages of a handout, with page one set in the first way that holds all of it.

    They are laid out at once in the first way, and looked at when somebody asks for them; other
    ways are tried with page one alone. Several threads may ask.
    """

    def __init__(self, manuscript: Manuscript) -> None:
        self._manuscript = manuscript
        self._asking = threading.Lock()
        self._fitted: tuple[Printing, Front] | None = None
        self._first = self._lay(fronts(manuscript.size)[0])

    def _lay(self, front: Front, *, alone: bool = False) -> Printing:
        html = self._manuscript.html(HANDOUT.style, front, alone=alone)
        return self._manuscript.room.lay(html)

    def _fit(self) -> tuple[Printing, Front]:
        first, *others = fronts(self._manuscript.size)
        if self._complete(self._first, first):
            return self._first, first
        for front in others[:-1]:
            if self._complete(self._lay(front, alone=True), front):
                break
        else:
            front = others[-1]
        return self._lay(front), front

    def _complete(self, laid: Printing, front: Front) -> bool:
        """Whether page one holds all that must stand on it."""
        return first_page_complete(laid, self._manuscript.words, split=front.split)

    def fitted(self) -> tuple[Printing, Front]:
        """The pages, and how page one is set.

        Raises:
            RenderError: They cannot be made.
        """
        with self._asking:
            if self._fitted is None:
                self._fitted = self._fit()
            return self._fitted

    @property
    def pages(self) -> int:
        """Number of pages; errors as `fitted`."""
        return self.fitted()[0].pages

    @property
    def anchors(self) -> Mapping[str, int]:
        """Anchor → page; errors as `fitted`."""
        return self.fitted()[0].anchors

    def pdf(self) -> Pdf:
        """The finished PDF; errors as `fitted`."""
        return self.fitted()[0].pdf()


def manuscript(context: PaperContext, language: str) -> Manuscript:
    """The handout in one language, in words."""
    decision, words = context.decision, context.words[language]
    around = context.furniture(words.wording, handout_title(decision, words.wording))
    told = tuple(cautions_of(decision, words.wording))
    gap = decision.inputs.without_handout is not None
    pictures = _pictures(words.packet) if gap else []
    return Manuscript(context.room, words.wording, words.packet, around, told, pictures)


@dataclass(frozen=True)
class Handout(Paper):
    """One language's handout: its pages, and what they were made of."""

    manuscript: Manuscript

    @property
    def front(self) -> Front:
        """How page one is set; errors as `HandoutPages.fitted`."""
        assert isinstance(self.laid, HandoutPages)
        return self.laid.fitted()[1]


def make_handout(context: PaperContext, language: str) -> Handout:
    """The handout in one language; errors as `fitted`, when it is asked for pages."""
    written = manuscript(context, language)
    laid = HandoutPages(written)
    return Handout(laid, partial(_faults, written, laid), written)


def _faults(written: Manuscript, laid: HandoutPages, pdf: Pdf) -> list[str]:
    """Everything that is not as meant in the finished PDF."""
    _, front = laid.fitted()
    return inspect_handout(
        pdf,
        written.words,
        written.furniture,
        least=min(written.size, front.size),
        split=front.split,
        cautions=written.cautions,
    )


HANDOUT: Kind = PaperKind(
    "handout{language}.pdf",
    "the family",
    "The teaching that fits this person, in large print; page 1 alone is for the fridge. "
    "Print it at 100 percent.",
    Shown.PAPER,
    make_handout,
    MadeIn.READERS,
    "handout.html.j2",
    "print.css",
)
