"""Files into a folder: which way they go, and what stands in the way."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from plainleaf.packet.delivery.in_place import STAGE, end_what_was_begun, put_in_place
from plainleaf.packet.delivery.lock import locked
from plainleaf.packet.delivery.whole_folder import holds_only, stage_beside, swap_whole
from plainleaf.vocabulary.errors import DeliveryError

# Which files of a folder new ones take the place of, the one that vouches for the others first.
# It raises a DeliveryError where the folder is somebody else's.
Ownership = Callable[[Path], Sequence[str]]


def deliver(files: Mapping[str, bytes], out: Path, owned: Ownership) -> tuple[str, ...]:
    """Write the files into a folder: all of them, or none.

    A new folder and its files are for their owner alone; a folder that is there and has other
    files keeps its mode. Links are followed.

    Args:
        files: The one that vouches for the others is the last.
        out: Need not exist.
        owned: Which files they take the place of; each goes away, also where no new one comes.
    Returns:
        The names that were taken away or replaced.
    Raises:
        DeliveryError: It cannot be done or must not be done; nothing has changed.
    """
    folder = Path(os.path.realpath(out))
    replaced = partial(_replaced, out, owned, files)
    with _told(out):
        folder.parent.mkdir(parents=True, exist_ok=True)
        with locked(folder):
            _sweep(folder)
            earlier = replaced()
            whole = holds_only(folder, earlier) and swap_whole(folder, files, replaced)
            if not whole:
                put_in_place(folder, files, replaced)
    return earlier


def look_into(out: Path, owned: Ownership) -> None:
    """Say before the work is done that its files could not go into a folder.

    Raises:
        DeliveryError: It is somebody else's, or cannot be read.
    """
    settle(out)
    with _told(out):
        _replaced(out, owned, ())


def settle(out: Path) -> None:
    """End what a run that was stopped has begun in a folder; where there is nothing, do nothing.

    Raises:
        DeliveryError: It cannot be done.
    """
    folder = Path(os.path.realpath(out))
    if stage_beside(folder).exists() or (folder / STAGE).exists():
        with _told(out), locked(folder):
            _sweep(folder)


def _sweep(folder: Path) -> None:
    shutil.rmtree(stage_beside(folder), ignore_errors=True)
    if folder.exists():
        if not os.access(folder, os.R_OK | os.W_OK | os.X_OK):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        end_what_was_begun(folder)


def _replaced(out: Path, owned: Ownership, files: Iterable[str]) -> tuple[str, ...]:
    """The files that are there and may go, if no other one has the name of a new one."""
    names = tuple(name for name in owned(out) if os.path.lexists(out / name))
    strange = [name for name in files if name not in names and os.path.lexists(out / name)]
    if strange:
        raise DeliveryError(
            f"{out}: holds {', '.join(sorted(strange))}, and nothing there says who wrote that. "
            "Move it away, or name another folder with --out."
        )
    return names


@contextmanager
def _told(out: Path) -> Iterator[None]:
    try:
        yield
    except DeliveryError:
        raise
    except OSError as error:
        raise DeliveryError(f"{out}: {error.strerror or error}. Nothing was written.") from error
