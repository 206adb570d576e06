"""The way of a folder with nothing else in it: a new one is made, and the two change places.

There is no moment in which the folder is not whole: it is the old one, or it is the new one.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Collection, Mapping
from contextlib import suppress
from pathlib import Path

from plainleaf.packet.delivery.disk import FOLDER_MODE, exchange, sync_folder, write_synced
from plainleaf.packet.delivery.lock import held


def stage_beside(folder: Path) -> Path:
    """Where the new folder is made, and where the old one stands until it is removed."""
    return folder.with_name(f".{folder.name}.plainleaf")


def holds_only(folder: Path, names: Collection[str]) -> bool:
    """Whether a folder is not there, or has no other entry and can be put elsewhere.

    A folder that somebody works in is not taken from under them.
    """
    if not folder.exists():
        return True
    if _is_worked_in(folder) or os.path.ismount(folder):
        return False
    return set(os.listdir(folder)) <= set(names)


def _is_worked_in(folder: Path) -> bool:
    try:
        here = Path.cwd()
    except FileNotFoundError:
        return False
    return folder == here or folder in here.parents


def swap_whole(
    folder: Path, files: Mapping[str, bytes], replaced: Callable[[], Collection[str]]
) -> bool:
    """Put a new folder with the files in the place of the old one.

    Args:
        replaced: The names that may go; asked again in the last moment.
    Returns:
        False where it cannot be done this way; nothing has changed.
    Raises:
        OSError, DeliveryError: It cannot be done at all; nothing has changed.
    """
    stage = stage_beside(folder)
    try:
        stage.mkdir(FOLDER_MODE)
    except OSError:
        if folder.exists():
            return False
        raise
    # The new folder is locked before it takes its place, and until the old one is removed.
    with held(stage):
        try:
            for name, data in files.items():
                write_synced(stage / name, data)
            sync_folder(stage)
            return _change_places(folder, stage, replaced)
        finally:
            shutil.rmtree(stage, ignore_errors=True)


def _change_places(folder: Path, stage: Path, replaced: Callable[[], Collection[str]]) -> bool:
    if not folder.exists():
        stage.rename(folder)
    elif not holds_only(folder, replaced()):
        return False
    else:
        try:
            exchange(stage, folder)
        except OSError:
            return False
    with suppress(OSError):
        sync_folder(folder.parent)
    return True
