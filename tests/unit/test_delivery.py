"""The files of a packet are written all or not at all."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

import pytest

from plainleaf.packet import delivery
from plainleaf.packet.delivery import deliver
from plainleaf.vocabulary.errors import DeliveryError

NEW = {"handout.pdf": b"new", "handout.html": b"<p>new", "packet.json": b"{}"}
OLD = {"handout.pdf": b"old", "handout.es.pdf": b"viejo", "handout.es.html": b"<p>viejo"}


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def filled(folder: Path, **more: bytes) -> Path:
    folder.mkdir(parents=True)
    for name, data in {**OLD, **{k.replace("_", "."): v for k, v in more.items()}}.items():
        (folder / name).write_bytes(data)
    return folder


def test_a_new_folder_is_made_with_the_folders_above_it(tmp_path: Path) -> None:
    deliver(NEW, tmp_path / "a" / "b")
    assert files(tmp_path / "a" / "b") == NEW
    assert os.listdir(tmp_path / "a") == ["b"]


def test_a_new_folder_can_be_read_by_others(tmp_path: Path) -> None:
    deliver(NEW, tmp_path / "out")
    assert stat.S_IMODE((tmp_path / "out").stat().st_mode) == 0o755


def test_an_earlier_packet_is_swapped_whole(tmp_path: Path) -> None:
    out = filled(tmp_path / "out")
    deliver(NEW, out)
    assert files(out) == NEW
    assert os.listdir(tmp_path) == ["out"]


def test_an_empty_folder_is_filled(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    deliver(NEW, tmp_path / "out")
    assert files(tmp_path / "out") == NEW


def test_files_of_others_are_kept_and_stale_handouts_go(tmp_path: Path) -> None:
    out = filled(tmp_path / "out", notes_txt=b"mine", handout_docx=b"mine too")
    deliver(NEW, out)
    assert files(out) == {**NEW, "notes.txt": b"mine", "handout.docx": b"mine too"}
    assert os.listdir(tmp_path) == ["out"]


def test_a_relative_path_is_meant_from_here(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    deliver(NEW, Path("out"))
    assert files(tmp_path / "out") == NEW


# --- when it cannot be done, the earlier packet stays and nothing else is left -------------------


def full_disk(monkeypatch: pytest.MonkeyPatch, after: int) -> None:
    """No space is left once so many files are written."""
    real, calls = os.fsync, iter(range(100))

    def fsync(number: int) -> None:
        if next(calls) >= after:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        real(number)

    monkeypatch.setattr(delivery.os, "fsync", fsync)


@pytest.mark.parametrize("after", [0, 1, 2])
@pytest.mark.parametrize("foreign", [False, True], ids=["alone", "with other files"])
def test_a_full_disk_changes_nothing(
    after: int, foreign: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = filled(tmp_path / "out", **({"notes_txt": b"mine"} if foreign else {}))
    before = files(out)
    full_disk(monkeypatch, after)
    with pytest.raises(DeliveryError) as error:
        deliver(NEW, out)
    assert str(error.value) == f"{out}: No space left on device. Nothing was written."
    assert files(out) == before
    assert os.listdir(tmp_path) == ["out"]


def test_a_full_disk_leaves_no_new_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    full_disk(monkeypatch, 1)
    with pytest.raises(DeliveryError):
        deliver(NEW, tmp_path / "out")
    assert os.listdir(tmp_path) == []


def test_a_swap_that_fails_half_way_brings_the_earlier_packet_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = filled(tmp_path / "out")
    real = Path.rename

    def rename(self: Path, target: Path) -> Path:
        if target == out and not self.name.endswith(".old"):
            raise OSError(errno.EIO, "Input/output error")
        return real(self, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(DeliveryError, match="Input/output error"):
        deliver(NEW, out)
    assert files(out) == OLD
    assert os.listdir(tmp_path) == ["out"]


@pytest.mark.parametrize("fails_at", range(len(NEW)))
def test_a_replacement_that_fails_half_way_brings_the_earlier_packet_back(
    fails_at: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = filled(tmp_path / "out", notes_txt=b"mine")
    before = files(out)
    real, calls = Path.replace, iter(range(100))

    def replace(self: Path, target: Path) -> Path:
        if next(calls) == fails_at:
            raise OSError(errno.EACCES, "Permission denied")
        return real(self, target)

    monkeypatch.setattr(Path, "replace", replace)
    with pytest.raises(DeliveryError, match="Nothing was written"):
        deliver(NEW, out)
    assert files(out) == before
    assert os.listdir(tmp_path) == ["out"]


def test_a_folder_in_the_place_of_a_file_changes_nothing(tmp_path: Path) -> None:
    out = filled(tmp_path / "out", notes_txt=b"mine")
    (out / "handout.html").mkdir()
    with pytest.raises(DeliveryError):
        deliver(NEW, out)
    (out / "handout.html").rmdir()
    assert files(out) == {**OLD, "notes.txt": b"mine"}
    assert os.listdir(tmp_path) == ["out"]


def test_a_file_in_the_place_of_the_folder_is_not_touched(tmp_path: Path) -> None:
    (tmp_path / "out").write_bytes(b"mine")
    with pytest.raises(DeliveryError, match="Not a directory"):
        deliver(NEW, tmp_path / "out")
    assert files(tmp_path) == {"out": b"mine"}


def test_a_folder_that_may_not_be_written_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = filled(tmp_path / "out")

    def refuse(**_: object) -> str:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(delivery.tempfile, "mkdtemp", refuse)
    with pytest.raises(DeliveryError, match="Permission denied"):
        deliver(NEW, out)
    assert files(out) == OLD
