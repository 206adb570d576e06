"""Wherever a delivery is stopped, the folder shows one packet, and the next run sweeps.

Each starting state is tried with each operation as the last one, and each stop inside a folder that
cannot change places once more with each operation of the run that ends what was begun.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from killing import stopped_at
from sample_records import packet_data

from plainleaf.packet.delivery import deliver, packet_ownership, settle, whole_folder
from plainleaf.packet.delivery.in_place import NOTICE, STAGE

pytestmark = pytest.mark.thorough

PERSON = "a" * 64
Files = dict[str, bytes]


def packet(*names: str, text: str, person: str = PERSON) -> Files:
    """A packet of tiny files, its own record last."""
    files = {name: f"{text} {name}".encode() for name in names}
    digests = {name: sha256(data).hexdigest() for name, data in files.items()}
    return files | {"packet.json": json.dumps(packet_data(person=person, files=digests)).encode()}


OLD = packet("handout.pdf", "card.es.pdf", "teach-back.pdf", text="old")
NEW = packet("handout.pdf", "teach-back.pdf", "reminders.ics", text="new")
FOREIGN = {"notes.txt": b"mine", "handout.docx": b"mine too", "scans/one.png": b"a scan"}


def files_in(folder: Path) -> Files:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and STAGE not in path.parts
    }


def fill(folder: Path, files: Files) -> None:
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)


def run(out: Path) -> None:
    deliver(NEW, out, packet_ownership(PERSON, ["record.json"]))


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Path]:
    """Somewhere in memory where that can be had: thousands of small files."""
    memory = Path("/dev/shm")
    with TemporaryDirectory(dir=memory if os.access(memory, os.W_OK) else tmp_path) as folder:
        yield Path(folder)


@pytest.fixture(autouse=True)
def no_wait_for_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """The machine stays on here, and waiting takes most of the time; it is counted all the same."""
    monkeypatch.setattr(os, "fsync", lambda _: None)


# --- starting states ------------------------------------------------------------------------------


@contextmanager
def as_it_is() -> Iterator[None]:
    yield


@contextmanager
def busy() -> Iterator[None]:
    def refuse(*_: object) -> None:
        raise OSError(errno.EBUSY, os.strerror(errno.EBUSY))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(whole_folder, "exchange", refuse)
        yield


@contextmanager
def mounted() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os.path, "ismount", lambda path: Path(path).name == "packet")
        yield


@contextmanager
def under_a_closed_folder() -> Iterator[None]:
    real = os.mkdir

    def mkdir(path: str | Path, *arguments: int, **options: int) -> None:
        if Path(path).parent.name == "above":
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        real(path, *arguments, **options)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "mkdir", mkdir)
        yield


# What lies in the folder (None: it is not there), the machine, whether the two can change places.
STATES = {
    "no folder": (None, as_it_is, True),
    "an empty folder": ({}, as_it_is, True),
    "an earlier packet": (OLD, as_it_is, True),
    "a link": (OLD, as_it_is, True),
    "files of others": (OLD | FOREIGN, as_it_is, False),
    "files of others alone": (FOREIGN, as_it_is, False),
    "busy": (OLD, busy, False),
    "a mount": (OLD, mounted, False),
    "an empty mount": ({}, mounted, False),
    "a closed folder above": (OLD, under_a_closed_folder, False),
}


def prepare(place: Path, state: str) -> Path:
    """A folder in its starting state; the path to deliver to."""
    files = STATES[state][0]
    above = place / "above"
    above.mkdir(parents=True)
    if files is not None:
        (above / "packet").mkdir(0o700)
        fill(above / "packet", files)
    if state == "a link":
        (place / "link").symlink_to(above / "packet")
        return place / "link"
    return above / "packet"


def shown(out: Path) -> tuple[Files, Files]:
    """What a person sees in the folder: the packet's files, and those of others."""
    files = files_in(out) if out.exists() else {}
    return (
        {name: data for name, data in files.items() if name not in FOREIGN},
        {name: data for name, data in files.items() if name in FOREIGN},
    )


def is_whole(out: Path, state: str) -> bool:
    old = {name: data for name, data in (STATES[state][0] or {}).items() if name not in FOREIGN}
    return shown(out)[0] in (old, NEW)


def is_told(out: Path) -> bool:
    """Not whole, but says so, vouches for nothing, and shows files of one packet alone."""
    files = shown(out)[0]
    told = files.pop(NOTICE, None) is not None
    of_one = files.items() <= OLD.items() or files.items() <= NEW.items()
    return told and of_one and ("packet.json" not in files or files in (OLD, NEW))


def is_swept(out: Path) -> bool:
    """No hidden folder and no notice is left, in the folder or beside it."""
    above = Path(os.path.realpath(out)).parent
    hidden = [path for path in above.rglob("*") if path.name.startswith(".")]
    return not hidden and not (out / NOTICE).exists()


def stops(place: Path, state: str, action: Callable[[Path], None]) -> Iterator[Path]:
    """The folder after each stop of an action, one after the other; the last run is not stopped."""
    for last in range(1, 10_000):
        out = prepare(place / str(last), state)
        with STATES[state][1](), stopped_at(last, (whole_folder, "exchange")) as count:
            action(out)
        if count.done < last:
            return
        yield out
    raise AssertionError("it never ended")


@pytest.mark.parametrize("state", STATES)
def test_a_delivery_that_is_stopped_anywhere_leaves_one_packet(state: str, place: Path) -> None:
    files, machine, swaps = STATES[state]
    foreign = {name: data for name, data in (files or {}).items() if name in FOREIGN}
    points = 0
    for out in stops(place, state, run):
        points += 1
        assert is_whole(out, state) or (not swaps and is_told(out)), files_in(out)
        assert shown(out)[1] == foreign
        with machine():
            settle(out)
            assert is_swept(out)
            assert is_whole(out, state)
            run(out)
        assert shown(out) == (NEW, foreign)
        assert is_swept(out)
    assert points > 15


def test_ending_what_was_begun_may_be_stopped_anywhere_too(place: Path) -> None:
    state = "files of others"
    begun = [out for out in stops(place / "first", state, run) if (out / NOTICE).exists()]
    assert len(begun) > 10
    for number, first in enumerate(begun):
        for last in range(1, 1000):
            copy = place / f"{number}-{last}"
            shutil.copytree(first.parent, copy)
            out = copy / first.name
            with stopped_at(last) as count:
                settle(out)
            assert is_whole(out, state) or is_told(out)
            ended = count.done < last
            settle(out)
            assert shown(out)[0] == NEW
            assert is_swept(out)
            if ended:
                break
