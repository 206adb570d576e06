"""Workers: processes that lay out sheets one after the other, whatever became of the last one."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from io import BytesIO
from multiprocessing.connection import Pipe
from pathlib import Path

import pytest
from builders import ROOT
from laying import sheet_of
from pypdf import PdfReader

from plainleaf.printing import workers as module
from plainleaf.printing.fonts import OwnFonts
from plainleaf.printing.renderer.layout import Sheet, lay
from plainleaf.printing.workers import Here, Workers
from plainleaf.vocabulary.errors import RenderError

pytestmark = pytest.mark.thorough

METHODS = [m for m in ("forkserver", "spawn") if m in multiprocessing.get_all_start_methods()]
needs_proc = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="reads /proc")


def sheet(body: str) -> Sheet:
    style = '<style>html { font-family: "Source Sans 3" }</style>'
    head = f"<head><title>A title</title>{style}</head>"
    return sheet_of(f'<!DOCTYPE html><html lang="en">{head}<body>{body}</body></html>')


ONE, TWO, LONG = sheet('<p id="a">One</p>'), sheet("<p>Two</p>"), sheet("<p>One</p>" * 2_000)
BROKEN = sheet("<p>One")


def text_of(data: bytes) -> str:
    return " ".join(PdfReader(BytesIO(data)).pages[0].extract_text().split())


@pytest.fixture(scope="module", params=METHODS)
def workers(request: pytest.FixtureRequest, fonts: OwnFonts) -> Iterator[Workers]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(multiprocessing, "get_all_start_methods", lambda: [request.param])
        with Workers(fonts) as running:
            yield running


def test_a_worker_makes_the_very_file_that_is_made_here(workers: Workers) -> None:
    here = lay(ONE)
    assert Here().lay(ONE).pdf() == here
    assert [laid.pdf() for laid in [workers.lay(ONE) for _ in range(4)]] == [here] * 4
    assert (here.pages, dict(here.anchors)) == (1, {"a": 1})


def test_a_worker_goes_on_after_a_sheet_that_failed(workers: Workers) -> None:
    failed = [workers.lay(BROKEN) for _ in range(3)]
    kept = workers.lay(TWO)
    assert text_of(kept.pdf().data) == "Two"
    for laid in failed * 2:
        with pytest.raises(RenderError, match="not well formed"):
            laid.pdf()


def test_threads_that_ask_for_one_file_get_the_same(workers: Workers) -> None:
    laid = workers.lay(sheet("<p>One</p>" * 300))
    with ThreadPoolExecutor(4) as pool:
        files = list(pool.map(lambda _: laid.pdf(), range(4)))
    assert files == [laid.pdf()] * 4
    assert text_of(workers.lay(TWO).pdf().data) == "Two"


def test_workers_that_were_ended_are_an_error_and_not_a_wait(fonts: OwnFonts) -> None:
    with Workers(fonts) as running:
        waiting = [running.lay(LONG) for _ in range(4)]
        running.stop()
        for laid in waiting:
            with pytest.raises(RenderError, match="the process that lays out the pages stopped"):
                laid.pdf()
        with pytest.raises(RenderError, match="stopped"):
            running.lay(TWO)


def test_a_worker_that_dies_is_an_error_and_not_a_wait(workers: Workers) -> None:
    assert [laid.pages for laid in (workers.lay(ONE), workers.lay(ONE))] == [1, 1]
    lost = [workers.lay(LONG), workers.lay(LONG)]
    time.sleep(0.2)
    for number in workers.processes:
        os.kill(number, signal.SIGKILL)
    for laid in lost:
        with pytest.raises(RenderError, match="the process that lays out the pages stopped"):
            laid.pdf()
    assert text_of(workers.lay(TWO).pdf().data) == "Two"


def test_half_an_answer_is_an_error_and_not_a_wait(
    fonts: OwnFonts, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is left in the pipe of a worker that is killed while it hands over a file."""
    with Workers(fonts) as running:
        assert running.lay(ONE).pages == 1
        for worker in running._workers:
            ours, its_end = Pipe()
            monkeypatch.setattr(worker, "_pipe", ours)
            os.write(its_end.fileno(), (1_000_000).to_bytes(4, "big") + b"half")
            its_end.close()
        with pytest.raises(RenderError, match="stopped"):
            running.lay(TWO).pdf()


