"""The command `plainleaf start`: an empty patient file, or one begun from a Bundle."""

from __future__ import annotations

import argparse

from plainleaf.cli.commands.opened import places_of
from plainleaf.cli.streams import complain, print_document
from plainleaf.inputs.fhir import begin
from plainleaf.inputs.policy import load_policy
from plainleaf.inputs.starter import starter
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.errors import ExchangeError
from plainleaf.vocabulary.time_zones import zone


def run(arguments: argparse.Namespace) -> int:
    """What a bundle could not say goes to standard error too; the file says it in its head."""
    if arguments.bundle is None:
        if arguments.kind is None:
            raise ExchangeError(f"start: write a kind of tube: {', '.join(terms.TUBE_KINDS)}.")
        print_document(starter(arguments.kind, arguments.format))
        return 0
    policy = load_policy(places_of(arguments).policy)
    begun = begin(arguments.bundle, arguments.kind, zone(policy.word("time_zone")))
    print_document(begun.text)
    complain([*begun.notes, f"Still to write: {', '.join(begun.blanks)}."])
    return 0
