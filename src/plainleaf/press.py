"""Two presses: processes that lay out pages beside the main one.

A packet is two documents, and the machine of a ward has two cores or more. The first press lays
out the handout; as soon as its page numbers are known the second lays out the nurse's sheet, while
the first still writes. Each process stays small, and a renderer that crashes takes no file along.
A press ends by itself when the main process is gone.
"""

from __future__ import annotations

import gc
import os
import pickle
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import IO, Any

from plainleaf.errors import PlainleafError, RenderError
from plainleaf.typeset import Laid, Pdf, Sheet, lay

# How often to look for dead objects while pages are laid out: they live until the document is
# written. An eighth off the layout of a handout and no memory on top; a form would take more.
_SELDOM = (50_000, 20, 50)
_SERVE = "from plainleaf.press import serve; serve()"


def serve() -> None:
    """The press's own loop: sheets in, page numbers and then the PDF out, until input ends."""
    incoming, outgoing = sys.stdin.buffer, sys.stdout.buffer
    import weasyprint  # noqa: F401  (the slow part of the start, done while nothing waits)

    gc.collect()
    gc.freeze()  # what is loaded stays
    usual = gc.get_threshold()
    while True:
        try:
            sheet: Sheet = pickle.load(incoming)
        except EOFError:
            return
        gc.set_threshold(*(usual if sheet.forms else _SELDOM))
        try:
            laid = lay(sheet)
            _send(outgoing, ("laid", laid.pages, dict(laid.anchors)))
            _send(outgoing, ("written", laid.write()))
        except PlainleafError as error:
            _send(outgoing, ("error", error))


def _send(stream: IO[bytes], message: object) -> None:
    pickle.dump(message, stream)
    stream.flush()


class Pressed:
    """A sheet on a press. Its page numbers and its PDF are waited for when they are asked."""

    def __init__(self, stream: IO[bytes]) -> None:
        self._stream = stream
        self._laid: tuple[int, Mapping[str, int]] | None = None
        self._pdf: Pdf | None = None

    def _next(self) -> Any:
        try:
            kind, *rest = pickle.load(self._stream)
        except (EOFError, pickle.UnpicklingError, OSError) as error:
            raise RenderError("the process that lays out the pages stopped") from error
        if kind == "error":
            raise rest[0]
        return rest

    def _wait(self) -> tuple[int, Mapping[str, int]]:
        if self._laid is None:
            pages, anchors = self._next()
            self._laid = (pages, anchors)
        return self._laid

    @property
    def pages(self) -> int:
        """Number of pages; errors as `pdf`."""
        return self._wait()[0]

    @property
    def anchors(self) -> Mapping[str, int]:
        """Anchor → page; errors as `pdf`."""
        return self._wait()[1]

    def pdf(self) -> Pdf:
        """The finished PDF.

        Raises:
            RenderError: As `typeset.lay`, or the press stopped.
        """
        pages, anchors = self._wait()
        if self._pdf is None:
            self._pdf = Pdf(self._next()[0], pages, anchors)
        return self._pdf


class Press:
    """One process that lays out sheets, one after the other."""

    def __init__(self) -> None:
        source = str(Path(__file__).resolve().parents[1])
        paths = [source, *filter(None, [os.environ.get("PYTHONPATH")])]
        self._process = subprocess.Popen(
            [sys.executable, "-c", _SERVE],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
        )
        self._last: Pressed | None = None

    def lay(self, sheet: Sheet) -> Pressed:
        """Put a sheet on the press; comes back at once."""
        if self._last is not None:
            self._last.pdf()  # empties the pipe, so that neither side waits for the other
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        try:
            _send(self._process.stdin, sheet)
        except OSError as error:
            raise RenderError("the process that lays out the pages stopped") from error
        self._last = Pressed(self._process.stdout)
        return self._last

    def stop(self) -> None:
        """End the process, whatever it does."""
        self._process.kill()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                stream.close()
        self._process.wait()


class Here:
    """Lays out in this very process, for callers that make many packets in one."""

    def lay(self, sheet: Sheet) -> Laid:
        """The sheet, laid out."""
        return lay(sheet)


class Presses:
    """A press for the handout and one for the nurse's sheet, for the time of a with block.

    `start` may come earlier, so that the first press warms up while something else is read. The
    second warms up while the first lays out: the machine has two cores, not three.
    """

    def __init__(self) -> None:
        self._handout: Press | Here = Here()
        self._sheet: Press | Here = Here()

    def lay_handout(self, sheet: Sheet) -> Laid | Pressed:
        """A handout on the first press."""
        laid = self._handout.lay(sheet)
        if isinstance(self._handout, Press) and isinstance(self._sheet, Here):
            self._sheet = Press()
        return laid

    def lay_sheet(self, sheet: Sheet) -> Laid | Pressed:
        """The nurse's sheet, or another paper, on the second press."""
        return self._sheet.lay(sheet)

    def start(self) -> Presses:
        """Start the first process, unless it runs."""
        if isinstance(self._handout, Here):
            self._handout = Press()
        return self

    def __enter__(self) -> Presses:
        return self.start()

    def __exit__(self, *_: object) -> None:
        for press in (self._handout, self._sheet):
            if isinstance(press, Press):
                press.stop()
