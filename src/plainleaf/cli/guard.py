"""The last line of defence: no run ends in a traceback, whatever happens.

It imports nothing of the program and little else, so that it stands before the rest is loaded.
"""

from __future__ import annotations

import os
import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from typing import TextIO

DEBUG = "--debug"
# 128 and the number of the signal, as shells count.
INTERRUPTED = 130
COULD_NOT_RUN = 2
_HERE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))


def guarded(run: Callable[[], int], arguments: Sequence[str]) -> int:
    """The exit status of a run; what nobody foresaw is one line on the error stream.

    Args:
        arguments: The command line; with --debug the traceback is shown too.
    """
    try:
        status = run()
    except KeyboardInterrupt:
        _tell("plainleaf: stopped with Ctrl-C before it was done.")
        status = INTERRUPTED
    except BrokenPipeError:
        status = 0
    except Exception as error:
        import traceback

        if DEBUG in arguments:
            _tell("".join(traceback.format_exception(error)).rstrip())
        _tell(
            f"plainleaf: stopped by a fault of its own ({_place(error)}). Tell your hospital's IT; "
            f"with {DEBUG} the same command shows them more."
        )
        status = COULD_NOT_RUN
    _let_go()
    return status


def _place(error: Exception) -> str:
    """The kind of an error and where it arose, without its words: they may tell of a patient."""
    import traceback

    frames = traceback.extract_tb(error.__traceback__)
    named = [frame for frame in frames if frame.filename != __file__] or frames
    own = [frame for frame in named if frame.filename.startswith(_HERE)] or named
    file, line = own[-1].filename, own[-1].lineno
    return f"{type(error).__name__} in {os.path.basename(file)}, line {line}"


def _tell(text: str) -> None:
    _quietly(lambda: print(text, file=sys.stderr, flush=True))


def _let_go() -> None:
    """Write what waits; where that fails, it must not fail again when the program ends."""
    for stream in (sys.stdout, sys.stderr):
        if stream is not None and not _quietly(stream.flush):
            _discard(stream)


def _discard(stream: TextIO) -> None:
    _quietly(lambda: os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno()))


def _quietly(do: Callable[[], object]) -> bool:
    """Whether something could be done to a stream; where it cannot, there is nobody to tell."""
    try:
        do()
    except (OSError, ValueError):
        return False
    return True
