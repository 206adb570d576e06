"""No run ends in a traceback: what nobody foresaw is one line."""

from __future__ import annotations

import errno
import io
import sys

import pytest

from plainleaf.cli.guard import guarded
from plainleaf.cli.main import main
from plainleaf.inputs.strict_yaml import parse


def _raise(error: BaseException) -> int:
    raise error


def test_a_status_is_handed_on() -> None:
    assert guarded(lambda: 1, []) == 1


def test_an_interrupt_is_one_line_and_130(capsys: pytest.CaptureFixture[str]) -> None:
    assert guarded(lambda: _raise(KeyboardInterrupt()), []) == 130
    output = capsys.readouterr()
    assert (output.out, output.err) == ("", "plainleaf: stopped with Ctrl-C before it was done.\n")


@pytest.mark.parametrize("error", [KeyError("Walter"), RecursionError(), MemoryError()])
def test_a_fault_of_the_program_is_one_line_without_the_patient(
    error: Exception, capsys: pytest.CaptureFixture[str]
) -> None:
    assert guarded(lambda: _raise(error), ["review"]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert f"{type(error).__name__} in test_guard.py, line " in line
    assert "Tell your hospital's IT" in line and "--debug" in line
    assert "Walter" not in line


def test_the_line_names_our_own_file(capsys: pytest.CaptureFixture[str]) -> None:
    # The letters of a text are asked for in the reader of YAML; its caller is what we can mend.
    assert guarded(lambda: bool(parse(None, "f")), []) == 2  # type: ignore[arg-type]
    assert " in nodes.py, line " in capsys.readouterr().err


def test_debug_shows_the_traceback_too(capsys: pytest.CaptureFixture[str]) -> None:
    assert guarded(lambda: _raise(KeyError("a")), ["review", "--debug"]) == 2
    err = capsys.readouterr().err
    assert err.startswith("Traceback")
    assert err.splitlines()[-1].startswith("plainleaf: stopped by a fault of its own")


def test_main_is_guarded(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for error, status in ((KeyboardInterrupt(), 130), (TypeError("x"), 2)):
        monkeypatch.setattr(
            "plainleaf.cli.commands.start.run", lambda _, error=error: _raise(error)
        )
        assert main(["start", "gastrostomy"]) == status
        assert len(capsys.readouterr().err.splitlines()) == 1


class _Full(io.StringIO):
    def flush(self) -> None:
        raise OSError(errno.ENOSPC, "no room")


def test_what_cannot_be_written_at_the_end_changes_no_status(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sys, "stdout", _Full())
    assert guarded(lambda: 1, []) == 1
