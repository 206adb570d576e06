"""What papers share: the room they are laid out in, their furniture, what must hold of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Protocol

from plainleaf.compose.word import WordedPacket, Wording, Words, wording_of
from plainleaf.facts.derived import Typed
from plainleaf.inputs.catalog import SOURCE
from plainleaf.packet.places import Places
from plainleaf.printing.fonts import own_fonts
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.html import Printer
from plainleaf.printing.page_format import Format
from plainleaf.printing.renderer.layout import Pdf, Sheet
from plainleaf.printing.workers import Here, Printing, Workers
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.languages import locale_name

_CENTIMETRE = 72 / 2.54


class Pages(Protocol):
    """The pages of a paper, perhaps still in the making; whoever asks waits for them.

    Each answer raises a RenderError where the pages cannot be made.
    """

    @property
    def pages(self) -> int: ...

    @property
    def anchors(self) -> Mapping[str, int]: ...

    def pdf(self) -> Pdf: ...


@dataclass(frozen=True)
class Paper:
    """One document of the packet: its pages, and what must hold of them.

    `faults` gives what is not as meant in the finished PDF, nothing when it may go out.
    """

    laid: Pages
    faults: Callable[[Pdf], list[str]]


@dataclass(frozen=True)
class LanguageWords:
    """The teaching of a packet in one language, and what words all that stands around it."""

    wording: Wording
    packet: WordedPacket


def _unread(decision: Decision, wording: Wording) -> bool:
    """Whether words of this paper were read by no qualified translator."""
    return wording.catalog.language in decision.draft_languages


def _replaced(decision: Decision, wording: Wording) -> list[str]:
    """Which sheet to throw away, where this packet replaces one."""
    if decision.inputs.replaces is None:
        return []
    day = Typed("day-of-year", decision.inputs.replaces.made.date())
    return [_line(wording.phrase("replaces-mark", made=day), wording)]


def _gap_mark(decision: Decision, wording: Wording) -> list[str]:
    """That there is no packet in the language that the patient reads, where there is none."""
    if decision.inputs.without_handout is None:
        return []
    words = wording.phrase("gap-mark", wanted=locale_name(decision.inputs.without_handout))
    return [_line(words, wording)]


# Whether no clinician read the teaching, and no translator these words → what says so.
_DRAFT_MARKS = {
    (True, False): "draft-mark",
    (False, True): "draft-translation",
    (True, True): "draft-both",
}


def marks(decision: Decision, wording: Wording) -> str:
    """What the head of every page says: what it replaces, drafts, settings, a missing language."""
    names = [_DRAFT_MARKS.get((decision.draft_teaching, _unread(decision, wording)), "")]
    names += ["example-policy"] if decision.policy.example else []
    names += ["draft-settings"] if decision.draft_settings else []
    line = ""
    told = [str(wording.phrase(name)) for name in filter(None, names)]
    for mark in (*_replaced(decision, wording), *told, *_gap_mark(decision, wording)):
        line = str(wording.phrase("marks-two", first=line, second=mark)) if line else mark
    return line


def staff_mark(decision: Decision, wording: Wording) -> str:
    """For staff, on a paper in another language: which language, and whether it is a draft."""
    language = wording.catalog.language
    if language == SOURCE:
        return ""
    named = str(wording_of(decision).phrase("paper-language", language=locale_name(language)))
    if not _unread(decision, wording):
        return named
    draft = wording_of(decision).phrase("draft-translation")
    return str(wording_of(decision).phrase("marks-two", first=named, second=draft))


def furniture(decision: Decision, wording: Wording, title: Words, version: str) -> PageFurniture:
    """Head and foot of a paper: its marks, whom it is for, its version."""
    person = decision.patient.person
    identity = wording.phrase("footer-identity", name=person.name, record=person.record_number)
    day = Typed("day-of-year", decision.patient.prepared_on.date())
    language = wording.catalog.language
    foot = wording.phrase("footer-version", version=version, language=language, made=day)
    return PageFurniture(
        str(title),
        marks(decision, wording),
        _line(identity, wording),
        _line(foot, wording),
        staff_mark(decision, wording),
    )


def _line(words: Words, wording: Wording) -> str:
    """A line of the foot; where lines run from the right, its values are isolated."""
    return words.isolated if wording.catalog.direction == "rtl" else str(words)


class PressRoom:
    """Templates, fonts and workers of one packet."""

    def __init__(self, decision: Decision, places: Places, workers: Workers | None) -> None:
        self._fonts = own_fonts(places.cache)
        self._workers = workers or Here()
        self.format = Format(
            decision.policy.word("paper"),
            decision.patient.person.print_size,
            decision.policy.word("sides") == "two",
            float(decision.policy.quantity("binding_margin").to("cm").value) * _CENTIMETRE,
        )
        self.printer = Printer(places.templates, self.format)

    def lay(self, html: str, *, one_sheet: bool = False, forms: bool = False) -> Printing:
        """Have a paper printed.

        Args:
            one_sheet: It is never turned over.
            forms: Its inputs become form fields.
        """
        two_sided = self.format.two_sided and not one_sheet
        sheet = Sheet(html, self.printer.templates, self._fonts, forms, two_sided)
        return self._workers.lay(sheet)
