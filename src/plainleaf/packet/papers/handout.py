"""The family's handout: large print, and the same words for the phone."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plainleaf.compose.fill import FilledPacket
from plainleaf.compose.word import WordedPacket, Wording, Words, word, wording_of
from plainleaf.packet.papers.paper import Paper, PressRoom, furniture
from plainleaf.printing.check import check_handout, first_page_complete
from plainleaf.printing.html import PageFurniture
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


@dataclass(frozen=True)
class Handout:
    """One language's handout: its words, its pages and the same for the phone.

    `size`: points of its print; `front`: how page one is set.
    """

    words: WordedPacket
    laid: Printing
    html: str
    furniture: PageFurniture
    wording: Wording
    cautions: tuple[Words, ...]
    size: int
    front: Front

    def paper(self, file: str) -> Paper:
        """The handout as a paper of the packet."""
        return Paper(file, self.laid, self.check)

    def check(self, pdf: Pdf) -> list[str]:
        """Everything that is not as meant in the finished PDF."""
        return check_handout(
            pdf,
            self.words,
            self.furniture,
            least=min(self.size, self.front.size),
            split=self.front.split,
            cautions=self.cautions,
        )


def handout_title(decision: Decision, wording: Wording) -> Words:
    """The title on the first page: for the person, or for the parent of a child."""
    child = decision.facts.answers["child"] == "true"
    return wording.phrase("handout-title-child" if child else "handout-title")


def cautions_of(decision: Decision, wording: Wording) -> list[Words]:
    """What stands after page 1: when to call, whom the packet is for, that it is a draft."""
    emergency = decision.facts.values["emergency_phone"]
    lines = [
        wording.phrase("caution-emergency", phone=emergency),
        wording.phrase("caution-care-team"),
        wording.phrase("caution-orders"),
        wording.phrase("caution-made-for"),
    ]
    if decision.draft_teaching:
        lines.append(wording.phrase("caution-draft"))
    return lines + _gap(decision, wording)


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
    """A handout in words, before its pages are known.

    `size`: points of its print.
    """

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
            "handout.html.j2",
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

    def start(self) -> Printing:
        """Have it printed, with page one set in the first way."""
        return self.room.lay(self.html("print.css", fronts(self.size)[0]))

    def settle(self, started: Printing) -> Handout:
        """The handout: its pages are known and page one is complete.

        Args:
            started: What `start` gave.
        Raises:
            RenderError: The pages cannot be made.
        """
        laid, front = self._with_front(started)
        html = self.html("screen.css", Front(self.size), phone_links=True)
        return Handout(
            self.words, laid, html, self.furniture, self.wording, self.cautions, self.size, front
        )

    def _fits(self, laid: Printing, front: Front) -> bool:
        """Whether page one is complete."""
        return first_page_complete(laid, self.words, split=front.split)

    def _with_front(self, started: Printing) -> tuple[Printing, Front]:
        """The pages, with the first way to set page one that holds all of it.

        Other ways than the first are tried with page one alone.
        """
        first, *others = fronts(self.size)
        if self._fits(started, first):
            return started, first
        for front in others[:-1]:
            alone = self.html("print.css", front, alone=True)
            if self._fits(self.room.lay(alone), front):
                break
        else:
            front = others[-1]
        return self.room.lay(self.html("print.css", front)), front


def manuscript(
    decision: Decision, room: PressRoom, filled: FilledPacket, language: str, version: str
) -> Manuscript:
    """The handout in one language, in words.

    Raises:
        LocaleError: A message has no current translation.
    """
    wording = wording_of(decision, language)
    packet = word(filled, wording)
    around = furniture(decision, wording, handout_title(decision, wording), version)
    told = tuple(cautions_of(decision, wording))
    pictures = _pictures(packet) if decision.inputs.without_handout is not None else []
    return Manuscript(room, wording, packet, around, told, pictures)


def lay_handout(
    decision: Decision, room: PressRoom, filled: FilledPacket, language: str, version: str
) -> Handout:
    """The handout in one language, laid out.

    Raises:
        RenderError, LocaleError: The pages cannot be made.
    """
    written = manuscript(decision, room, filled, language, version)
    return written.settle(written.start())
