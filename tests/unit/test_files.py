"""Files that somebody names: ordinary ones of a bounded size are read, all else is refused."""

from __future__ import annotations

import io
import os
import socket
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from plainleaf.inputs.files import STANDARD_INPUT, Unreadable, read_bytes, read_json


def _socket(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as server:
        server.bind(str(path))


def _sparse(path: Path) -> None:
    with path.open("wb") as stream:
        stream.truncate(1 << 40)


# What lies there, how it is made, what the line says. The terabyte takes no room on the disk.
OTHER_KINDS: list[tuple[str, Callable[[Path], object], str]] = [
    ("nothing", lambda path: None, "cannot be read: No such file or directory."),
    ("a folder", lambda path: path.mkdir(), "is a folder. Name an ordinary file."),
    ("a pipe", lambda path: os.mkfifo(path), "is a pipe. Name an ordinary file."),
    ("a socket", _socket, "is a socket. Name an ordinary file."),
    ("a device", lambda path: path.symlink_to("/dev/zero"), "is a device. Name an ordinary file."),
    ("a ring", lambda path: path.symlink_to(path), "cannot be read: Too many levels of symbolic"),
    ("a terabyte", _sparse, "is too large to be a file of this kind (more than 2 MB)."),
    ("no end", lambda path: path.symlink_to("/proc/self/pagemap"), "is too large"),
]


@pytest.mark.parametrize(
    ("make", "says"), [pytest.param(make, says, id=name) for name, make, says in OTHER_KINDS]
)
def test_what_is_no_ordinary_file_is_refused_at_once(
    make: Callable[[Path], object], says: str, tmp_path: Path
) -> None:
    path = tmp_path / "named"
    make(path)
    with pytest.raises(Unreadable) as error:
        read_bytes(path, 2_000_000)
    assert error.value.fault.file == str(path)
    assert says in str(error.value)
    assert "\n" not in str(error.value)


def test_a_name_that_no_file_can_have_is_refused() -> None:
    with pytest.raises(Unreadable, match="is not the name of a file"):
        read_bytes(Path("a\0b"), 10)


def test_the_bound_is_the_last_size_that_is_read(tmp_path: Path) -> None:
    path = tmp_path / "named"
    path.write_bytes(b"1234")
    assert read_bytes(path, 4) == b"1234"
    with pytest.raises(Unreadable, match="too large"):
        read_bytes(path, 3)


@pytest.fixture
def piped(monkeypatch: pytest.MonkeyPatch) -> Callable[[bytes], None]:
    """Puts bytes on standard input."""

    def put(raw: bytes) -> None:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(raw)))

    return put


def test_standard_input_is_read_and_bounded(piped: Callable[[bytes], None]) -> None:
    piped(b"1234")
    assert read_bytes(STANDARD_INPUT, 4) == b"1234"
    piped(b"1234")
    with pytest.raises(Unreadable, match=r"^/dev/stdin: is too large"):
        read_bytes(STANDARD_INPUT, 3)


def test_standard_input_that_is_closed_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", None)
    with pytest.raises(Unreadable, match="standard input is closed"):
        read_bytes(STANDARD_INPUT, 3)


@pytest.mark.parametrize(
    ("raw", "line", "says"),
    [
        (b'{\n"a": }', 2, "is not JSON (Expecting value)."),
        (b"[" * 100_000, 1, "is nested too deeply."),
        (b"\xff\xfe\xff", 1, "cannot be taken as JSON."),
        (b"9" * 5_000, 1, "cannot be taken as JSON."),
    ],
    ids=["a hole", "too deep", "not UTF-8", "a number without end"],
)
def test_json_is_refused_with_its_line(raw: bytes, line: int, says: str, tmp_path: Path) -> None:
    path = tmp_path / "record.json"
    path.write_bytes(raw)
    with pytest.raises(Unreadable) as error:
        read_json(path, 1_000_000)
    assert (error.value.fault.line, error.value.fault.wrong) == (line, says)


def test_json_comes_with_the_bytes_it_was_read_from(tmp_path: Path) -> None:
    path = tmp_path / "record.json"
    path.write_bytes(b'{"a": [1]}\n')
    assert read_json(path, 100) == (b'{"a": [1]}\n', {"a": [1]})


def test_a_fault_can_say_what_to_name_instead(tmp_path: Path) -> None:
    path = tmp_path / "record.json"
    path.write_bytes(b"\n{")
    with pytest.raises(Unreadable) as error:
        read_json(path, 100)
    assert error.value.naming("Name a packet.json.").startswith(f"{path}:2: is not JSON (")
    assert error.value.naming("Name a packet.json.").endswith("). Name a packet.json.")
