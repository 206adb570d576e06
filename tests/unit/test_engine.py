"""The renderer as it is used here: what it needs, and that a host program notices nothing of it."""

from __future__ import annotations

import ctypes.util
import importlib
import json
import logging
import os
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from builders import ROOT
from laying import laid

from plainleaf.printing.renderer import engine
from plainleaf.vocabulary.errors import RenderError

PAGE = '<html lang="en"><head><title>t</title></head><body><p>One</p></body></html>'
# Every helper program that is run (sys.addaudithook: "Audit events table" of the Python manual).
WATCHED = """
import sys
programs = []
STARTS = ("subprocess.Popen", "os.exec", "os.posix_spawn", "os.spawn", "os.system", "os.fork")
sys.addaudithook(lambda event, given: programs.append(str(given)) if event in STARTS else None)
"""


def run(code: str, *first_on_path: Path) -> str:
    """What a program prints; it must end well and complain of nothing."""
    path = (*map(str, first_on_path), str(ROOT / "src"), str(ROOT / "tests"))
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(path)},
        capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


def test_no_helper_program_runs_to_make_a_pdf_and_read_it_back() -> None:
    work = f"""
from laying import laid
from plainleaf.printing.inspection.read_pdf import read_back
import plainleaf
assert "One" in read_back(laid({PAGE!r}).data).pages[0].text
print(programs)
"""
    assert run(WATCHED + work) == "[]\n"


def test_a_helper_program_would_be_seen() -> None:
    work = 'import ctypes.util\nctypes.util.find_library("pango-1.0")\nprint(len(programs) > 0)'
    assert run(WATCHED + work) == f"{engine._ASKS_PROGRAMS}\n"


def test_libraries_that_the_loader_does_not_know_by_file_name_are_looked_for() -> None:
    """As where they stand in folders that only the system's own search knows."""
    work = f"""
import sys
from plainleaf.printing.renderer import engine
first = engine.importlib.import_module
def refusing(name):
    engine.importlib.import_module = first
    raise OSError("cannot load library")
engine.importlib.import_module = refusing
from laying import laid
print(laid({PAGE!r}).pages)
"""
    assert run(work) == "1\n"


def fresh() -> Callable[[], object]:
    """`load`, as in a process in which it was not asked yet."""
    unkept: Callable[[], object] = engine.load.__wrapped__
    return unkept


def test_libraries_that_are_missing_are_one_clear_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def missing(name: str) -> object:
        print("a long explanation\nof several lines")
        raise OSError("cannot load library 'libpango-1.0-0': not there\nand more")

    monkeypatch.setattr(engine.importlib, "import_module", missing)
    with pytest.raises(RenderError) as raised:
        fresh()()
    assert str(raised.value) == (
        "the libraries that lay out pages cannot be loaded: cannot load library "
        "'libpango-1.0-0': not there. Install Pango, HarfBuzz and fontconfig as README.md says."
    )
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize("other", ["68.1", "71.0", "700.0"])
def test_another_version_is_one_clear_line(other: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engine, "version", lambda _: other)
    with pytest.raises(RenderError) as raised:
        fresh()()
    assert str(raised.value) == (
        f"WeasyPrint {other} is installed, and pages are made and checked with 69 and 70 only: "
        "pip install 'weasyprint>=69,<71'"
    )


@pytest.mark.parametrize("known", ["69.0", "70.0", "70.3"])
def test_versions_that_were_checked_are_taken(known: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engine, "version", lambda _: known)
    assert fresh()() is importlib.import_module("weasyprint")


def noticed() -> dict[str, object]:
    """What a host program could notice."""
    loggers = [logging.getLogger(name) for name in (None, "weasyprint", "fontTools")]
    pdf, tags = (importlib.import_module(f"weasyprint.{name}") for name in ("pdf", "pdf.tags"))
    return {
        "environment": dict(os.environ),
        "loggers": [(log.handlers[:], log.level, log.propagate) for log in loggers],
        "renderer": (tags._build_box_tree, pdf.build_fonts_dictionary),
        "search": ctypes.util.find_library,
        "streams": (sys.stdout, sys.stderr),
        "main": sys.modules["__main__"],
        "folder": Path.cwd(),
    }


@pytest.mark.parametrize("body", ["<p>One</p>", "<p>One", '<p style="colour: red">One</p>'])
@pytest.mark.parametrize("theirs", [None, "/etc/fonts/fonts.conf"])
def test_a_host_program_is_as_it_was(
    body: str, theirs: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    if theirs is None:
        monkeypatch.delenv("FONTCONFIG_FILE", raising=False)
    else:
        monkeypatch.setenv("FONTCONFIG_FILE", theirs)
    laid(PAGE)
    before = noticed()
    try:
        laid(PAGE.replace("<p>One</p>", body))
    except RenderError:
        assert body != "<p>One</p>"
    assert noticed() == before


def test_the_renderer_takes_one_thread_at_a_time() -> None:
    pages = [PAGE.replace("One", "One " * count) for count in range(1, 9)]
    alone = [laid(page) for page in pages]
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(laid, pages)) == alone


@pytest.mark.thorough
def test_threads_decide_at_once() -> None:
    """Nothing of one decision reaches another that is made at the same time."""
    work = """
import json, sys
from concurrent.futures import ThreadPoolExecutor
import plainleaf
from builders import EXAMPLES, text_with
def decided(name):
    decision = plainleaf.decide(text_with(base=name), plainleaf.open_teaching(), policy)
    chosen = [(ruling.statement, ruling.answer) for ruling in decision.selection.rulings]
    return chosen, repr(decision.findings)
policy = plainleaf.open_policy()
names = list(EXAMPLES)
with ThreadPoolExecutor(4) as pool:
    at_once = list(pool.map(decided, names))
print(json.dumps(at_once == [decided(name) for name in names]))
"""
    assert json.loads(run(work)) is True
