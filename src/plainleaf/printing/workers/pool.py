"""Two presses: processes that lay out pages beside the main one.

A packet is two documents, and a machine has two cores or more: one press lays out the handout, the
other the nurse's sheet; what the sheet says of the handout's pages comes when both are laid out.
A renderer that crashes takes no file along. A press ends by itself when the main process is gone.
"""

from __future__ import annotations

import os
import pickle
import signal
import subprocess
import sys
import threading
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import IO, Any

from plainleaf.printing.renderer.layout import Laid, Pdf, Sheet, lay
from plainleaf.printing.workers.worker import send
from plainleaf.vocabulary.errors import PlainleafError, RenderError

_STOPPED = "the process that lays out the pages stopped"
_SERVE = "from plainleaf.printing.workers.worker import serve; serve"
# Forking after libraries are loaded is safe on Linux only.
FORKS = sys.platform == "linux"


class Pressed:
    """A sheet on a press. Its page numbers and its PDF are waited for when they are asked.

    Several threads may ask.
    """

    def __init__(self, press: Press) -> None:
        self._press = press
        self._asking = threading.RLock()
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
        with self._asking:
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
        with self._asking:
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
        with self._asking:
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

    def rest(self) -> None:
        """Let the process clear up what is left of earlier sheets."""
        if self._last is not None:
            self._last.clear()
        with suppress(RenderError):  # whoever asks it for more will hear that it is gone
            self.send(None)

    def send(self, message: Sheet | Mapping[str, str] | None) -> None:
        """Hand the process a sheet, the late texts of the last one, or nothing for now.

        Raises:
            RenderError: The process is gone.
        """
        try:
            send(self._to, message)
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

    def rest(self) -> None:
        """Nothing: dead objects are looked for as usual here."""


def _process(*sibling: int) -> subprocess.Popen[bytes]:
    """A new process that serves, in a group of its own, so that it can be ended whole."""
    source = str(Path(__file__).resolve().parents[3])
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

    def rest(self) -> None:
        """Let both clear up, while nothing waits for them."""
        self._handout.rest()
        self._sheet.rest()

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
