"""How fast a packet is made, and how much memory it takes, against a browser printing the same.

Run by hand:  python tests/benchmarks/bench_packet.py [--runs 5] [--example NAME]

The browser is the machine's own Chromium, headless, if there is one; it prints the same HTML of
handout, teach-back sheet and card, one new process a file. It stands for "print it from a web
page", the other way to get such pages. Runs alternate (A B A B), so that a busy machine hurts both
alike. Ratios are what counts; times belong to one machine and one day.
"""

from __future__ import annotations

import argparse
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests")]

from laying import fonts_ready  # noqa: E402
from packets import PLACES, Packet, decision_from, make, settled_text, worded  # noqa: E402

from plainleaf.packet.build import build  # noqa: E402
from plainleaf.printing.workers import Workers  # noqa: E402

# Aims: cold at most so many times Chromium's time, warm below it, peak memory, facts to words.
COLD_AIM, WARM_AIM, MEMORY_AIM, WORDS_AIM = 1.5, 1.0, 120.0, 10.0
# Builds one packet in a process of its own; prints the peak memory of it and of each worker, KiB.
ALONE = """
import re, sys
from pathlib import Path
from plainleaf.cli.main import main
from plainleaf.printing.workers import Workers

# A new process inherits the high-water mark of the one that started it; the kernel's own does not.
def peak(process):
    return re.search(r"VmHWM:\\s*([0-9]+)", Path("/proc", str(process), "status").read_text())[1]

peaks = []
stop = Workers.stop
def measured(workers):
    peaks.extend(map(peak, workers.processes))
    stop(workers)
Workers.stop = measured
status = main()
print("peak", peak("self"), *peaks)
sys.exit(status)
"""
BROWSERS = ("/usr/bin/chromium", "chromium", "chromium-browser", "google-chrome")
Timed = Callable[[], float]


def seconds(work: Callable[[], object]) -> float:
    """How long a piece of work takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def alternate(ways: dict[str, Timed], runs: int) -> dict[str, list[float]]:
    """Each way once to warm up, then in turns."""
    for way in ways.values():
        way()
    times: dict[str, list[float]] = {name: [] for name in ways}
    for _ in range(runs):
        for name, way in ways.items():
            times[name].append(way())
    return times


class Bench:
    """One patient file, its packet and the HTML that was printed."""

    def __init__(self, example: str, folder: Path) -> None:
        self.folder = folder
        self.text = settled_text(base=example)
        self.file = folder / "patient.yaml"
        self.file.write_text(self.text, encoding="utf-8")
        self.peaks = [0.0, 0.0]
        self.pages = self._pages()

    def _pages(self) -> list[Path]:
        """The HTML pages that the printer gets, kept for the browser."""
        from plainleaf.printing.html import Printer

        kept: dict[str, str] = {}
        usual = Printer.html

        def keeping(printer: Printer, template: str, css: str, *more: Any, **named: Any) -> str:
            html = usual(printer, template, css, *more, **named)
            if not named.get("phone_links"):
                kept[template] = html
            return html

        Printer.html = keeping  # type: ignore[assignment, method-assign]
        try:
            self.packet: Packet = make(self.text)
        finally:
            Printer.html = usual  # type: ignore[method-assign]
        paths = []
        for template, html in kept.items():
            paths.append(self.folder / template.removesuffix(".j2"))
            paths[-1].write_text(html, encoding="utf-8")
        assert len(paths) == 3
        return paths

    def cold(self) -> float:
        """A packet by a new process, as the command line does it."""
        out = self.folder / "out"
        arguments = ["build", str(self.file), "--out", str(out)]
        env = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
        start = time.perf_counter()
        done = subprocess.run(
            [sys.executable, "-c", ALONE, *arguments],
            env=env, check=True, capture_output=True, text=True,
        )  # fmt: skip
        taken = time.perf_counter() - start
        own, *workers = (int(kib) / 1024 for kib in done.stdout.split("peak ")[1].split())
        assert len(workers) == 2
        peaks = (own, max(workers))
        self.peaks = [max(pair) for pair in zip(self.peaks, peaks, strict=True)]
        return taken

    def alone(self) -> float:
        """A packet in this one process, which has made one before."""
        return seconds(lambda: build(decision_from(self.text), PLACES))

    def warm(self, workers: Workers) -> float:
        """A packet by workers that run already, as a service would make many."""
        return seconds(lambda: build(decision_from(self.text), PLACES, workers))

    def words(self) -> float:
        """From facts to words: select, fill and word."""
        decision = decision_from(self.text)
        return seconds(lambda: worded(decision))

    def browser(self, program: str) -> float:
        """The same pages by a browser: one new process a file."""
        start = time.perf_counter()
        for page in self.pages:
            with tempfile.TemporaryDirectory() as profile:
                subprocess.run(
                    [program, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
                     "--disable-background-networking", "--disable-extensions",
                     f"--user-data-dir={profile}", "--no-pdf-header-footer",
                     f"--print-to-pdf={page.with_suffix('.pdf')}", page.as_uri()],
                    check=True, capture_output=True,
                )  # fmt: skip
        return time.perf_counter() - start


def middle(times: list[float]) -> str:
    """Median with least and most, in seconds."""
    return f"{statistics.median(times):7.3f} s  ({min(times):.3f} to {max(times):.3f})"


def verdict(name: str, value: float, aim: float, unit: str) -> str:
    """One line of the table of aims."""
    met = "met" if value <= aim else "NOT MET"
    return f"  {name:42}{value:8.2f} {unit:4} aim {aim:g} {unit:4} {met}"


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--example", default="gj-pump-overnight")
    chosen = parser.parse_args()
    program = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(chosen.example, Path(folder))
        with Workers(fonts_ready()) as workers:
            ways: dict[str, Timed] = {
                "cold": bench.cold,
                "alone": bench.alone,
                "warm": lambda: bench.warm(workers),
            }
            if program is not None:
                ways["browser"] = lambda: bench.browser(program)
            times = alternate(ways, chosen.runs)
        words = sorted(bench.words() for _ in range(50))
    sizes = ", ".join(f"{name} {len(data):,}" for name, data in sorted(bench.packet.files.items()))
    print(f"{chosen.example}: {sizes} bytes; {chosen.runs} runs in turns after one to warm up")
    print(f"  packet, new process           {middle(times['cold'])}")
    print(f"  packet, one warm process      {middle(times['alone'])}")
    print(f"  packet, warm with two workers {middle(times['warm'])}")
    if program is not None:
        print(f"  Chromium, a process a file    {middle(times['browser'])}")
        ratios = {
            name: statistics.median(
                [ours / theirs for ours, theirs in zip(times[name], times["browser"], strict=True)]
            )
            for name in ("cold", "warm")
        }
        print("Aims, as the median of paired ratios:")
        print(verdict("cold packet / Chromium", ratios["cold"], COLD_AIM, "x"))
        print(verdict("warm packet / Chromium", ratios["warm"], WARM_AIM, "x"))
        print("  A warm browser is not measured: that needs a driver, which is no dependency.")
    else:
        print("  No Chromium on this machine: no ratios.")
    print(verdict("peak memory, the process itself", bench.peaks[0], MEMORY_AIM, "MiB"))
    print(verdict("peak memory, the larger worker", bench.peaks[1], MEMORY_AIM, "MiB"))
    print(verdict("facts to words", statistics.median(words) * 1000, WORDS_AIM, "ms"))


if __name__ == "__main__":
    main()
