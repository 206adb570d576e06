"""The command `plainleaf review`: the findings, the day, the totals and the dates."""

from __future__ import annotations

import argparse

from plainleaf.cli import screen_text
from plainleaf.cli.commands.opened import decided
from plainleaf.cli.streams import print_json, say_text
from plainleaf.compose.word import wording_of
from plainleaf.packet.record import review_data


def run(arguments: argparse.Namespace) -> int:
    """Print the review; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    decision = decided(arguments)
    if arguments.json:
        print_json(review_data.decision_data(decision, wording_of(decision)))
    else:
        say_text(screen_text.review(decision))
    return 1 if decision.stopped else 0
