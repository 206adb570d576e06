"""The command `plainleaf prove`: the content holds for every kind of patient."""

from __future__ import annotations

import argparse

from plainleaf.authoring.proofread import covering, proofread
from plainleaf.authoring.prove import Failure, Outcome, examples, examples_in, lines, prove
from plainleaf.authoring.readability import WordProof
from plainleaf.authoring.sealing import write_seal
from plainleaf.cli.commands.opened import places_of
from plainleaf.cli.report_data import FORMAT, Data
from plainleaf.cli.streams import print_json, say, say_text
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.load_inputs import load_teaching
from plainleaf.inputs.policy import load_policy
from plainleaf.packet.delivery import deliver


def run(arguments: argparse.Namespace) -> int:
    """Without --policy the proof holds for every setting that a facility may choose."""
    places = places_of(arguments)
    teaching = load_teaching(places.teaching, VOCABULARY)
    library, policy = teaching.library, load_policy(places.policy)
    fixed = None if arguments.policy is None else policy
    outcome = prove(library, fixed, arguments.progress)
    if arguments.out is not None and not outcome.proved:
        files = examples(outcome, policy, library, any_facility=fixed is None)
        deliver(files, arguments.out, examples_in)
    if not arguments.json:
        say(lines(outcome))
    arguments.progress("the words")
    words = proofread(library, covering(teaching, policy, outcome.search))
    if not arguments.json:
        say_text(f"\n{words.report(items=True)}")
    sealed = write_seal(outcome, teaching, policy, places) if arguments.seal else None
    if arguments.json:
        print_json(_data(outcome, words) | {"sealed": sealed})
    elif sealed:
        say([f"Sealed: {sealed}"])
    return 0 if outcome.proved and not words.faults else 1


def _data(outcome: Outcome, words: WordProof) -> Data:
    """What was proved of the content and of its words."""
    remarks = [
        {"level": r.level, "rule": r.rule, "place": r.where, "says": r.says, "packet": r.packet}
        for r in words.remarks()
    ]
    return {
        "format": FORMAT,
        "proved": outcome.proved and not words.faults,
        "kinds_of_patient": outcome.legal,
        "answers": outcome.facts,
        "counts": dict(outcome.counts),
        "faults": [_failure_data(failure) for failure in outcome.failures],
        "packets": words.packets,
        "remarks": remarks,
    }


def _failure_data(failure: Failure) -> Data:
    place = failure.place
    return {
        "proof": failure.proof,
        "id": place.id,
        "file": place.file,
        "line": place.line,
        "says": failure.says,
        "patient": None if failure.patient is None else dict(failure.patient),
    }
