"""Reads files that somebody names: ordinary ones, of a bounded size, or standard input.

Every file from outside comes through here, so that a device, a pipe, a folder or a file without
end is refused at once in one line, and never waited for.
"""

from __future__ import annotations

import json
import os
import stat
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any, BinaryIO

from plainleaf.vocabulary.errors import Fault

# What `-` on the command line stands for; messages name it by its last part, `stdin`.
STANDARD_INPUT = Path("/dev/stdin")
# Bytes. A patient file, a policy or a teaching file holds a few pages of text, a record some
# hundred kilobytes, a bundle or a returned sheet may carry papers.
LARGEST_TEXT = 2_000_000
LARGEST_CATALOG = 20_000_000
LARGEST_BUNDLE = 20_000_000
LARGEST_RECORD = 50_000_000
LARGEST_PAPER = 100_000_000
# What is no ordinary file, by the test that tells it.
_OTHER_KINDS: tuple[tuple[Callable[[int], bool], str], ...] = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)


class Unreadable(Exception):
    """A file cannot be read, or its text is not of the strict kind; `fault` says where and why."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(str(fault))
        self.fault = fault

    def naming(self, instead: str) -> str:
        """The fault in one line, with what to name in its place."""
        return str(replace(self.fault, instead=instead))


def read_bytes(path: Path, largest: int) -> bytes:
    """The content of an ordinary file, or of standard input.

    Args:
        largest: Bytes; a longer file is refused before it is read, a longer stream once it is.
    Raises:
        Unreadable: No such file, not an ordinary one, not readable, or too large.
    """
    try:
        raw = _standard_input(largest) if path == STANDARD_INPUT else _ordinary(path, largest)
    except OSError as error:
        wrong = f"cannot be read: {error.strerror or 'it cannot be opened'}."
        raise Unreadable(Fault(str(path), 0, wrong)) from error
    except ValueError as error:  # a zero byte in the name
        raise Unreadable(Fault(str(path), 0, "is not the name of a file.")) from error
    if len(raw) > largest:
        raise _too_large(path, largest)
    return raw


def read_json(path: Path, largest: int) -> tuple[bytes, Any]:
    """The content of a JSON file, as bytes and as data.

    Raises:
        Unreadable: As `read_bytes`, or it is not JSON.
    """
    raw = read_bytes(path, largest)
    try:
        return raw, json.loads(raw)
    except json.JSONDecodeError as error:
        raise Unreadable(Fault(str(path), error.lineno, f"is not JSON ({error.msg}).")) from error
    except RecursionError as error:
        raise Unreadable(Fault(str(path), 1, "is nested too deeply.")) from error
    except ValueError as error:
        raise Unreadable(Fault(str(path), 1, "cannot be taken as JSON.")) from error


def _standard_input(largest: int) -> bytes:
    if sys.stdin is None:
        raise OSError(0, "standard input is closed")
    return sys.stdin.buffer.read(largest + 1)


def _ordinary(path: Path, largest: int) -> bytes:
    # Looked at before it is opened: some devices do something when they are.
    _refuse_other_kinds(path, path.stat(), largest)
    with _opened(path) as stream:
        _refuse_other_kinds(path, os.fstat(stream.fileno()), largest)
        return stream.read(largest + 1)


def _opened(path: Path) -> BinaryIO:
    """A file open for reading; a pipe that took its place meanwhile is not waited for."""
    wanted = ("O_NONBLOCK", "O_NOCTTY", "O_BINARY")  # where the system has them
    return os.fdopen(os.open(path, sum(getattr(os, name, 0) for name in wanted)), "rb")


def _refuse_other_kinds(path: Path, status: os.stat_result, largest: int) -> None:
    for is_kind, kind in _OTHER_KINDS:
        if is_kind(status.st_mode):
            raise Unreadable(Fault(str(path), 0, f"is {kind}.", "Name an ordinary file."))
    if status.st_size > largest:
        raise _too_large(path, largest)


def _too_large(path: Path, largest: int) -> Unreadable:
    wrong = f"is too large to be a file of this kind (more than {largest // 1_000_000} MB)."
    return Unreadable(Fault(str(path), 0, wrong))
