"""What is written to a screen: nothing hidden, no endless line, no crash when nobody reads."""

from __future__ import annotations

import ast
import errno
import io
import json
import sys
import unicodedata
from typing import Any

import pytest
from builders import ROOT
from hypothesis import given
from hypothesis import strategies as st

from plainleaf.cli import streams
from plainleaf.cli.progress import Progress
from plainleaf.vocabulary.errors import DeliveryError

# Unicode TR 9 (direction), ECMA-48 (control functions), letters without shape.
HOSTILE = {
    "escape": "\x1b[2J", "bell": "\x07", "delete": "\x7f", "csi": "\x9b2J", "back": "a\bb",
    "override": "\u202e", "isolate": "\u2066", "mark": "\u200f", "arabic mark": "\u061c",
    "zero-width": "\u200b", "joiner": "\u200d", "byte order": "\ufeff", "soft hyphen": "\xad",
    "tag": "\U000e0041", "half a letter": "\udc80", "line separator": "\u2028",
}  # fmt: skip


def shown_letters(text: str) -> set[str]:
    """Categories of what is in a line that could do harm."""
    return {unicodedata.category(sign) for sign in text} & {"Cc", "Cf", "Cs", "Zl", "Zp"}


@pytest.mark.parametrize("signs", HOSTILE.values(), ids=HOSTILE.keys())
def test_hidden_signs_are_shown_as_such(signs: str) -> None:
    line = streams.one_line(f"file{signs}name.yaml")
    assert shown_letters(line) == set()
    assert "\N{REPLACEMENT CHARACTER}" in line
    assert line.startswith("file") and line.endswith("name.yaml")


@given(st.text(max_size=900))
def test_whatever_is_said_is_one_short_line_of_what_can_be_seen(text: str) -> None:
    line = streams.one_line(text)
    assert len(line) <= streams.LONGEST_LINE
    assert shown_letters(line) <= {"Cf"}  # format signs of scripts that are drawn, as U+0600
    assert (
        not set(line) & set("".join(HOSTILE.values()).replace("ab", "")) & set("\x1b\u202e\u200b")
    )
    assert len(line.splitlines()) <= 1


def test_a_long_line_says_that_it_was_cut() -> None:
    assert streams.one_line("a" * 300) == "a" * 300
    assert streams.one_line("a" * 150 + "?" + "b" * 150) == "a" * 149 + "…" + "b" * 150


def test_words_of_other_scripts_stay(capsys: pytest.CaptureFixture[str]) -> None:
    with streams.safe_streams():
        streams.say(["Zoë Núñez, 李雷, عائشة, שרה"])
        streams.print_document("می\u200cخواهم\n")
    assert capsys.readouterr().out == "Zoë Núñez, 李雷, عائشة, שרה\nمی\u200cخواهم\n"


def test_documents_keep_long_lines_and_lose_hidden_signs(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with streams.safe_streams():
        streams.print_document("a" * 400 + "\x1b\n")
    assert capsys.readouterr().out == "a" * 400 + "\N{REPLACEMENT CHARACTER}\n"


def test_data_holds_hidden_signs_as_escapes(capsys: pytest.CaptureFixture[str]) -> None:
    data = {"name": "".join(HOSTILE.values()), "plain": "é"}
    with streams.safe_streams():
        streams.print_json(data)
    out = capsys.readouterr().out
    assert json.loads(out) == data
    assert "é" in out
    assert shown_letters(out.replace("\n", "").replace("\u200d", "")) == set()


class Full(io.StringIO):
    """A stream on a disk without room, or whose reader is gone."""

    def __init__(self, number: int) -> None:
        super().__init__()
        self.error = OSError(number, "no room") if number != errno.EPIPE else BrokenPipeError()

    def write(self, text: str) -> int:
        raise self.error

    def fileno(self) -> int:
        raise io.UnsupportedOperation


def test_a_full_disk_is_one_error(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", Full(errno.ENOSPC))
    says = "standard output: cannot be written: no room"
    with pytest.raises(DeliveryError, match=says), streams.safe_streams():
        streams.say(["a"])


def test_a_reader_that_is_gone_stops_no_work(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", Full(errno.EPIPE))
    with streams.safe_streams():
        streams.say(["a", "b"])


def test_a_closed_stream_is_one_error(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    with pytest.raises(DeliveryError, match="standard output: is closed"), streams.safe_streams():
        streams.say(["a"])


@pytest.mark.parametrize("stream", [None, Full(errno.ENOSPC)], ids=["closed", "full"])
def test_an_error_stream_that_fails_ends_nothing(
    stream: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stderr", stream)
    with streams.safe_streams():
        streams.complain(["a"])
    assert sys.stderr is stream


class Terminal(io.StringIO):
    """A stream on which somebody looks."""

    def isatty(self) -> bool:
        return True


def test_progress_is_one_line_that_goes_away(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("plainleaf.cli.progress.PATIENCE", 0.01)
    terminal = Terminal()
    with Progress(terminal) as progress:
        progress("laying out")
        while "laying out … 0 s" not in terminal.getvalue():
            pass
        progress.clear()
    assert "\n" not in terminal.getvalue()
    last = terminal.getvalue().rsplit("\r", 2)
    assert last[-1] == "" and last[-2].strip() == ""


def test_nobody_is_told_of_progress_without_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("plainleaf.cli.progress.PATIENCE", 0.0)
    stream = io.StringIO()
    for terminal in (stream, None):
        with Progress(terminal) as progress:
            progress("laying out")
    assert stream.getvalue() == ""


def test_what_is_done_at_once_is_not_told() -> None:
    terminal = Terminal()
    with Progress(terminal) as progress:
        progress("reading")
    assert terminal.getvalue() == ""


def test_streams_are_written_in_one_place_alone() -> None:
    """Outside of `streams.py` no command names a stream of the screen."""
    folder = ROOT / "src" / "plainleaf" / "cli"
    allowed = {"streams.py", "guard.py"}
    named = [
        f"{path.relative_to(folder)}:{node.lineno}"
        for path in sorted(folder.rglob("*.py"))
        if path.name not in allowed
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if (isinstance(node, ast.Attribute) and node.attr in ("stdout", "stderr"))
        or (isinstance(node, ast.Name) and node.id == "print")
    ]
    assert named == []
