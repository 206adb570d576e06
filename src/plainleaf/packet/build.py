"""Calls the stages in order; the only file that knows them all.

patient + policy + library → facts → findings · select → fill → word → render → check
"""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from hashlib import sha256
from types import MappingProxyType
from typing import Any

from plainleaf.compose.fill import FilledPacket, fill
from plainleaf.compose.word import WordedPacket, Words, word, wording_of
from plainleaf.inputs.catalog import SOURCE
from plainleaf.packet.fhir import PACKET_FILE, Document, bundle_for
from plainleaf.packet.papers import (
    Handout,
    Manuscript,
    Paper,
    PressRoom,
    cautions_of,
    lay_card,
    lay_handout,
    lay_staff_copy,
    lay_teach_back,
    manuscript,
    outline_for,
    reminders_file,
)
from plainleaf.packet.places import Places
from plainleaf.packet.record import review_data
from plainleaf.packet.record.fingerprints import add_digests, traced_data
from plainleaf.packet.record.packet_digests import digests_of, packet_version, person_digest
from plainleaf.packet.record.packet_record import PACKET_RECORD
from plainleaf.packet.record.record_file import record_bytes
from plainleaf.packet.record.replaces import replaced_data
from plainleaf.packet.record.settings_read import settings_read
from plainleaf.packet.sheet.outline import Outline
from plainleaf.packet.sheet.outline_json import outline_data
from plainleaf.printing.workers import Workers
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.errors import CheckError, ContentError, Fault, StoppedError

__all__ = ["Packet", "build", "lay_out", "packet_version", "word_only"]


@dataclass(frozen=True)
class Packet:
    """All that is handed over for one decision, checked, in memory.

    Attributes:
        version: Ten characters that every page of it prints.
        files: Name → content; `packet.json`, which vouches for the others, is the last.
        record: What `packet.json` holds, as data.
    """

    decision: Decision
    version: str
    files: Mapping[str, bytes]
    record: Mapping[str, Any]


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


def build(decision: Decision, places: Places, workers: Workers | None = None) -> Packet:
    """The packet of a decision, checked; nothing is written here.

    Args:
        workers: Processes that lay out the pages; without them it is done in this one.
    Raises:
        StoppedError: Open findings block it.
        RenderError, CheckError, LocaleError, ContentError: The packet is not fit to hand out.
    """
    _refuse(decision)
    room = PressRoom(decision, places, workers)
    digests = digests_of(decision, places.templates)
    version = packet_version(digests, decision.language, decision.inputs.replaces)
    filled = fill(decision)
    written = _written(decision, room, filled, version)
    started = {tag: (paper, paper.start()) for tag, paper in written.items()}
    staff = _staff_words(decision, filled, written)
    asked = outline_for(decision, staff, tuple(written.values()), version)
    record = _record(decision, written[""].words, digests, asked)
    handouts = {tag: paper.settle(laid) for tag, (paper, laid) in started.items()}
    with _Proofs() as proofs:
        proofs.take(lay_teach_back(decision, room, staff, handouts[""], asked))
        for tag, handout in handouts.items():
            proofs.take(handout.paper(f"handout{tag}.pdf"))
            proofs.take(lay_card(decision, room, handout, f"card{tag}.pdf", version))
            if handout.words.language != SOURCE:
                proofs.take(lay_staff_copy(decision, room, staff, handout, version))
        files = _around(decision, handouts, version)
    files |= proofs.files
    files["packet.json"] = _with_files(record, files)
    return Packet(decision, version, MappingProxyType(files), MappingProxyType(record))


def _written(
    decision: Decision, room: PressRoom, filled: FilledPacket, version: str
) -> dict[str, Manuscript]:
    """The handouts in words, the patient's own first: what follows `handout` in the name → it."""
    return {
        f".{tag}" if number else "": manuscript(decision, room, filled, tag, version)
        for number, tag in enumerate(decision.inputs.handout_languages)
    }


