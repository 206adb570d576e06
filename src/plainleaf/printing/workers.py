"""Worker processes that lay out pages, and the same work done in this process.

The renderer bears one thread at a time and may crash as a library of C may; a worker has it to
itself, and no file is lost with it. A thread here asks each worker over a pipe that nobody else
holds, so that its end is always seen. (`ProcessPoolExecutor` shares one pipe: a worker that is
killed while it hands over a file leaves it waiting for the rest for ever.)
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator, Mapping
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from contextlib import contextmanager, suppress
from multiprocessing import forkserver, spawn
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from plainleaf.printing.fonts import OwnFonts
from plainleaf.printing.renderer.engine import renderer, setting
from plainleaf.printing.renderer.layout import Pdf, Sheet, lay
from plainleaf.vocabulary.errors import PlainleafError, RenderError

STOPPED = "the process that lays out the pages stopped"
# A packet never has more to lay out at a time.
_COUNT = 2
# Loads the renderer once for all workers, where they are forked from a warm process.
_WARM = ["plainleaf.printing.renderer.warm", "plainleaf.printing.workers"]
_STARTING = threading.Lock()


class Printing:
    """A sheet that is being printed; whoever asks for its pages waits for them.

    Several threads may ask.
    """

    def __init__(self, future: Future[Pdf]) -> None:
        self._future = future

    def pdf(self) -> Pdf:
        """The finished PDF.

        Raises:
            RenderError: As `layout.lay`, or the worker stopped.
        """
        try:
            return self._future.result()
        except CancelledError as error:
            raise RenderError(STOPPED) from error

    @property
    def pages(self) -> int:
        """Number of pages; errors as `pdf`."""
        return self.pdf().pages

    @property
    def anchors(self) -> Mapping[str, int]:
        """Anchor → page; errors as `pdf`."""
        return self.pdf().anchors


class Here:
    """Lays out in this very process."""

    def lay(self, sheet: Sheet) -> Printing:
        """The sheet, printed; errors as `layout.lay`."""
        future: Future[Pdf] = Future()
        future.set_result(lay(sheet))
        return Printing(future)


class _Worker:
    """One process that prints a sheet at a time."""

    def __init__(self, fonts: Path) -> None:
        methods = multiprocessing.get_all_start_methods()
        forked = "forkserver" in methods
        context: Any = multiprocessing.get_context("forkserver" if forked else "spawn")
        self._pipe, its_end = context.Pipe()
        self.process = context.Process(target=_serve, args=(its_end, fonts), daemon=True)
        with _apart(fonts):
            if forked:
                context.set_forkserver_preload(_WARM)
                forkserver.ensure_running()
            self.process.start()
        its_end.close()

    def lay(self, sheet: Sheet) -> Pdf:
        """As `layout.lay`.

        Raises:
            RenderError: As there, or the process is gone.
        """
        try:
            self._pipe.send(sheet)
            answer = self._pipe.recv()
        except (EOFError, OSError) as error:
            self.end()
            raise RenderError(STOPPED) from error
        if isinstance(answer, PlainleafError):
            raise answer
        assert isinstance(answer, Pdf)
        return answer

    def end(self) -> None:
        """End it, whatever it does."""
        self.process.kill()
        self.process.join()


class Workers:
    """Processes that print, for the time of a with block; they end with it, whatever they do.

    `start` may come earlier, so that they warm up while something else is read.

    Args:
        fonts: What the pages are printed with.
    """

    def __init__(self, fonts: OwnFonts) -> None:
        self._fonts = fonts.configuration
        self._threads: ThreadPoolExecutor | None = None
        self._of_thread = threading.local()
        self._workers: list[_Worker] = []
        self._changing = threading.Lock()
        self._ended = False

    @property
    def processes(self) -> tuple[int, ...]:
        """The numbers of the processes."""
        return tuple(worker.process.pid for worker in self._workers)

    def start(self) -> Workers:
        """Have the processes started, unless they are; comes back at once."""
        if self._threads is None and not self._ended:
            self._threads = ThreadPoolExecutor(_COUNT)
            for _ in range(_COUNT):
                self._threads.submit(self._worker)
        return self

    def lay(self, sheet: Sheet) -> Printing:
        """Have a sheet printed; comes back at once.

        Raises:
            RenderError: They were ended.
        """
        threads = self.start()._threads
        if threads is None:
            raise RenderError(STOPPED)
        return Printing(threads.submit(lambda: self._worker().lay(sheet)))

    def _worker(self) -> _Worker:
        """The worker that this thread asks; a new one where it has none that lives.

        Raises:
            RenderError: They were ended, or no process can be started.
        """
        worker: _Worker | None = getattr(self._of_thread, "worker", None)
        if worker is None or not worker.process.is_alive():
            with self._changing:
                if self._ended:
                    raise RenderError(STOPPED)
                try:
                    worker = self._of_thread.worker = _Worker(self._fonts)
                except (EOFError, OSError) as error:
                    raise RenderError(f"{STOPPED} before it began: {error}") from error
                self._workers.append(worker)
        return worker

    def stop(self) -> None:
        """End the processes, and what waits for them with an error."""
        self._ended = True
        if self._threads is not None:
            threads, self._threads = self._threads, None
            with self._changing:
                ended, self._workers = self._workers, []
            for worker in ended:
                worker.end()
            threads.shutdown(cancel_futures=True)

    def __enter__(self) -> Workers:
        return self.start()

    def __exit__(self, *_: object) -> None:
        self.stop()


def _serve(pipe: Connection, fonts: Path) -> None:
    """A worker's own loop, until whoever started it is gone.

    Ctrl-C is for the one who started it, who ends it then. What a library prints goes where
    complaints go: standard output belongs to the command.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with suppress(OSError):
        os.dup2(2, 1)
    with suppress(RenderError):  # the first sheet says so
        renderer(fonts)
    with suppress(EOFError, OSError):
        while True:
            sheet = pipe.recv()
            try:
                answer: Pdf | PlainleafError = lay(sheet)
            except PlainleafError as error:
                answer = error
            pipe.send(answer)


@contextmanager
def _apart(fonts: Path) -> Iterator[None]:
    """Start processes that find this program and never run the host's own main file again.

    For other threads, main files are as usual meanwhile.
    """
    paths = [str(Path(__file__).resolve().parents[2]), os.environ.get("PYTHONPATH")]
    with (
        _STARTING,
        setting("PYTHONPATH", os.pathsep.join(filter(None, paths))),
        setting("FONTCONFIG_FILE", str(fonts)),
    ):
        usual, us = spawn.get_preparation_data, threading.get_ident()

        def without_main(name: str) -> dict[str, Any]:
            data = usual(name)
            own = threading.get_ident() == us
            return {k: v for k, v in data.items() if not (own and k.startswith("init_main"))}

        spawn.get_preparation_data = without_main
        try:
            yield
        finally:
            spawn.get_preparation_data = usual
