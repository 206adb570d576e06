"""The family's pages in large print: what is printed for everybody, and what on request."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial

from plainleaf.compose.word import WordedBlock, WordedPage, WordedPages, Wording, Words
from plainleaf.facts.derived import Typed
from plainleaf.packet.papers.page_labels import labels_of
from plainleaf.packet.papers.paper import Paper, PressRoom
from plainleaf.packet.papers.paper_context import Kind, PaperContext
from plainleaf.packet.papers.paper_kind import MadeIn, PaperKind, Shown
from plainleaf.printing.clock_column import clock_column
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.html import PHONE_LABELS, says_whom_to_call
from plainleaf.printing.inspection import emergencies_on_first_side, inspect_handout
from plainleaf.printing.renderer.layout import Pdf
from plainleaf.printing.workers import Printing
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.languages import locale_name

# Parts of the family's packet that are printed for everybody, and on request; the phone page holds
# all.
PRINTED, ON_REQUEST = ("sheet", "daily", "wrong"), ("more",)


def handout_title(decision: Decision, wording: Wording) -> Words:
    """The title of the document: for the person, or for the parent of a child."""
    child = decision.facts.answers["child"] == "true"
    return wording.phrase("handout-title-child" if child else "handout-title")


def cautions_of(decision: Decision, wording: Wording) -> list[Words]:
    """What stands at the end: when to call, whom the packet is for, that it is a draft."""
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


def _pictures(packet: WordedPages) -> list[tuple[str, Words]]:
    """The pictures of a packet: anchor and caption."""
    return [
        (identity, statement.words)
        for identity, statement in packet.statements().items()
        if statement.picture is not None and statement.words is not None
    ]


def _phones(packet: WordedPages) -> WordedBlock | None:
    """Whom to call, as page one says it."""
    blocks = (statement.block for statement in packet.statements().values())
    return next((block for block in blocks if block is not None and block.look == "contacts"), None)


@dataclass(frozen=True)
class Manuscript:
    """Pages of the family in words, before they are laid out.

    Attributes:
        emergency: The number that the highest tier calls.
        hospice: Whether that is the hospice, which is called in the second tier too.
        phones: Whom to call, for the row above the lists.
        section_numbers: Section → the number of its page, printed here or not.
    """

    room: PressRoom
    wording: Wording
    words: WordedPages
    furniture: PageFurniture
    cautions: tuple[Words, ...]
    pictures: list[tuple[str, Words]]
    emergency: Typed
    hospice: bool
    phones: WordedBlock | None
    section_numbers: Mapping[str, int]

    @property
    def size(self) -> int:
        """Its print size in points."""
        return self.room.format.size

    def _head(self, page: WordedPage) -> tuple[Words, ...]:
        """What stands above a page where it runs on; above page one, whom to call as well."""
        title = self.wording.phrase("page-goes-on", title=page.title)
        if self.phones is None or not says_whom_to_call(page):
            return (title,)
        numbers = [
            self.wording.phrase("phone-line", label=self.wording.phrase(label), phone=row[1][0])
            for label, row in zip(PHONE_LABELS[self.phones.name], self.phones.rows, strict=True)
        ]
        return title, numbers[0] if len(numbers) == 1 else self.wording.phrase(
            "list-two", first=numbers[0], second=numbers[1]
        )

    def html(
        self,
        css: str,
        *,
        phone_links: bool = False,
        compact: bool = False,
        about_after: str = "sheet",
    ) -> str:
        """A page of HTML.

        Args:
            compact: The phones of page one shrink to one row, so that all emergencies fit there.
            about_after: The part at whose end it says what the packet is and is not.
        """
        printer, packet, around = self.room.printer, self.words, self.furniture
        column = clock_column(packet, self.room.format)
        continued = {page.number: self._head(page) for page in packet.pages}
        return printer.html(
            HANDOUT.template,
            printer.css(css, self.wording, around, continued=continued, clock_column=column),
            self.wording,
            packet,
            around,
            cautions=self.cautions,
            pictures=self.pictures,
            emergency=self.emergency,
            hospice=self.hospice,
            phones=self.phones,
            section_numbers=self.section_numbers,
            phone_links=phone_links,
            rows_named=not phone_links,
            compact=compact,
            about_after=about_after,
        )


class HandoutPages:
    """The pages of a handout, whose first side holds every emergency where that is possible.

    They are laid out at once with the phones of page one in full, and looked at when somebody asks
    for them: where an emergency does not fit beside them, the phones shrink to one row. What does
    not fit then either runs on, and nothing is made smaller. What the packet is and is not stands
    at the end of the sheet for the wall, or, where it would run on to a side of its own, at the end
    of the daily pages. Several threads may ask.
    """

    def __init__(self, manuscript: Manuscript) -> None:
        self._manuscript = manuscript
        self._asking = threading.Lock()
        self._fitted: Printing | None = None
        self._first = self._lay(compact=False, about_after="sheet")

    def _lay(self, *, compact: bool, about_after: str) -> Printing:
        html = self._manuscript.html(HANDOUT.style, compact=compact, about_after=about_after)
        return self._manuscript.room.lay(html)

    def _about_runs_on(self) -> bool:
        """Whether what the packet is and is not begins a side of its own after the sheet."""
        sheet = [page.id for page in self._manuscript.words.pages if page.part == "sheet"]
        anchors = self._first.anchors
        return bool(sheet) and anchors["about"] > anchors[sheet[-1]]

    def fitted(self) -> Printing:
        """The pages.

        Raises:
            RenderError: They cannot be made.
        """
        with self._asking:
            if self._fitted is None:
                fits = emergencies_on_first_side(self._first, self._manuscript.words)
                after = "daily" if self._about_runs_on() else "sheet"
                again = not fits or after == "daily"
                self._fitted = (
                    self._lay(compact=not fits, about_after=after) if again else self._first
                )
            return self._fitted

    @property
    def pages(self) -> int:
        """Number of pages; errors as `fitted`."""
        return self.fitted().pages

    @property
    def anchors(self) -> Mapping[str, int]:
        """Anchor → page; errors as `fitted`."""
        return self.fitted().anchors

    def pdf(self) -> Pdf:
        """The finished PDF; errors as `fitted`."""
        return self.fitted().pdf()


def manuscript(context: PaperContext, language: str, *parts: str) -> Manuscript:
    """The pages of some parts of the packet in one language, in words; all without a part."""
    decision, words = context.decision, context.words[language]
    around = context.furniture(words.wording, handout_title(decision, words.wording))
    told = tuple(cautions_of(decision, words.wording))
    gap = decision.inputs.without_handout is not None
    pages = words.packet.printed(*parts)
    return Manuscript(
        context.room,
        words.wording,
        pages,
        around,
        told,
        _pictures(pages) if gap else [],
        decision.facts.values["emergency_phone"],
        decision.facts.answers["hospice_first"] == "true",
        _phones(words.packet.printed()),
        words.packet.section_numbers(),
    )


@dataclass(frozen=True)
class Handout(Paper):
    """Pages of the family in one language, and what they were made of."""

    manuscript: Manuscript

    @property
    def labels(self) -> dict[str, str]:
        """Anchor → the number in the corner of its page.

        Raises:
            RenderError: The pages cannot be made.
        """
        return labels_of(self.manuscript.words.pages, self.laid.anchors)


def make_handout(context: PaperContext, language: str) -> Handout:
    """What is printed for everybody in one language; errors when it is asked for pages."""
    written = manuscript(context, language, *PRINTED)
    laid = HandoutPages(written)
    return Handout(laid, partial(_faults, written), written)


def make_good_to_know(context: PaperContext, language: str) -> Handout:
    """What is printed on request in one language; errors when it is asked for pages."""
    written = replace(manuscript(context, language, *ON_REQUEST), pictures=[])
    laid = context.room.lay(written.html(HANDOUT.style))
    return Handout(laid, partial(_faults, written), written)


def _faults(written: Manuscript, pdf: Pdf) -> list[str]:
    """Everything that is not as meant in the finished PDF."""
    return inspect_handout(
        pdf, written.words, written.furniture, least=written.size, cautions=written.cautions
    )


HANDOUT: Kind = PaperKind(
    "handout{language}.pdf",
    "the family",
    "The teaching that fits this person, in large print. Sheet 1, both sides, goes on the wall; "
    "what to do each day follows, then what to do when something is wrong. "
    "Print it at 100 percent.",
    Shown.PAPER,
    make_handout,
    MadeIn.READERS,
    "handout.html.j2",
    "print.css",
)
GOOD_TO_KNOW: Kind = PaperKind(
    "good-to-know{language}.pdf",
    "the family",
    "Only with `--more`: more about the tube, supplies, daily life, questions and a log to copy. "
    "The phone page holds it for everybody.",
    Shown.PAPER,
    make_good_to_know,
    MadeIn.READERS,
    "handout.html.j2",
    "print.css",
    on_request=True,
)
