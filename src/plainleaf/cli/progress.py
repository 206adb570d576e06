"""Says on the error stream what is being done, once that takes more than a second."""

from __future__ import annotations

import threading
from contextlib import suppress
from time import monotonic
from typing import Protocol

# Seconds: what is done sooner needs no word, and as often the line is written anew.
PATIENCE = 1.0


class Terminal(Protocol):
    """Where the line is shown."""

    def write(self, text: str, /) -> object: ...

    def flush(self) -> object: ...

    def isatty(self) -> bool: ...


class Progress:
    """One line that is written over, in a with block; nothing where nobody looks on.

    Calling it says what is done next.
    """

    def __init__(self, terminal: Terminal | None) -> None:
        self._terminal = terminal if terminal is not None and terminal.isatty() else None
        self._lock = threading.Lock()
        self._done = threading.Event()
        self._started = monotonic()
        self._doing = "reading the files"
        self._shown = 0

    def __call__(self, doing: str) -> None:
        """What is done from now on, in a few words."""
        self._doing = doing

    def clear(self) -> None:
        """Take the line away, before something else is written."""
        with self._lock:
            if self._shown:
                self._write("\r" + " " * self._shown + "\r")
                self._shown = 0

    def _show(self) -> None:
        while not self._done.wait(PATIENCE):
            with self._lock:
                line = f"{self._doing} … {monotonic() - self._started:.0f} s"
                self._write("\r" + line.ljust(self._shown))
                self._shown = max(self._shown, len(line))

    def _write(self, text: str) -> None:
        assert self._terminal is not None
        # A terminal that is gone ends no work.
        with suppress(OSError, ValueError):
            self._terminal.write(text)
            self._terminal.flush()

    def __enter__(self) -> Progress:
        if self._terminal is not None:
            threading.Thread(target=self._show, daemon=True).start()
        return self

    def __exit__(self, *_: object) -> None:
        self._done.set()
        self.clear()
