"""Whole packets for tests: an example whose open findings are accepted, built once and kept."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

import yaml
from builders import BASE, EXAMPLES, Changes, findings_with, policy, teaching, text_with
from disk_cache import digest_of, folder_digest, from_disk, press

from plainleaf.compose.fill import fill
from plainleaf.compose.word import WordedPacket, WordedPages, Wording, word, wording_of
from plainleaf.inputs.load_inputs import inputs_for
from plainleaf.inputs.patient import read_patient
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.strict_yaml import parse
from plainleaf.packet.build import build, lay_out
from plainleaf.packet.papers import PaperContext, PressRoom, files_for, open_context
from plainleaf.packet.papers.handout import PRINTED
from plainleaf.packet.places import Places
from plainleaf.rules.acceptances import credential_for
from plainleaf.rules.decision import Decision, decide

# The ready example is another one with its findings accepted; the test of the README builds it.
NAMES = tuple(name for name in EXAMPLES if not name.endswith("-ready"))
# What a packet holds whose readers all read English.
FILES = tuple(sorted(name for name, _, _ in files_for(["en"])))
PLACES = Places.default()
# Somebody else than those who prepare the examples; invented.
REVIEWER = "I. Sorel"


def acceptances(changes: Changes | None = None, base: str = BASE) -> list[dict[str, str]]:
    """Entries of `accepted:` for all that may be accepted in a changed example."""
    return [
        {
            "finding": finding.id,
            "by": f"{REVIEWER}, {credential_for(finding.id)}",
            "reason": "Asked the team; as ordered.",
            "on": _prepared(base),
        }
        | ({"about": finding.subject} if finding.subject else {})
        for finding in findings_with(changes, base)
        if finding.blocks and finding.acceptable
    ]


def _prepared(base: str) -> str:
    data = yaml.load(text_with(base=base), Loader=yaml.BaseLoader)
    day: str = data["prepared"]["on"]
    return day[:10]


def settled_text(changes: Changes | None = None, base: str = BASE) -> str:
    """A changed example as text, with all accepted that may be."""
    given = yaml.load(text_with(changes, base), Loader=yaml.BaseLoader).get("accepted", [])
    accepted = [*given, *acceptances(changes, base)]
    return text_with({**(changes or {}), "accepted": accepted}, base)


def decision_from(text: str, language: str = "en", rules: Policy | None = None) -> Decision:
    """What is decided for a patient file's text, with the shipped content and example policy."""
    patient = read_patient(parse(text, "patient.yaml"))
    return decide(inputs_for(patient, rules or policy(), teaching(), language))


@dataclass(frozen=True)
class Packet:
    """A built packet with all it was made from."""

    name: str
    text: str
    decision: Decision
    files: Mapping[str, bytes]

    @property
    def handout(self) -> bytes:
        """The handout as PDF."""
        return self.files["handout.pdf"]

    @property
    def sheet(self) -> bytes:
        """The teach-back sheet as PDF."""
        return self.files["teach-back.pdf"]

    @cached_property
    def record(self) -> Any:
        """The record as data."""
        return json.loads(self.files["packet.json"])

    @cached_property
    def source(self) -> Any:
        """The patient file as plain data, every value a text."""
        return yaml.load(self.text, Loader=yaml.BaseLoader)

    @property
    def wording(self) -> Wording:
        """What words the packet for staff."""
        return wording_of(self.decision)

    @cached_property
    def worded(self) -> WordedPacket:
        """The handout in words, before it was printed."""
        return worded(self.decision)

    @cached_property
    def printed(self) -> WordedPages:
        """The pages that are printed for everybody, in words."""
        return self.worded.printed(*PRINTED)


def worded(decision: Decision) -> WordedPacket:
    """The handout of a decision in English words."""
    return word(fill(decision), wording_of(decision))


def context_of(decision: Decision) -> PaperContext:
    """What the papers of a decision are made from, with pages made in this process."""
    return open_context(decision, PressRoom(decision, PLACES, None), "0" * 10)


def make(text: str, name: str = "patient") -> Packet:
    """Build the packet of a patient file's text, now: for tests of building."""
    decision = _settled(text)
    return Packet(name, text, decision, build(decision, PLACES).files)


def _settled(text: str) -> Decision:
    decision = decision_from(text)
    assert not decision.stopped, [finding.id for finding in decision.findings if finding.blocks]
    return decision


def files_of(decision: Decision, text: str, places: Places = PLACES) -> Mapping[str, bytes]:
    """The files of a packet, from disk where the same packet was built before.

    Args:
        text: The patient file that the decision was made for.
    """
    rest = repr((decision.policy, decision.inputs.replaces))
    made_of = (press(), folder_digest(places.teaching), rest, decision.language, text)
    return from_disk(digest_of("packet", *made_of), lambda: dict(build(decision, places).files))


@dataclass(frozen=True)
class Printout:
    """A handout alone as it was printed: words, page or statement → side and label, PDF, faults."""

    words: WordedPages
    anchors: Mapping[str, int]
    labels: Mapping[str, str]
    data: bytes
    faults: list[str]


def printout(decision: Decision, *made_of: str) -> Printout:
    """The handout of a decision, from disk where the same was laid out before.

    Args:
        made_of: The patient file, and all else that the decision was made from and that is
            neither shipped nor a setting.
    """

    def print_it() -> Printout:
        _, handout = lay_out(decision, PLACES)
        pdf = handout.laid.pdf()
        anchors = dict(handout.laid.anchors)
        return Printout(
            handout.manuscript.words, anchors, handout.labels, pdf.data, handout.faults(pdf)
        )

    content = (press(), folder_digest(PLACES.teaching), repr(decision.policy), decision.language)
    return from_disk(digest_of("printed pages", *content, *made_of), print_it)


@cache
def packet_with(text: str, name: str = "patient") -> Packet:
    """The packet of a patient file's text: for tests that look at packets."""
    decision = _settled(text)
    return Packet(name, text, decision, files_of(decision, text))


@cache
def packet_of(name: str) -> Packet:
    """The packet of an example, settled."""
    return packet_with(settled_text(base=name), name)
