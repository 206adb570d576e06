"""The command `plainleaf why`: why each statement is in or out."""

from __future__ import annotations

import argparse
import sys

from plainleaf.authoring.provenance.why_sentence import why_sentence
from plainleaf.cli import screen_text
from plainleaf.cli.commands.opened import decided


def run(arguments: argparse.Namespace) -> int:
    """Print the reasons; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    decision = decided(arguments)
    if arguments.sentence is None:
        sys.stdout.write(screen_text.why(decision))
    else:
        sys.stdout.write(why_sentence(decision, arguments.sentence)[0])
    return 0