def _staff_words(
    decision: Decision, filled: FilledPacket, written: Mapping[str, Manuscript]
) -> WordedPacket:
    """The same teaching in the language of staff."""
    for one in written.values():
        if one.words.language == SOURCE:
            return one.words
    return word(filled, wording_of(decision))


def _around(decision: Decision, handouts: Mapping[str, Handout], version: str) -> dict[str, bytes]:
    """What goes with each handout and is not printed: for the phone, the calendar, the record."""
    files = {f"handout{tag}.html": made.html.encode() for tag, made in handouts.items()}
    files |= {
        f"reminders{tag}.ics": reminders_file(decision, made.wording)
        for tag, made in handouts.items()
    }
    return files | {PACKET_FILE: bundle_for(decision, version, _documents(decision, handouts))}


class _Proofs:
    """The finished PDF of each paper, checked in a thread while others are still laid out.

    At the end of the with block all must be as meant.

    Raises:
        RenderError: The pages of one could not be made.
        CheckError: Some are not as meant.
    """

    def __init__(self) -> None:
        self._checker = ThreadPoolExecutor(1)  # the reader of files bears one thread at a time
        self._checks: list[tuple[Paper, Future[list[str]]]] = []

    @property
    def files(self) -> dict[str, bytes]:
        """Name → PDF."""
        return {paper.file: paper.laid.pdf().data for paper, _ in self._checks}

    def take(self, paper: Paper) -> None:
        """Have a paper checked when its pages are there."""
        self._checks.append((paper, self._checker.submit(_check, paper)))

    def __enter__(self) -> _Proofs:
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        self._checker.shutdown(cancel_futures=kind is not None)
        if kind is None:
            checked = [(paper.file, check.result()) for paper, check in self._checks]
            faults = [f"{file}: {fault}" for file, several in checked for fault in several]
            if faults:
                raise CheckError(faults)


def _check(paper: Paper) -> list[str]:
    return paper.check(paper.laid.pdf())


def _documents(decision: Decision, handouts: Mapping[str, Handout]) -> list[Document]:
    """The handouts, as the exchange tells of them; a draft of the words is not final either."""
    return [
        Document(
            f"handout{tag}.pdf",
            made.laid.pdf().data,
            made.furniture.title,
            made.words.language,
            not decision.draft_teaching and made.words.language not in decision.draft_languages,
        )
        for tag, made in handouts.items()
    ]


def lay_out(decision: Decision, places: Places) -> Handout:
    """The handout alone, laid out and not checked: for the proof of its words.

    Raises:
        RenderError, LocaleError: The pages cannot be made.
    """
    filled = fill(decision)
    return lay_handout(
        decision, PressRoom(decision, places, None), filled, decision.language, "0000000000"
    )


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


def _record(
    decision: Decision, words: WordedPacket, digests: Mapping[str, str], asked: Outline
) -> dict[str, Any]:
    """What is recorded of a packet, without the digests of its files."""
    data: dict[str, Any] = review_data.review_data(
        decision.facts, decision.findings, wording_of(decision)
    )
    child = decision.facts.answers["child"] == "true"
    statements = review_data.statements_data(words)
    decisions = review_data.decisions_data(decision.selection)
    add_digests(statements, decisions, decision.library, child=child)
    return data | {
        "version": asked.version,
        "language": decision.language,
        "made": decision.patient.prepared_on.isoformat(timespec="minutes"),
        "prepared_by": decision.patient.prepared_by,
        "person": person_digest(decision.patient),
        "replaces": replaced_data(decision.inputs.replaces),
        "digests": dict(digests),
        "statements": statements,
        "decisions": decisions,
        "teach_back": outline_data(asked),
        "settings_read": settings_read(decision),
        **traced_data(decision.library, decision.policy, decision.selection, child=child),
    }


def _with_files(record: dict[str, Any], files: Mapping[str, bytes]) -> bytes:
    digests = {name: sha256(content).hexdigest() for name, content in sorted(files.items())}
    return record_bytes(PACKET_RECORD.of(record | {"files": digests}))
