"""The command `plainleaf prove`: the content holds for every kind of patient."""

from __future__ import annotations

import argparse
import sys

from plainleaf.authoring.proofread import covering, proofread
from plainleaf.authoring.prove import examples, lines, prove
from plainleaf.cli.commands.opened import places_of
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.loading import load_teaching
from plainleaf.inputs.policy import load_policy
from plainleaf.packet.delivery import deliver


def run(arguments: argparse.Namespace) -> int:
    """Without --policy the proof holds for every setting that a facility may choose."""
    places = places_of(arguments)
    teaching = load_teaching(places.teaching, VOCABULARY)
    library, policy = teaching.library, load_policy(places.policy)
    fixed = None if arguments.policy is None else policy
    outcome = prove(library, fixed, lambda step: print(f"prove: {step}", file=sys.stderr))
    if arguments.out is not None and not outcome.proved:
        deliver(examples(outcome, policy, library, any_facility=fixed is None), arguments.out)
    sys.stdout.writelines(f"{line}\n" for line in lines(outcome))
    print("prove: the words", file=sys.stderr)
    words = proofread(library, covering(teaching, policy, outcome.search))
    sys.stdout.write(f"\n{words.report(items=True)}")
    return 0 if outcome.proved and not words.faults else 1
