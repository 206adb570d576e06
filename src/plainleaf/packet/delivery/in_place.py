"""The way of a folder that has other files, cannot be moved, or stands where nobody may write.

All new files are made in a hidden folder inside it. Then a notice that the papers are not complete
takes its place, the old files move out, the new ones in, and the notice goes. While it stands the
folder shows files of one delivery alone, and never a mixture. By the list of what moves, whoever
comes next ends what was begun, or undoes it, from wherever it stopped.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from hashlib import sha256
from pathlib import Path

from plainleaf.packet.delivery.disk import FOLDER_MODE, sync_folder, write_synced
from plainleaf.vocabulary.errors import DeliveryError

STAGE = ".plainleaf"
NOTICE = "plainleaf-not-complete.txt"
_LIST, _OLD, _NEW, _NOTICE = "moves.json", "old", "new", "notice"
_SAYS = (
    b"The files in this folder were being replaced when the program was stopped.\n"
    b"Some are missing. Hand nothing out from here.\n"
    b"Run the same plainleaf command again: it ends what was begun.\n"
)


@dataclass(frozen=True)
class Moves:
    """What goes out, each name with its SHA-256, and what comes in, in this order."""

    leaving: Mapping[str, str]
    coming: Sequence[str]


def put_in_place(
    folder: Path, files: Mapping[str, bytes], replaced: Callable[[], Sequence[str]]
) -> None:
    """Write the files into a folder that is there, and take the replaced ones away.

    Args:
        files: In the order in which they come in; the one that vouches for the others last.
        replaced: The names that go, the one that vouches first; asked in the last moment.
    Raises:
        OSError, DeliveryError: It cannot be done; nothing has changed, or the message says so.
    """
    stage = folder / STAGE
    if os.path.lexists(folder / NOTICE):
        raise DeliveryError(f"{folder / NOTICE}: is in the way. Move it away and run this again.")
    try:
        _prepare(stage, files)
        leaving = {name: _digest(folder / name) for name in replaced()}
        moves = Moves(leaving, tuple(files))
        write_synced(stage / _LIST, json.dumps(asdict(moves)).encode())
        sync_folder(stage)
    except BaseException:
        shutil.rmtree(stage, ignore_errors=True)
        raise
    _carry_out(folder, moves)


def end_what_was_begun(folder: Path) -> None:
    """Bring a folder in which a run was stopped to the new files, and sweep what it left.

    Raises:
        DeliveryError: Somebody has changed the folder meanwhile; nothing has changed.
        OSError: It cannot be done; the old files are there again, or the message says so.
    """
    stage, notice = folder / STAGE, folder / NOTICE
    if not stage.exists():
        if notice.is_file() and notice.read_bytes() == _SAYS:
            notice.unlink()
        return
    if notice.exists() and (stage / _LIST).exists():
        moves = Moves(**json.loads((stage / _LIST).read_bytes()))
        _refuse_changed(folder, moves)
        _carry_out(folder, moves)
    shutil.rmtree(stage, ignore_errors=True)


def _prepare(stage: Path, files: Mapping[str, bytes]) -> None:
    for part in (stage, stage / _OLD, stage / _NEW):
        part.mkdir(FOLDER_MODE)
    for name, data in files.items():
        write_synced(stage / _NEW / name, data)
    sync_folder(stage / _NEW)
    write_synced(stage / _NOTICE, _SAYS)


def _carry_out(folder: Path, moves: Moves) -> None:
    try:
        _forward(folder, moves)
    except BaseException:
        with _not_complete(folder):
            _back(folder, moves)
            _finish(folder)
        raise
    with _not_complete(folder):
        _finish(folder)


@contextmanager
def _not_complete(folder: Path) -> Iterator[None]:
    """Tell of a folder that a fault of the disk has left between the old and the new."""
    try:
        yield
    except OSError as error:
        raise DeliveryError(
            f"{folder}: {error.strerror or error}. The files there are not complete. Hand nothing "
            "out, and run this again when the folder can be written."
        ) from error


def _forward(folder: Path, moves: Moves) -> None:
    stage = folder / STAGE
    if (stage / _NOTICE).exists():
        (stage / _NOTICE).rename(folder / NOTICE)
        sync_folder(folder)
    for name in moves.leaving:
        if _is_old(folder, name, moves):
            (folder / name).rename(stage / _OLD / name)
    for name in moves.coming:
        if os.path.lexists(stage / _NEW / name):
            (stage / _NEW / name).rename(folder / name)
    sync_folder(folder)


def _back(folder: Path, moves: Moves) -> None:
    stage = folder / STAGE
    for name in reversed(moves.coming):
        if not os.path.lexists(stage / _NEW / name):
            (folder / name).rename(stage / _NEW / name)
    for name in reversed(list(moves.leaving)):
        if os.path.lexists(stage / _OLD / name):
            (stage / _OLD / name).rename(folder / name)
    sync_folder(folder)


def _finish(folder: Path) -> None:
    """Without its notice the folder counts as whole, so that goes before what it speaks of."""
    (folder / NOTICE).unlink(missing_ok=True)
    with suppress(OSError):
        sync_folder(folder)
    shutil.rmtree(folder / STAGE, ignore_errors=True)


def _is_old(folder: Path, name: str, moves: Moves) -> bool:
    """Whether what stands under a name is still what has to leave."""
    came = name in moves.coming and not os.path.lexists(folder / STAGE / _NEW / name)
    return not came and os.path.lexists(folder / name)


def _refuse_changed(folder: Path, moves: Moves) -> None:
    """Nothing that somebody put or wrote there after the stop may be taken for an old file."""
    for name in dict.fromkeys((*moves.leaving, *moves.coming)):
        gone = os.path.lexists(folder / STAGE / _OLD / name)
        if not _is_old(folder, name, moves):
            continue
        if gone or _digest(folder / name) != moves.leaving.get(name):
            raise DeliveryError(
                f"{folder / name}: was put there or changed while the files of the folder were "
                "not complete. Move it away and run this again."
            )


def _digest(path: Path) -> str:
    """SHA-256 of a file; of anything else none, which is no file's."""
    return sha256(path.read_bytes()).hexdigest() if path.is_file() else ""
