"""The command `plainleaf review`: the findings, the day, the totals and the dates."""

from __future__ import annotations

import argparse
import json
import sys

from plainleaf.cli import screen_text
from plainleaf.cli.commands.opened import decided
from plainleaf.compose.word import wording_of
from plainleaf.packet.record import review_data


def run(arguments: argparse.Namespace) -> int:
    """Print the review; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    decision = decided(arguments)
    if arguments.json:
        data = review_data.review_data(decision.facts, decision.findings, wording_of(decision))
        sys.stdout.write(json.dumps(data, ensure_ascii=False, indent=1) + "\n")
    else:
        sys.stdout.write(screen_text.review(decision))
    return 1 if decision.stopped else 0
