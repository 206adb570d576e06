"""The last line of defence: no run ends in a traceback, whatever happens.

It imports nothing of the program, so that it stands before the rest is loaded.
"""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

DEBUG = "--debug"
# 128 and the number of the signal, as shells count.
INTERRUPTED = 130
COULD_NOT_RUN = 2
_HERE = Path(__file__).resolve().parents[1]


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
    frames = traceback.extract_tb(error.__traceback__)
    named = [frame for frame in frames if frame.filename != __file__] or frames
    own = [frame for frame in named if Path(frame.filename).is_relative_to(_HERE)] or named
    frame = own[-1]
    return f"{type(error).__name__} in {Path(frame.filename).name}, line {frame.lineno}"


def _tell(text: str) -> None:
    with suppress(OSError, ValueError):
        print(text, file=sys.stderr, flush=True)


def _let_go() -> None:
    """Write what waits; where that fails, it must not fail again when the program ends."""
    for stream in (sys.stdout, sys.stderr):
        try:
            if stream is not None:
                stream.flush()
        except (OSError, ValueError):
            with suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
