"""How fast a patient file's text becomes findings, with teaching and policy held.

Run by hand:  python tests/benchmarks/bench_decide.py [--runs 9]

Prints milliseconds of the median run by stage, and the first decision of a new process, in which
teaching and policy are opened. They belong to one machine and one day; the aim is for two cores.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests")]

import yaml  # noqa: E402
from builders import _words  # noqa: E402
from format_2 import NAMES, data_with, with_codes  # noqa: E402

import plainleaf  # noqa: E402
from plainleaf.facts import derive  # noqa: E402
from plainleaf.inputs.patient import patient_from_text  # noqa: E402
from plainleaf.rules.findings import judge  # noqa: E402
from plainleaf.rules.select import select  # noqa: E402

# Milliseconds from the text of a patient file to its findings.
AIM = 50.0
T = TypeVar("T")


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """What comes out, and the milliseconds it took."""
    began = time.perf_counter()
    result = work()
    return result, (time.perf_counter() - began) * 1000


def files() -> dict[str, str]:
    """The examples, and the given order sets with the codes of their decisions."""
    texts = {
        p.stem: p.read_text(encoding="utf-8") for p in sorted((ROOT / "examples").glob("*.yaml"))
    }
    for name in NAMES:
        texts[name] = yaml.safe_dump(_words(with_codes(data_with(base=name))), allow_unicode=True)
    return texts


def stages(text: str, teaching: plainleaf.Teaching, policy: plainleaf.Policy) -> list[float]:
    """Milliseconds to read, derive, select and judge one text, and to decide it whole."""
    library = teaching.library
    patient, reading = timed(lambda: patient_from_text(text, "patient", policy.named))
    facts, deriving = timed(lambda: derive(patient, policy, library.medicine_words))
    _, selecting = timed(lambda: select(library, facts))
    _, judging = timed(lambda: judge(library.rules, facts, patient))
    _, whole = timed(lambda: plainleaf.decide(text, teaching, policy))
    return [reading, deriving, selecting, judging, whole]


def main() -> int:
    """Print the figures; 1 where the aim is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=9)
    runs = parser.parse_args().runs
    teaching, opening = timed(plainleaf.open_teaching)
    policy, reading = timed(plainleaf.open_policy)
    print(f"teaching opened in {opening:.0f} ms, policy in {reading:.0f} ms, once")
    print(f"{'':32}{'read':>8}{'derive':>8}{'select':>8}{'judge':>8}{'whole':>8}")
    slowest = 0.0
    for name, text in files().items():
        measured = [stages(text, teaching, policy) for _ in range(runs)]
        medians = [statistics.median(column) for column in zip(*measured, strict=True)]
        slowest = max(slowest, medians[-1])
        print(f"{name:32}" + "".join(f"{figure:8.1f}" for figure in medians))
    print(f"text to findings: {slowest:.1f} ms (aim {AIM:g})")
    return int(slowest > AIM)


if __name__ == "__main__":
    sys.exit(main())
