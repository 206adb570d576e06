"""Makes the packet of a decision: every paper of the register, laid out, checked, in memory."""

from __future__ import annotations

import json
from collections.abc import Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from threading import Lock
from types import MappingProxyType
from typing import Any

from plainleaf.compose.fill import fill
from plainleaf.compose.word import WordedPacket, Words, word, wording_of
from plainleaf.packet.papers import (
    Handout,
    Paper,
    PaperContext,
    PressRoom,
    cautions_of,
    files_for,
    make_handout,
    open_context,
)
from plainleaf.packet.papers.decision_record import DECISION_RECORD
from plainleaf.packet.places import Places
from plainleaf.packet.record.packet_digests import digests_of, packet_version
from plainleaf.printing.inspection import Untidy
from plainleaf.printing.workers import Workers
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.errors import CheckError, ContentError, Fault, StoppedError

__all__ = ["Packet", "build", "lay_out", "packet_version", "word_only"]

# The reader of finished files bears one thread at a time.
_READING = Lock()


@dataclass(frozen=True)
class Packet:
    """All that is handed over for one decision, checked, in memory.

    Attributes:
        version: Ten characters that every page of it prints.
        files: Name → content; `packet.json`, which vouches for the others, is the last.
        record: What `packet.json` holds, as data.
        untidy: What is not as meant in the looks of its papers.
    """

    decision: Decision
    version: str
    files: Mapping[str, bytes]
    record: Mapping[str, Any]
    untidy: tuple[str, ...] = ()


def build(
    decision: Decision, places: Places, workers: Workers | None = None, *, more: bool = False
) -> Packet:
    """The packet of a decision, checked; nothing is written here.

    Args:
        workers: Processes that lay out the pages; without them it is done in this one.
        more: With the papers that are made only on request.
    Raises:
        StoppedError: Open findings block it.
        RenderError, CheckError, LocaleError, ContentError: The packet is not fit to hand out.
    """
    _refuse(decision)
    digests = digests_of(decision, places.templates)
    version = packet_version(digests, decision.language, decision.inputs.replaces)
    room = PressRoom(decision, places, workers)
    context, untidy = _make_all(open_context(decision, room, version, digests), more=more)
    files = context.content()
    record = json.loads(files[DECISION_RECORD.name])
    return Packet(decision, version, MappingProxyType(files), MappingProxyType(record), untidy)


def _refuse(decision: Decision) -> None:
    """Build nothing that findings block, or for which the content has several texts or none."""
    if decision.stopped:
        raise StoppedError([finding.id for finding in decision.findings if finding.blocks])
    faults = [
        Fault(str(decision.library.folder), 0, f"choice '{choice}' has {len(ids)} variants: {ids}.")
        for choice, ids in decision.selection.split_choices
    ]
    if faults:
        raise ContentError(faults)


def _make_all(context: PaperContext, *, more: bool) -> tuple[PaperContext, tuple[str, ...]]:
    """The papers of the register, in its order, checked while others are still laid out; and what
    is untidy in them."""
    with _Proofs() as proofs:
        for name, kind, language in files_for(context.languages, more=more):
            paper = kind.make(context, language)
            context = context.with_paper(name, paper)
            if isinstance(paper, Paper):
                proofs.take(name, paper)
    return context, tuple(proofs.untidy)


class _Proofs:
    """The finished PDF of each paper, checked in a thread while others are still laid out.

    At the end of the with block all must be as meant, but for what is `untidy`.

    Raises:
        RenderError: The pages of one could not be made.
        CheckError: Some are not as meant.
    """

    def __init__(self) -> None:
        self._reader = ThreadPoolExecutor(1)
        self._waiting: list[tuple[str, Future[list[str]]]] = []
        self.untidy: list[str] = []

    def take(self, name: str, paper: Paper) -> None:
        """Have a paper checked when its pages are there."""
        self._waiting.append((name, self._reader.submit(_faults_of, paper)))

    def __enter__(self) -> _Proofs:
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        self._reader.shutdown(cancel_futures=kind is not None)
        if kind is None:
            faults = [
                (name, fault) for name, several in self._waiting for fault in several.result()
            ]
            self.untidy = [f"{name}: {f}" for name, f in faults if isinstance(f, Untidy)]
            refused = [f"{name}: {f}" for name, f in faults if not isinstance(f, Untidy)]
            if refused:
                raise CheckError(refused)


def _faults_of(paper: Paper) -> list[str]:
    pdf = paper.laid.pdf()
    with _READING:
        return paper.faults(pdf)


def lay_out(decision: Decision, places: Places) -> tuple[PaperContext, Handout]:
    """The handout alone, laid out and not checked, and what it is made from.

    Raises:
        RenderError, LocaleError: The pages cannot be made.
    """
    context = open_context(decision, PressRoom(decision, places, None), "0" * 10)
    return context, make_handout(context, decision.language)


def word_only(
    decision: Decision, language: str | None = None
) -> tuple[WordedPacket, tuple[Words, ...]]:
    """The worded packet and its cautions, without a page.

    Args:
        language: Another one than the patient's.
    Raises:
        LocaleError: A message has no current translation.
    """
    wording = wording_of(decision, language or decision.language)
    return word(fill(decision), wording), tuple(cautions_of(decision, wording))
