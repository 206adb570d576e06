"""Writes the files of a packet all or nothing."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from plainleaf.vocabulary.errors import DeliveryError

# Every name that a packet may have; a folder with only these is replaced whole.
_OURS = (
    "handout.pdf", "handout.html", "teach-back.pdf", "card.pdf", "reminders.ics", "packet.json",
    "packet.fhir.json",
)  # fmt: skip
# One a language: handout.es.pdf, reminders.es.ics.
_BY_LANGUAGE = {"handout": (".pdf", ".html"), "card": (".pdf",), "reminders": (".ics",)}


def _is_ours(name: str) -> bool:
    return name in _OURS or name.endswith(_BY_LANGUAGE.get(name.partition(".")[0], ()))


def _write(folder: Path, files: Mapping[str, bytes]) -> None:
    for name, data in files.items():
        with (folder / name).open("wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())


def deliver(files: Mapping[str, bytes], out: Path, ours: Callable[[str], bool] = _is_ours) -> None:
    """Write the files into a folder: all of them, or none.

    They are written beside the folder first and moved in once complete. A folder that holds an
    earlier packet and nothing else is swapped whole. In a folder with other files each file is
    replaced in one step, and handouts of an earlier packet that are no longer part go away; if
    one of these steps fails, the earlier packet comes back.

    Args:
        ours: Whether a name is one of those that these files take the place of.
    Raises:
        DeliveryError: The disk is full, or the folder cannot be written; nothing has changed.
    """
    out = out.absolute()
    stage: Path | None = None
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        stage = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent))
        stage.chmod(0o755)
        _write(stage, files)
        if not out.exists():
            stage.rename(out)
        elif all(ours(path.name) for path in out.iterdir()):
            _swap(stage, out)
        else:
            _replace_each(stage, out, files, ours)
    except OSError as error:
        raise DeliveryError(f"{out}: {error.strerror or error}. Nothing was written.") from error
    finally:
        if stage is not None:
            shutil.rmtree(stage, ignore_errors=True)


def _swap(stage: Path, out: Path) -> None:
    old = stage.with_name(stage.name + ".old")
    out.rename(old)
    try:
        stage.rename(out)
    except OSError:
        old.rename(out)
        raise
    shutil.rmtree(old, ignore_errors=True)


def _replace_each(
    stage: Path, out: Path, files: Mapping[str, bytes], ours: Callable[[str], bool]
) -> None:
    earlier = [path.name for path in out.iterdir() if ours(path.name)]
    kept = stage / "earlier"
    kept.mkdir()
    for name in earlier:
        shutil.copy2(out / name, kept / name)
    moved: list[str] = []
    try:
        for name in files:
            (stage / name).replace(out / name)
            moved.append(name)
        for name in earlier:
            if name not in files:
                (out / name).unlink()
    except OSError:
        for name in moved:
            (out / name).unlink(missing_ok=True)
        for name in earlier:
            (kept / name).replace(out / name)
        raise
