"""Two presses: processes that lay out pages beside the main one.

A packet is two documents, and a machine has two cores or more: one press lays out the handout, the
other the nurse's sheet; what the sheet says of the handout's pages comes when both are laid out.
A renderer that crashes takes no file along. A press ends by itself when the main process is gone.
"""

from __future__ import annotations

import gc
import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import IO, Any

from plainleaf.errors import PlainleafError, RenderError
from plainleaf.typeset import Laid, Pdf, Sheet, lay

# How often to look for dead objects while pages are laid out and written: nearly all of them live
# until then. An eighth off the time. What the layout of a form leaves is looked for once.
_SELDOM = (50_000, 20, 50)
_STOPPED = "the process that lays out the pages stopped"
_SERVE = "from plainleaf.press import serve; serve"
# Forking after libraries are loaded is safe on Linux only.
FORKS = sys.platform == "linux"


def serve(*sibling: int) -> None:
    """A press's own loop, until its input ends.

    A sheet comes in and its page numbers go out; then either its late texts come in and the PDF
    goes out, or another sheet comes in because the pages are not to be kept.

    Args:
        sibling: Where a second press reads and writes, which is forked when this one is warm.
    """
    incoming, outgoing = sys.stdin.buffer, sys.stdout.buffer
    import weasyprint  # noqa: F401  (the slow part of the start, done once and while nothing waits)

    gc.collect()
    gc.freeze()  # what is loaded stays
    if sibling and os.fork() == 0:
        # The first press's ends must not be held open here.
        for own in (incoming, outgoing):
            own.close()
        incoming, outgoing = os.fdopen(sibling[0], "rb"), os.fdopen(sibling[1], "wb")
    else:
        for end in sibling:
            os.close(end)
    with suppress(BrokenPipeError):
        _work(incoming, outgoing)


def _work(incoming: IO[bytes], outgoing: IO[bytes]) -> None:
    gc.set_threshold(*_SELDOM)
    laid: Laid | None = None
    forms = False
    while True:
        try:
            asked: Sheet | Mapping[str, str] = pickle.load(incoming)
        except EOFError:
            return
        try:
            if isinstance(asked, Sheet):
                laid = lay(asked)
                forms = asked.forms
                _send(outgoing, (laid.pages, dict(laid.anchors)))
            else:
                assert laid is not None
                laid.finish(asked)
                if forms:
                    gc.collect()
                _send(outgoing, laid.pdf().data)
                laid = None
                gc.collect()
        except PlainleafError as error:
            _send(outgoing, error)


def _send(stream: IO[bytes], message: object) -> None:
    pickle.dump(message, stream)
    stream.flush()


class Pressed:
    """A sheet on a press. Its page numbers and its PDF are waited for when they are asked."""

    def __init__(self, press: Press) -> None:
        self._press = press
        self._laid: tuple[int, Mapping[str, int]] | None = None
        self._finishing = False
        self._pdf: Pdf | None = None
        self._failed: PlainleafError | None = None

    def _receive(self) -> Any:
        if self._failed is not None:
            raise self._failed
        try:
            return self._press.receive()
        except PlainleafError as error:
            self._failed = error
            raise

    def _wait(self) -> tuple[int, Mapping[str, int]]:
        if self._laid is None:
            pages, anchors = self._receive()
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

    def finish(self, late: Mapping[str, str] | None = None) -> None:
        """As `Laid.finish`; comes back at once."""
        if not self._finishing:
            self._finishing = True
            self._press.send(dict(late or {}))

    def clear(self) -> None:
        """Make room on the press: what is being made is waited for, a failure is kept."""
        with suppress(PlainleafError):
            self._wait()
            if self._finishing:
                self.pdf()

    def pdf(self) -> Pdf:
        """The finished PDF.

        Raises:
            RenderError: As `typeset.lay` and `Laid.pdf`, or the press stopped.
        """
        pages, anchors = self._wait()
        if self._pdf is None:
            self.finish()
            self._pdf = Pdf(self._receive(), pages, anchors)
        return self._pdf


