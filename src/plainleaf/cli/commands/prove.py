"""The command `plainleaf prove`: the content holds for every kind of patient."""

from __future__ import annotations

import argparse
import sys

from plainleaf.authoring.proofread import covering, proofread
from plainleaf.authoring.prove import examples, lines, prove
from plainleaf.cli.commands.opened import settings
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.content import load_library
from plainleaf.inputs.policy import load_policy
from plainleaf.packet.delivery import deliver


def run(arguments: argparse.Namespace) -> int:
    """Without --policy the proof holds for every setting that a facility may choose."""
    given = settings(arguments)
    library = load_library(given.teaching, VOCABULARY)
    policy = load_policy(given.policy)
    fixed = None if arguments.policy is None else policy
    outcome = prove(library, fixed, lambda step: print(f"prove: {step}", file=sys.stderr))
    if arguments.out is not None and not outcome.proved:
        deliver(examples(outcome, policy, library, any_facility=fixed is None), arguments.out)
    sys.stdout.writelines(f"{line}\n" for line in lines(outcome))
    print("prove: the words", file=sys.stderr)
    words = proofread(library, covering(library, policy, given, outcome.search))
    sys.stdout.write(f"\n{words.report(items=True)}")
    return 0 if outcome.proved and not words.faults else 1
