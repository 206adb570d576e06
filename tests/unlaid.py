"""What every paper says, without laying out a page: fast enough to be asked some thousand times."""

from __future__ import annotations

import html
import re
from collections import defaultdict
from collections.abc import Mapping
from functools import cache, cached_property
from types import SimpleNamespace
from typing import Any, cast

from builders import ROOT

from plainleaf.authoring.readability.pieces import Printed, handout
from plainleaf.compose.fill import fill
from plainleaf.compose.word import word, wording_of
from plainleaf.inputs.catalog import SOURCE
from plainleaf.packet.papers.handout import (
    HANDOUT,
    Handout,
    Manuscript,
    cautions_of,
    handout_title,
)
from plainleaf.packet.papers.paper import LanguageWords, Paper, PressRoom
from plainleaf.packet.papers.paper_context import PaperContext
from plainleaf.packet.papers.reminders import make_reminders
from plainleaf.packet.papers.teach_back import make_teach_back
from plainleaf.printing.html import Printer
from plainleaf.printing.page_format import Format
from plainleaf.rules.decision import Decision

VERSION = "0" * 10
_NO_WORDS = re.compile(r"<style>.*?</style>|<title>.*?</title>|<[^>]*>", re.S)


class _Unlaid:
    """A paper of one page, on which all stands."""

    pages = 1

    def __init__(self, html_text: str) -> None:
        self.html = html_text
        self.anchors: Mapping[str, int] = defaultdict(lambda: 1)

    def pdf(self) -> Any:
        raise AssertionError("nothing is laid out here")


class _Pages(Handout):
    """A handout of which only the words are known: each page has its number by itself."""

    def __init__(self) -> None:
        super().__init__(_Unlaid(""), lambda pdf: [], cast("Manuscript", None))

    @property
    def labels(self) -> dict[str, str]:
        return {}


@cache
def _printer(size: int) -> tuple[Format, Printer]:
    form = Format("letter", size, two_sided=True, binding=0.0)
    return form, Printer(ROOT / "templates", form)


def _room(decision: Decision) -> PressRoom:
    form, printer = _printer(decision.patient.person.print_size)

    def lay(text: str, **_: object) -> _Unlaid:
        return _Unlaid(text)

    return cast("PressRoom", SimpleNamespace(format=form, printer=printer, lay=lay))


def context_of(decision: Decision, language: str = SOURCE) -> PaperContext:
    """What the papers are made from, with the handout in one language alone."""
    filled = fill(decision)

    def words(tag: str) -> LanguageWords:
        wording = wording_of(decision, tag)
        return LanguageWords(wording, word(filled, wording))

    own = words(language)
    staff = own if language == SOURCE else words(SOURCE)
    context = PaperContext(decision, _room(decision), VERSION, {}, {language: own}, staff)
    return context.with_paper(HANDOUT.file(), _Pages())


def _text(paper: Paper | bytes) -> str:
    assert isinstance(paper, Paper)
    laid = cast("_Unlaid", paper.laid)
    return re.sub(r"\s+", " ", html.unescape(_NO_WORDS.sub(" ", laid.html)))


# Parts that every packet has; the topics of its handout stand beside them.
PARTS = ("head", "sheet", "calendar")


class Papers:
    """The papers of a decision, each worded when it is asked for."""

    def __init__(self, decision: Decision, language: str = SOURCE) -> None:
        self.context, self.language = context_of(decision, language), language

    @cached_property
    def _handout(self) -> Mapping[str, str]:
        decision, words = self.context.decision, self.context.words[self.language]
        front = tuple(cautions_of(decision, words.wording))
        said: dict[str, list[str]] = {}
        for piece in handout(Printed("", words.packet, front=front)):
            said.setdefault(f"handout:{piece.module}", []).append(piece.words.plain)
        return {part: "\n".join(lines) for part, lines in said.items()}

    @property
    def topics(self) -> tuple[str, ...]:
        """The parts of the handout, by their topics."""
        return tuple(self._handout)

    def says(self, part: str) -> str:
        """The words of a part; nothing of a topic that this handout has not."""
        return getattr(self, f"_{part}") if part in PARTS else self._handout.get(part, "")

    @cached_property
    def _head(self) -> str:
        """Title, head and foot of every page; the print size counts, as all pages look by it."""
        decision, wording = self.context.decision, self.context.words[self.language].wording
        around = self.context.furniture(wording, handout_title(decision, wording))
        return "\n".join([around.title, *around.lines, str(decision.patient.person.print_size)])

    @cached_property
    def _sheet(self) -> str:
        return _text(make_teach_back(self.context, SOURCE))

    @cached_property
    def _calendar(self) -> str:
        return make_reminders(self.context, self.language).decode()
