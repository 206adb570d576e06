"""The commands: arguments in, the file of one command, words and an exit status out."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Sequence

from plainleaf.cli.arguments import parser
from plainleaf.printing.workers.pool import Presses
from plainleaf.vocabulary.errors import PlainleafError

# Errors of the finished packet are status 1: the files were read, but no packet may go out.
_NOT_FIT = ("CheckError", "RenderError", "LocaleError", "ReplaceError")


def main(argv: Sequence[str] | None = None, presses: Presses | None = None) -> int:
    """Run one command; messages of expected errors go to standard error, one line a fault.

    Args:
        presses: Those that run already; without them a command that prints starts its own.
    """
    arguments = parser().parse_args(argv)
    arguments.presses = presses or Presses()
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    try:
        command = importlib.import_module(f"plainleaf.cli.commands.{arguments.command}")
        status: int = command.run(arguments)
        return status
    except PlainleafError as error:
        sys.stderr.write(f"{error}\n")
        return 1 if type(error).__name__ in _NOT_FIT else 2
    except BrokenPipeError:
        return 0
