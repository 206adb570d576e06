"""The command `plainleaf why`: why each statement is in or out."""

from __future__ import annotations

import argparse
import sys

from plainleaf import screen
from plainleaf.commands.opened import opened
from plainleaf.trace import why_sentence


def run(arguments: argparse.Namespace) -> int:
    """Print the reasons; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    case = opened(arguments)
    if arguments.sentence is None:
        sys.stdout.write(screen.why(case))
    else:
        sys.stdout.write(why_sentence(case, arguments.sentence)[0])
    return 0
