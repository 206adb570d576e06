"""What a power cut does not undo, and two folders that change places in one step."""

from __future__ import annotations

import ctypes
import errno
import os
from pathlib import Path

from plainleaf.packet.delivery.lock import held
from plainleaf.vocabulary.errors import DeliveryError

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


def replace_file(path: Path, text: str, like: Path | None = None) -> None:
    """Let a text take the place of a file in one step: whoever reads it gets the old or the new.

    Args:
        like: The file whose mode a new one gets; without one, that of every new file.
    Raises:
        DeliveryError: It cannot be done; nothing has changed.
    """
    new = path.with_name(f".{path.name}.new")
    try:
        with held(path.parent):
            _put(path, new, text.encode(), like)
    except OSError as error:
        if isinstance(error, DeliveryError):
            raise
        reason = error.strerror or error
        raise DeliveryError(f"{path}: cannot be written: {reason}. Nothing has changed.") from error


def _put(path: Path, new: Path, data: bytes, like: Path | None) -> None:
    new.unlink(missing_ok=True)  # of a run that was stopped
    try:
        write_synced(new, data)
        new.chmod(_mode(path if path.exists() else like))
        new.replace(path)
    except BaseException:
        new.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def _mode(like: Path | None) -> int:
    """The mode of a file; without one, what a program gives a file that all may read."""
    return 0o644 if like is None else like.stat().st_mode & 0o777


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
