"""What a power cut does not undo, and two folders that change places in one step."""

from __future__ import annotations

import ctypes
import errno
import os
from pathlib import Path

FOLDER_MODE, FILE_MODE = 0o700, 0o600
# renameat2(2) of Linux: the paths are whole, and both sides stay, each in the other's place.
_FROM_HERE, _EXCHANGE = -100, 2


def write_synced(path: Path, data: bytes) -> None:
    """Write a new file that only its owner may read, and wait until it is on the disk."""
    number = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, FILE_MODE)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(number, rest) :]
        os.fsync(number)
    finally:
        os.close(number)


def sync_folder(folder: Path) -> None:
    """Wait until the names in a folder are on the disk; some file systems cannot tell."""
    number = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(number)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):
            raise
    finally:
        os.close(number)


def exchange(first: Path, second: Path) -> None:
    """Let two folders change places in one step.

    Raises:
        OSError: The system or the file system cannot; nothing has changed.
    """
    swap = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if swap is None:
        raise OSError(errno.ENOSYS, os.strerror(errno.ENOSYS))
    if swap(_FROM_HERE, os.fsencode(first), _FROM_HERE, os.fsencode(second), _EXCHANGE):
        number = ctypes.get_errno()
        raise OSError(number, os.strerror(number))
