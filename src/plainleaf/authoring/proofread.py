"""Brings cases to the proof of the words: worded only, or laid out with pages."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from plainleaf.authoring.prove.search import Search
from plainleaf.authoring.prove.synthesize import NoExampleError, synthesize
from plainleaf.authoring.readability import Printed, WordProof, prove_words
from plainleaf.inputs.catalog import SOURCE, languages
from plainleaf.inputs.content import Library, Statement
from plainleaf.inputs.load_inputs import Teaching, inputs_for
from plainleaf.inputs.patient import read_patient
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.strict_yaml import parse
from plainleaf.packet import build
from plainleaf.packet.papers.handout import manuscript
from plainleaf.packet.papers.phone_page import phone_html
from plainleaf.packet.places import Places
from plainleaf.rules.decision import Decision, decide
from plainleaf.vocabulary.conditions import Condition, answers, both

# Besides the patients that show every sentence: as many drawn at random, the same each time.
SAMPLED = 40
_SEED = 4


def kind_of(decision: Decision) -> str:
    """The sort of packet: kind of tube, and how it is fed."""
    methods = sorted({feed.method for feed in decision.patient.feeding})
    return f"{decision.patient.tube.kind}, {' and '.join(methods) or 'no feeding'}"


def worded(decision: Decision, name: str, language: str | None = None) -> Printed:
    """A packet in words, without pages: quick, for every class of patient."""
    packet, front = build.word_only(decision, language)
    return Printed(name, packet, front=front, kind=kind_of(decision))


def laid_out(decision: Decision, name: str, places: Places) -> Printed:
    """A packet with the page of every statement: some seconds each."""
    context, handout = build.lay_out(decision, places)
    packet = context.words[decision.language].packet
    numbers = {name: str(number) for name, number in packet.numbers().items()}
    return Printed(
        name,
        packet,
        pages=numbers | handout.labels,
        front=handout.manuscript.cautions,
        html=phone_html(manuscript(context, decision.language)),
        kind=kind_of(decision),
    )


def examples(files: Iterable[Path], places: Places, *, pages: bool = True) -> Iterator[Printed]:
    """The packets of patient files, in every language in which a handout exists.

    What is still open in a file does not matter here: the words of the rest are proved.
    """
    for file in files:
        for language in languages(places.teaching / "locales"):
            decision = decide(places.inputs(file, language))
            name = file.stem if language == SOURCE else f"{file.stem} {language}"
            yield laid_out(decision, name, places) if pages else worded(decision, name)


def _shown(packet: Printed, *, child: bool) -> Iterator[tuple[str, bool]]:
    for identity in packet.packet.statements():
        yield identity, child


def _variants(library: Library) -> Iterator[tuple[Statement, bool | None, Condition]]:
    """Every text that can print: a statement, for whom it is worded, and when it prints."""
    for module in library.modules:
        if module.status == "retired":
            continue
        for _, statement in module.statements():
            when = library.conditions[statement.id]
            if statement.child_text is None:
                yield statement, None, when
                continue
            for child, word in ((False, "false"), (True, "true")):
                yield statement, child, both(when, answers("child", word))


def _example(answers_known: Mapping[str, str], policy: Policy, teaching: Teaching) -> Decision:
    example = synthesize(answers_known, policy, teaching.library)
    patient = read_patient(parse(example.text, "example.yaml"))
    return decide(inputs_for(patient, example.policy, teaching, SOURCE))


def covering(teaching: Teaching, policy: Policy, search: Search) -> Iterator[Printed]:
    """Invented patients who together are told every sentence, and some drawn at random.

    Each is worded in every language, so that no class of patients meets a hole in a catalog.

    A sentence that no patient file can show is passed over: the proof of the content names it.
    Where an answer depends on the facility, the settings are those that it takes.
    """
    shown: set[tuple[str, bool]] = set()
    chance = random.Random(_SEED)

    def classes() -> Iterator[tuple[str, Mapping[str, str] | None]]:
        for statement, child, when in _variants(teaching.library):
            wanted = {
                (statement.id, reader) for reader in ((True, False) if child is None else (child,))
            }
            if not wanted & shown:
                yield statement.id, search.satisfy(when)
        for number in range(SAMPLED):
            yield f"sample {number + 1}", search.sample(chance)

    for name, known in classes():
        try:
            decision = _example(known or {}, policy, teaching) if known else None
        except NoExampleError:
            decision = None
        if decision is not None:
            packet = worded(decision, f"a patient for {name}")
            shown.update(_shown(packet, child=decision.facts.answers["child"] == "true"))
            yield packet
            for language in teaching.languages[1:]:
                yield worded(decision, f"a patient for {name}", language)


def proofread(library: Library, packets: Iterable[Printed]) -> WordProof:
    """The second half of `plainleaf prove`: faults and report of the words of packets."""
    return prove_words(library, packets)
