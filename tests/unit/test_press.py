"""Presses: processes that lay out sheets one after the other, whatever became of the last one."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from io import BytesIO
from pathlib import Path

import pytest
from builders import ROOT
from pypdf import PdfReader

from plainleaf.printing.renderer.layout import Sheet, lay
from plainleaf.printing.workers.pool import FORKS, Pressed, Presses
from plainleaf.vocabulary.errors import RenderError

TEMPLATES = ROOT / "templates"


def sheet(body: str) -> Sheet:
    style = '<style>html { font-family: "Source Sans 3" }</style>'
    head = f"<head><title>A title</title>{style}</head>"
    return Sheet(f'<!DOCTYPE html><html lang="en">{head}<body>{body}</body></html>', TEMPLATES)


LATE = sheet('<p id="a">Page <span data-late="n">000</span></p>')
BROKEN = sheet("<p>One")


def text_of(data: bytes) -> str:
    return " ".join(PdfReader(BytesIO(data)).pages[0].extract_text().split())


@pytest.fixture(scope="module", params=[True, False], ids=["forked", "two started"])
def presses(request: pytest.FixtureRequest, fonts: Mapping[str, Path]) -> Iterator[Presses]:
    if request.param and not FORKS:
        pytest.skip("this system does not fork")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("plainleaf.printing.workers.pool.FORKS", request.param)
        with Presses() as running:
            yield running


def test_both_presses_make_the_very_file_that_is_made_here(presses: Presses) -> None:
    one = sheet("<p>One</p>")
    here = lay(one).pdf()
    for put in (presses.lay_handout, presses.lay_sheet):
        assert put(one).pdf() == here


def test_a_sheet_is_finished_with_what_was_not_known_before(presses: Presses) -> None:
    first, second = presses.lay_handout(LATE), presses.lay_sheet(LATE)
    assert (first.pages, dict(first.anchors)) == (1, {"a": 1})
    first.finish({"n": "12"})
    second.finish({"n": "3"})
    assert [text_of(laid.pdf().data) for laid in (first, second)] == ["Page 12", "Page 3"]


def test_pages_that_were_not_kept_leave_the_press_to_the_next_sheet(presses: Presses) -> None:
    for number in range(3):
        presses.lay_handout(sheet(f"<p>No {number}</p>"))
    assert text_of(presses.lay_handout(sheet("<p>Yes</p>")).pdf().data) == "Yes"


def test_the_press_goes_on_after_a_sheet_that_failed(presses: Presses) -> None:
    failed = presses.lay_handout(BROKEN)
    kept = presses.lay_handout(sheet("<p>Yes</p>"))
    assert text_of(kept.pdf().data) == "Yes"
    for _ in range(2):
        with pytest.raises(RenderError, match="not well formed"):
            failed.pdf()


def test_a_file_that_could_not_be_written_fails_each_time_it_is_asked(presses: Presses) -> None:
    failed = presses.lay_sheet(LATE)
    failed.finish({})
    for _ in range(2):
        with pytest.raises(RenderError, match="late texts"):
            failed.pdf()
    assert text_of(presses.lay_sheet(sheet("<p>Yes</p>")).pdf().data) == "Yes"


def test_a_press_that_rested_makes_the_next_sheet(presses: Presses) -> None:
    laid = [presses.lay_handout(sheet("<p>One</p>")), presses.lay_sheet(LATE)]
    laid[1].finish({"n": "7"})
    presses.rest()
    assert [text_of(one.pdf().data) for one in laid] == ["One", "Page 7"]
    assert text_of(presses.lay_sheet(sheet("<p>Two</p>")).pdf().data) == "Two"


def test_threads_that_ask_for_one_file_get_the_same(presses: Presses) -> None:
    laid = presses.lay_handout(sheet("<p>One</p>" * 300))
    with ThreadPoolExecutor(4) as pool:
        made = list(pool.map(lambda _: laid.pdf(), range(4)))
    assert made == [laid.pdf()] * 4
    assert text_of(presses.lay_handout(sheet("<p>Two</p>")).pdf().data) == "Two"


def test_a_press_that_is_gone_is_an_error_and_not_a_wait(fonts: Mapping[str, Path]) -> None:
    with Presses() as running:
        laid = running.lay_sheet(sheet("<p>One</p>"))
        assert isinstance(laid, Pressed)
        running.stop()
        with pytest.raises(RenderError, match="stopped"):
            laid.pdf()
        running.rest()
        with pytest.raises(RenderError, match="stopped"):
            running.lay_sheet(sheet("<p>Two</p>"))


@pytest.mark.parametrize("forked", [True, False])
def test_one_press_that_dies_is_an_error_and_not_a_wait(
    forked: bool, fonts: Mapping[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    if forked and not FORKS:
        pytest.skip("this system does not fork")
    monkeypatch.setattr("plainleaf.printing.workers.pool.FORKS", forked)
    with Presses() as running:
        assert running.lay_sheet(LATE).pages == 1  # both are warm
        first = running.groups[0]
        laid = running.lay_handout(sheet("<p>One</p>" * 2_000))
        os.kill(first, signal.SIGKILL)
        with pytest.raises(RenderError, match="stopped"):
            laid.pdf()
        assert text_of(running.lay_sheet(sheet("<p>Yes</p>")).pdf().data) == "Yes"


def alive(groups: tuple[int, ...]) -> list[str]:
    """Running processes of these groups (proc(5): state, parent, group after the name)."""
    found = []
    for path in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            state, _, group = path.read_text().rpartition(") ")[2].split()[:3]
            if int(group) in groups and state != "Z":
                found.append(path.parent.name)
    return found


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="needs /proc")
@pytest.mark.parametrize("warm", [True, False])
def test_no_process_is_left_behind(warm: bool, fonts: Mapping[str, Path]) -> None:
    with Presses() as running:
        if warm:
            assert running.lay_sheet(LATE).pages == 1
        running.lay_handout(sheet("<p>One</p>" * 2_000))
        groups = running.groups
        assert alive(groups)
    until = time.monotonic() + 10
    while alive(groups) and time.monotonic() < until:
        time.sleep(0.02)
    assert alive(groups) == []
    assert running.groups == ()  # a number that is free again is never ended twice
