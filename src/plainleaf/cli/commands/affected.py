"""The command `plainleaf affected`: which records of packets a change of content touches."""

from __future__ import annotations

import argparse
import sys

from plainleaf.authoring.affected import affected
from plainleaf.cli.commands.opened import places_of


def run(arguments: argparse.Namespace) -> int:
    """Print the table; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    sys.stdout.write(affected(arguments.folder, places_of(arguments)))
    return 0
