"""One run at a time writes into a folder; the lock of a run that dies is gone with it."""

from __future__ import annotations

import fcntl
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from plainleaf.vocabulary.errors import DeliveryError

# Another run writes for less than a second; what is still there after this many was stopped.
SECONDS = 20.0
_PAUSE = 0.05


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Hold a folder against other runs, or the one above it while it is not there.

    The other run may have put another folder in the place of the one that was waited for, so that
    it is looked at again.

    Raises:
        DeliveryError: Another run does not let it go.
        OSError: It cannot be opened.
    """
    while True:
        place = _place(folder)
        with held(place) as number:
            if place == _place(folder) and _is_at(number, place):
                yield
                return


@contextmanager
def held(place: Path) -> Iterator[int]:
    """Lock a folder that is there; a file system without locks does without.

    Raises:
        DeliveryError, OSError: As `locked`.
    """
    number = os.open(place, os.O_RDONLY | os.O_DIRECTORY)
    try:
        _wait(number, place)
        yield number
    finally:
        os.close(number)


def _place(folder: Path) -> Path:
    return folder if folder.exists() else folder.parent


def _is_at(number: int, place: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(number), place.stat())
    except FileNotFoundError:
        return False


def _wait(number: int, place: Path) -> None:
    until = time.monotonic() + SECONDS
    while True:
        try:
            fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return
        except BlockingIOError:
            if time.monotonic() > until:
                raise DeliveryError(
                    f"{place}: another run of plainleaf is writing there. Wait until it has "
                    "ended, or stop it, and run this again."
                ) from None
            time.sleep(_PAUSE)
        except OSError:
            return
