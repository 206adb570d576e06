"""The command `plainleaf review`: the findings, the day, the totals and the dates."""

from __future__ import annotations

import argparse
import json
import sys

from plainleaf.cli import screen_text
from plainleaf.cli.commands.opened import opened
from plainleaf.packet.record import review_data


def run(arguments: argparse.Namespace) -> int:
    """Print the review; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    case = opened(arguments)
    if arguments.json:
        data = review_data.review_data(case.facts, case.findings, case.wording)
        sys.stdout.write(json.dumps(data, ensure_ascii=False, indent=1) + "\n")
    else:
        sys.stdout.write(screen_text.review(case))
    return 1 if case.stopped else 0