def test_a_process_that_cannot_be_started_is_an_error(
    fonts: OwnFonts, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(_: object) -> None:
        raise OSError("no more processes")

    monkeypatch.setattr(multiprocessing.process.BaseProcess, "start", refused)
    with Workers(fonts) as running, pytest.raises(RenderError, match="before it began: no more"):
        running.lay(ONE).pdf()


def alive(numbers: tuple[int, ...]) -> list[int]:
    """Which of some processes run (proc(5): the state comes after the name)."""
    running = []
    for number in numbers:
        with suppress(OSError):
            state = Path(f"/proc/{number}/stat").read_text().rpartition(") ")[2].split()[0]
            running += [number] if state != "Z" else []
    return running


def gone(numbers: tuple[int, ...]) -> bool:
    until = time.monotonic() + 20
    while alive(numbers) and time.monotonic() < until:
        time.sleep(0.02)
    return not alive(numbers)


@needs_proc
def test_no_process_is_left_behind(fonts: OwnFonts) -> None:
    with Workers(fonts) as running:
        assert running.lay(ONE).pages == 1
        running.lay(LONG)
        numbers = running.processes
        assert alive(numbers)
    assert gone(numbers)
    assert running.processes == ()  # a number that is free again is never ended twice


def run(code: str, **more: str) -> subprocess.Popen[str]:
    """A host program, its tests' folder on its path, that prints with workers."""
    path = os.pathsep.join((str(ROOT / "src"), str(ROOT / "tests")))
    return subprocess.Popen(
        [sys.executable, "-W", "error", "-c", code],
        env={**os.environ, "PYTHONPATH": path, **more},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


HOST = """
from laying import fonts_ready, sheet_of
from plainleaf.printing.workers import Workers
page = sheet_of('<html lang="en"><head><title>t</title></head><body>' + %s + '</body></html>')
print("host")
with Workers(fonts_ready()) as workers:
    laid = [workers.lay(page), workers.lay(page)]
    %s
"""


@pytest.mark.parametrize("method", METHODS)
def test_the_host_s_main_file_is_not_run_again(method: str, tmp_path: Path) -> None:
    """Nor need it guard itself: a plain script prints."""
    script = tmp_path / "host.py"
    chosen = f"import multiprocessing\nmultiprocessing.get_all_start_methods = lambda: [{method!r}]"
    script.write_text(chosen + HOST % ("'<p>One</p>'", "print([one.pages for one in laid])"))
    path = os.pathsep.join((str(ROOT / "src"), str(ROOT / "tests")))
    done = subprocess.run(
        [sys.executable, str(script)],
        env={**os.environ, "PYTHONPATH": path},
        capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    assert (done.stdout, done.stderr) == ("host\n[1, 1]\n", "")


@needs_proc
@pytest.mark.parametrize("way", ["SIGINT", "SIGTERM", "SIGKILL"])
def test_workers_end_with_the_host_however_it_ends(way: str) -> None:
    doing = (
        "import time; laid[1].pages; numbers = workers.processes; workers.lay(page)\n    "
        "print(*numbers, flush=True); time.sleep(60)"
    )
    host = run(HOST % ("'<p>One</p>' * 100", doing))
    assert host.stdout is not None
    assert host.stdout.readline() == "host\n"
    numbers = tuple(map(int, host.stdout.readline().split()))
    assert len(numbers) == 2
    host.send_signal(getattr(signal, way))
    host.communicate(timeout=30)
    assert gone(numbers)


def chattering(sheet: Sheet) -> object:
    os.write(1, b"a library has something to say\n" * 5_000)
    return lay(sheet)


def test_what_a_library_prints_breaks_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    """In a worker standard output is where complaints go: it belongs to the command."""
    ours, its_end = multiprocessing.Pipe()
    serving = multiprocessing.get_context("spawn").Process(target=serve_loudly, args=(its_end,))
    serving.start()
    its_end.close()
    ours.send(ONE)
    assert ours.recv() == lay(ONE)
    ours.close()
    serving.join(30)
    out, complaints = capfd.readouterr()
    assert out == ""
    assert complaints.count("a library has something to say") == 5_000


def serve_loudly(pipe: object) -> None:
    module.lay = chattering  # type: ignore[assignment]
    serve: Callable[..., None] = module._serve
    serve(pipe, ONE.fonts.configuration)


def test_sockets_and_folders_that_others_left_do_not_matter(
    fonts: OwnFonts, tmp_path: Path
) -> None:
    (tmp_path / "pymp-left").mkdir()
    (tmp_path / "pymp-left" / "listener-left").write_bytes(b"")
    host = run(HOST % ("'<p>One</p>'", "print([one.pages for one in laid])"), TMPDIR=str(tmp_path))
    assert host.communicate(timeout=60) == ("host\n[1, 1]\n", "")