class Press:
    """A process that lays out sheets, one after the other, by the streams to it and from it."""

    def __init__(self, to: IO[bytes], back: IO[bytes]) -> None:
        self._to = to
        self._back = back
        self._last: Pressed | None = None

    def lay(self, sheet: Sheet) -> Pressed:
        """Put a sheet on the press; comes back at once, unless the press still writes."""
        if self._last is not None:
            self._last.clear()  # empties the pipe, so that neither side waits for the other
        self.send(sheet)
        self._last = Pressed(self)
        return self._last

    def send(self, message: Sheet | Mapping[str, str]) -> None:
        """Hand the process a sheet, or the late texts of the last one.

        Raises:
            RenderError: The process is gone.
        """
        try:
            _send(self._to, message)
        except (OSError, ValueError) as error:
            raise RenderError(_STOPPED) from error

    def receive(self) -> Any:
        """The next answer.

        Raises:
            RenderError: As `typeset.lay` and `Laid.pdf`, or the process is gone.
        """
        try:
            answer = pickle.load(self._back)
        except (EOFError, pickle.UnpicklingError, OSError, ValueError) as error:
            raise RenderError(_STOPPED) from error
        if isinstance(answer, PlainleafError):
            raise answer
        return answer

    def close(self) -> None:
        """Close the streams."""
        for stream in (self._to, self._back):
            with suppress(OSError):
                stream.close()


class Here:
    """Lays out in this very process, for callers that make many packets in one."""

    def lay(self, sheet: Sheet) -> Laid:
        """The sheet, laid out."""
        return lay(sheet)


def _process(*sibling: int) -> subprocess.Popen[bytes]:
    """A new process that serves, in a group of its own, so that it can be ended whole."""
    source = str(Path(__file__).resolve().parents[1])
    paths = [source, *filter(None, [os.environ.get("PYTHONPATH")])]
    return subprocess.Popen(
        [sys.executable, "-c", f"{_SERVE}({', '.join(map(str, sibling))})"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
        pass_fds=sibling,
        start_new_session=True,
    )


def _press(process: subprocess.Popen[bytes]) -> Press:
    assert process.stdin is not None
    assert process.stdout is not None
    return Press(process.stdin, process.stdout)


class Presses:
    """A press for the handout and one for the nurse's sheet, for the time of a with block.

    `start` may come earlier, so that both warm up while something else is read. Where a warm
    process can be forked, it is warmed up once for both.
    """

    def __init__(self) -> None:
        self._handout: Press | Here = Here()
        self._sheet: Press | Here = Here()
        self._processes: list[subprocess.Popen[bytes]] = []

    @property
    def groups(self) -> tuple[int, ...]:
        """The process groups of the presses that were started."""
        return tuple(process.pid for process in self._processes)

    def lay_handout(self, sheet: Sheet) -> Laid | Pressed:
        """A handout on the first press."""
        return self._handout.lay(sheet)

    def lay_sheet(self, sheet: Sheet) -> Laid | Pressed:
        """The nurse's sheet, or another paper, on the second press."""
        return self._sheet.lay(sheet)

    def start(self) -> Presses:
        """Start the processes, unless they run."""
        if not self._processes:
            if FORKS:
                self._start_one_for_both()
            else:
                self._processes = [_process(), _process()]
                self._handout, self._sheet = map(_press, self._processes)
        return self

    def _start_one_for_both(self) -> None:
        its_in, to = os.pipe()
        back, its_out = os.pipe()
        process = _process(its_in, its_out)
        for end in (its_in, its_out):
            os.close(end)
        self._processes = [process]
        self._handout = _press(process)
        self._sheet = Press(os.fdopen(to, "wb"), os.fdopen(back, "rb"))

    def stop(self) -> None:
        """End the processes, whatever they do; once, because their numbers are free after that."""
        ended, self._processes = self._processes, []
        for process in ended:
            with suppress(ProcessLookupError):
                _end(process)
            process.wait()
        for press in (self._handout, self._sheet):
            if isinstance(press, Press):
                press.close()

    def __enter__(self) -> Presses:
        return self.start()

    def __exit__(self, *_: object) -> None:
        self.stop()


def _end(process: subprocess.Popen[bytes]) -> None:
    if hasattr(os, "killpg"):
        os.killpg(process.pid, signal.SIGKILL)
    else:
        process.kill()
