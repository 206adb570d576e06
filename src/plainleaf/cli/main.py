"""The commands: arguments in, the file of one command, words and an exit status out."""

from __future__ import annotations

import importlib
import sys
from argparse import Namespace
from collections.abc import Sequence
from contextlib import ExitStack

from plainleaf.cli.arguments import parser
from plainleaf.cli.guard import guarded
from plainleaf.cli.progress import Progress
from plainleaf.cli.streams import complain, safe_streams
from plainleaf.inputs.files import STANDARD_INPUT
from plainleaf.printing.fonts import default_cache, own_fonts
from plainleaf.printing.workers import Workers
from plainleaf.vocabulary.errors import PlainleafError

# Lines; a file with more faults is another kind of file.
MOST_FAULTS = 200
# Errors of the finished packet are status 1: the files were read, but no packet may go out.
_NOT_FIT = ("CheckError", "RenderError", "LocaleError", "ReplaceError")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; messages of expected errors go to standard error, one line a fault."""
    words = sys.argv[1:] if argv is None else argv
    return guarded(lambda: _safely(words), words)


def _safely(words: Sequence[str]) -> int:
    try:
        with safe_streams() as progress:
            return _run(words, progress)
    except PlainleafError as error:  # what was printed could not be written
        complain(str(error).splitlines())
        return 2


def _run(words: Sequence[str], progress: Progress) -> int:
    arguments = _parsed(words)
    arguments.progress = progress
    try:
        with ExitStack() as stack:
            if _prints(arguments):
                arguments.workers = stack.enter_context(Workers(own_fonts(default_cache())))
            command = importlib.import_module(f"plainleaf.cli.commands.{arguments.command}")
            status: int = command.run(arguments)
            return status
    except PlainleafError as error:
        complain(_lines_of(error))
        return 1 if type(error).__name__ in _NOT_FIT else 2


def _prints(arguments: Namespace) -> bool:
    """Whether pages are laid out: workers warm up while what the command needs is loaded."""
    return arguments.command == "build" or getattr(arguments, "pages", False)


def _parsed(words: Sequence[str]) -> Namespace:
    """What was typed; `SystemExit` with 2 where that cannot be understood."""
    whole = parser()
    arguments = whole.parse_args(words)
    if arguments.command is None:
        whole.error("write a COMMAND; plainleaf --help lists them")
    if list(vars(arguments).values()).count(STANDARD_INPUT) > 1:
        whole.error("standard input (-) can be read once only; name a file for the others")
    return arguments


def _lines_of(error: PlainleafError) -> list[str]:
    """One line a fault, whatever the names in it hold."""
    faults = getattr(error, "faults", None)
    lines = str(error).splitlines() if faults is None else [str(fault) for fault in faults]
    rest = len(lines) - MOST_FAULTS
    return lines if rest <= 0 else [*lines[:MOST_FAULTS], f"and {rest} faults more."]
