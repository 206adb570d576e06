"""The one place where the program writes to a screen or into a pipe.

Whatever is echoed (a name, a finding, a file's name) may come from outside: nothing of it moves
the cursor, turns the direction of a line, hides letters or runs on without end.
"""

from __future__ import annotations

import json
import os
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from typing import Any, TextIO, cast

from plainleaf.cli.progress import Progress
from plainleaf.vocabulary.errors import DeliveryError

# Letters of one line that people read.
LONGEST_LINE = 300
# What is kept of a longer one, with a sign between.
_HEAD, _TAIL = 149, 150
# Control characters but tab and line feed, marks that turn the direction of a line (Unicode TR 9),
# letters without any shape, and halves of letters.
_HIDDEN = (
    "\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u115f\u1160\u180e\u200b\u200e\u200f\u2028-\u202e"
    "\u2060-\u206f\u3164\ufeff\uffa0\ufff9-\ufffb\ud800-\udfff\U000e0000-\U000e007f"
)
_UNSAFE = re.compile(f"[{_HIDDEN}]")
# Two more, which some languages write with: they stay in documents and go from messages.
_UNSEEN = re.compile(f"[{_HIDDEN}\u200c\u200d]")
_INSTEAD = "\N{REPLACEMENT CHARACTER}"


def one_line(text: str) -> str:
    """A text as one line that shows all it holds; too long a one loses its middle.

    A name comes first in a message and what is wrong comes last, so both ends stay.

    >>> one_line("a\\x1b[2Jb\\nc")
    'a\ufffd[2Jb c'
    """
    line = _UNSEEN.sub(_INSTEAD, re.sub(r"[\t\r\n]+", " ", text.strip("\r\n")).rstrip())
    return line if len(line) <= LONGEST_LINE else f"{line[:_HEAD]}…{line[-_TAIL:]}"


def say(lines: Iterable[str]) -> None:
    """Lines for people on standard output; whatever an item holds, it is one line."""
    sys.stdout.writelines(f"{one_line(line)}\n" for line in lines)


def say_text(text: str) -> None:
    """A text of several lines for people on standard output."""
    say(text.splitlines())


def complain(lines: Iterable[str]) -> None:
    """Lines on the error stream: faults, remarks, what was refused."""
    sys.stderr.writelines(f"{one_line(line)}\n" for line in lines)


def print_document(text: str) -> None:
    """A file's text on standard output, to be kept: its lines stay as long as they are."""
    sys.stdout.write(text)


def print_json(data: Any) -> None:
    """Data for programs on standard output; what nobody can see is written as its escape."""
    text = json.dumps(data, ensure_ascii=False, indent=1)
    sys.stdout.write(_UNSAFE.sub(lambda sign: json.dumps(sign[0])[1:-1], text) + "\n")


class _Stream:
    """A text stream that lets no hidden sign through and survives that its reader goes away."""

    def __init__(self, stream: TextIO | None, name: str, before: Callable[[], None]) -> None:
        self._stream, self._name, self._before = stream, name, before

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)

    def write(self, text: str) -> int:
        """Write a text.

        Raises:
            DeliveryError: The stream is closed, or what it is kept on is full.
        """
        if self._stream is None:
            raise DeliveryError(f"{self._name}: is closed, so that nothing can be shown.")
        self._before()
        with self._reader():
            self._stream.write(_UNSAFE.sub(_INSTEAD, text))
        return len(text)

    def writelines(self, lines: Iterable[str]) -> None:
        """Write several texts."""
        for line in lines:
            self.write(line)

    def flush(self) -> None:
        """Pass on what was written.

        Raises:
            DeliveryError: What it is kept on is full.
        """
        if self._stream is not None:
            with self._reader():
                self._stream.flush()

    @contextmanager
    def _reader(self) -> Iterator[None]:
        try:
            yield
        except BrokenPipeError:
            self._give_up()
        except OSError as error:
            self._give_up()
            raise DeliveryError(f"{self._name}: cannot be written: {error.strerror}.") from error

    def _give_up(self) -> None:
        """What is still to be written goes nowhere: the reader has seen enough."""
        with suppress(OSError, ValueError):
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, cast(TextIO, self._stream).fileno())
            os.close(nowhere)


class _ErrorStream(_Stream):
    """The error stream: where it cannot be written, nobody can be told."""

    def write(self, text: str) -> int:
        """Write a text, if that is possible."""
        with suppress(DeliveryError):
            super().write(text)
        return len(text)

    def flush(self) -> None:
        """Pass on what was written, if that is possible."""
        with suppress(DeliveryError):
            super().flush()


@contextmanager
def safe_streams() -> Iterator[Progress]:
    """Standard output and the error stream made safe, for the time of a with block.

    Gives what shows progress: on the error stream, if that is a terminal.

    Raises:
        DeliveryError: What was printed could not be written.
    """
    before = sys.stdout, sys.stderr
    for stream in before:
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    with Progress(sys.stderr) as progress:
        sys.stdout = cast(TextIO, _Stream(before[0], "standard output", progress.clear))
        sys.stderr = cast(TextIO, _ErrorStream(before[1], "the error stream", progress.clear))
        try:
            yield progress
        finally:
            safe = sys.stdout, sys.stderr
            sys.stdout, sys.stderr = before
            for stream in safe:
                stream.flush()
