"""Values that take long to make, kept on disk between runs and shared by all processes of a run.

Each is kept under a digest of everything that it is made of: what is read is what would be made.
A value is made once, however many processes want it; one that is damaged is made again. It is
for tests that look at a thing. A test of how a thing is made makes it itself.
"""

from __future__ import annotations

import os
import pickle
import sys
import time
from collections.abc import Callable, Collection
from functools import cache
from hashlib import sha256
from importlib.metadata import distributions
from pathlib import Path
from typing import Any, TypeVar

from builders import ROOT
from filelock import FileLock
from laying import fonts_ready

from plainleaf.printing.fonts import default_cache
from plainleaf.printing.renderer.engine import renderer

T = TypeVar("T")
FOLDER = default_cache() / "tests"
MOST_BYTES = 400_000_000
MOST_DAYS = 7
# They stand above the packet: nothing in it can import them (a test of the floors holds that).
ABOVE_THE_PACKET = ("authoring", "cli", "teach_back")
_ABSENT: Any = object()


def digest_of(*parts: str | bytes) -> str:
    """One digest of several parts, in their order.

    >>> digest_of("ab", "c") == digest_of("a", "bc")
    False
    """
    whole = sha256()
    for part in parts:
        data = part.encode() if isinstance(part, str) else part
        whole.update(len(data).to_bytes(8))
        whole.update(data)
    return whole.hexdigest()


def folder_digest(folder: Path, without: Collection[str] = ()) -> str:
    """One digest of all files of a folder, their places and what they hold.

    Args:
        without: Names of what stands directly in the folder and does not count.
    """
    parts: list[str | bytes] = []
    for file in sorted(folder.rglob("*")):
        place = file.relative_to(folder)
        if file.is_file() and place.parts[0] not in without and file.suffix != ".pyc":
            parts += [place.as_posix(), file.read_bytes()]
    return digest_of(*parts)


@cache
def libraries() -> str:
    """Digest of Python, of every package that is installed and of the machine's text library."""
    renderer(fonts_ready().configuration)
    from weasyprint.text.ffi import pango

    packages = sorted({f"{package.name} {package.version}" for package in distributions()})
    return digest_of(sys.version, str(pango.pango_version()), *packages)


@cache
def press() -> str:
    """Digest of what packets are made by: the program, its templates, the libraries."""
    program = folder_digest(ROOT / "src" / "plainleaf", ABOVE_THE_PACKET)
    return digest_of(program, folder_digest(ROOT / "templates"), libraries())


def from_disk(digest: str, make: Callable[[], T]) -> T:
    """The value kept under a digest; made and kept if there is none.

    Args:
        digest: Of all that the value is made of.
        make: What makes it; the value must bear pickling.
    """
    FOLDER.mkdir(parents=True, exist_ok=True)
    file = FOLDER / f"{digest}.pickle"
    with FileLock(file.with_suffix(".lock")):
        value = _read(file)
        if value is _ABSENT:
            value = make()
            _write(file, value)
    return value


def _read(file: Path) -> Any:
    """The value in a file; `_ABSENT` where there is none that is whole."""
    try:
        data = file.read_bytes()
        os.utime(file)  # used now: the last to be thrown away
    except FileNotFoundError:
        return _ABSENT
    seal, body = data[:32], data[32:]
    if sha256(body).digest() != seal:
        return _ABSENT
    return pickle.loads(body)


def _write(file: Path, value: object) -> None:
    """Write a value; the move at the end keeps a half-written file from being seen."""
    body = pickle.dumps(value, protocol=pickle.HIGHEST_PROTOCOL)
    part = file.with_suffix(f".{os.getpid()}.part")
    part.write_bytes(sha256(body).digest() + body)
    part.replace(file)


def prune(folder: Path = FOLDER, most_bytes: int = MOST_BYTES, most_days: int = MOST_DAYS) -> None:
    """Throw away what was not used for some days, and what was used longest ago beyond a size."""
    states = []
    for file in folder.glob("*"):
        try:
            states.append((file.stat().st_mtime, file.stat().st_size, file))
        except FileNotFoundError:  # another run throws away too
            continue
    too_old, room = time.time() - most_days * 24 * 3600, most_bytes
    for used, size, file in sorted(states, reverse=True):
        room -= size
        if used < too_old or room < 0:
            file.unlink(missing_ok=True)
