"""The files of a packet are written all or not at all, into a folder that belongs to one packet."""

from __future__ import annotations

import errno
import json
import os
import stat
import threading
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest
from sample_records import packet_data

from plainleaf.packet.delivery import deliver, lock, look_into, packet_ownership, settle
from plainleaf.packet.delivery import whole_folder as whole
from plainleaf.packet.delivery.in_place import NOTICE, STAGE
from plainleaf.teach_back.record_owner import FILES as RECORDED
from plainleaf.vocabulary.errors import DeliveryError

Files = dict[str, bytes]
PERSON, OTHER = "a" * 64, "b" * 64


def packet(text: str, *names: str, person: str = PERSON) -> Files:
    """A packet of tiny files, its own record last."""
    files = {name: f"{text} {name}".encode() for name in names}
    digests = {name: sha256(data).hexdigest() for name, data in files.items()}
    return files | {"packet.json": json.dumps(packet_data(person=person, files=digests)).encode()}


NEW = packet("new", "handout.pdf", "handout.html", "teach-back.pdf")
OLD = packet("old", "handout.pdf", "staff-copy.es.pdf", "card.es.pdf", "teach-back.pdf")
FOREIGN = {"notes.txt": b"mine", "handout.docx": b"mine too"}
OWNED = packet_ownership(PERSON, RECORDED)


def files(folder: Path) -> Files:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def folder_of(folder: Path, *several: Files) -> Path:
    folder.mkdir(parents=True)
    for some in several:
        for name, data in some.items():
            (folder / name).write_bytes(data)
    return folder


def refused(out: Path, *parts: str) -> None:
    """Nothing is written, and one line a fault says the folder and what to do, and no more."""
    before = files(out)
    with pytest.raises(DeliveryError) as error:
        deliver(NEW, out, OWNED)
    assert all(part in str(error.value) for part in (str(out), *parts)), str(error.value)
    assert files(out) == before
    assert os.listdir(out.parent) == [out.name]


# --- where it goes --------------------------------------------------------------------------------


def test_a_new_folder_is_made_with_the_folders_above_it(tmp_path: Path) -> None:
    assert deliver(NEW, tmp_path / "a" / "b", OWNED) == ()
    assert files(tmp_path / "a" / "b") == NEW
    assert os.listdir(tmp_path / "a") == ["b"]


@pytest.mark.parametrize("mask", [0, 0o022, 0o077])
@pytest.mark.parametrize("there", [None, {}, OLD], ids=["new", "empty", "earlier"])
def test_a_packet_is_for_its_owner_alone(mask: int, there: Files | None, tmp_path: Path) -> None:
    out = tmp_path / "out"
    if there is not None:
        folder_of(out, there).chmod(0o755)
    before = os.umask(mask)
    try:
        deliver(NEW, out, OWNED)
    finally:
        os.umask(before)
    assert stat.S_IMODE(out.stat().st_mode) == 0o700
    assert {stat.S_IMODE(path.stat().st_mode) for path in out.iterdir()} == {0o600}


def test_a_folder_with_files_of_others_keeps_its_mode_and_theirs(tmp_path: Path) -> None:
    out = folder_of(tmp_path / "out", OLD, FOREIGN)
    out.chmod(0o750)
    before = (out / "notes.txt").stat()
    deliver(NEW, out, OWNED)
    after = (out / "notes.txt").stat()
    assert stat.S_IMODE(out.stat().st_mode) == 0o750
    assert (before.st_ino, before.st_ctime_ns) == (after.st_ino, after.st_ctime_ns)
    assert {stat.S_IMODE((out / name).stat().st_mode) for name in NEW} == {0o600}


def test_an_earlier_packet_goes_whole_by_its_own_list(tmp_path: Path) -> None:
    out = folder_of(tmp_path / "out", OLD)
    assert set(deliver(NEW, out, OWNED)) == set(OLD)
    assert files(out) == NEW
    assert os.listdir(tmp_path) == ["out"]


def test_an_earlier_packet_need_not_be_complete(tmp_path: Path) -> None:
    out = folder_of(tmp_path / "out", OLD)
    (out / "card.es.pdf").unlink()
    deliver(NEW, out, OWNED)
    assert files(out) == NEW


def test_files_of_others_are_kept(tmp_path: Path) -> None:
    out = folder_of(tmp_path / "out", OLD, FOREIGN)
    (out / "scans").mkdir()
    deliver(NEW, out, OWNED)
    (out / "scans").rmdir()
    assert files(out) == NEW | FOREIGN
    assert os.listdir(tmp_path) == ["out"]


def test_a_relative_path_is_meant_from_here(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    deliver(NEW, Path("out"), OWNED)
    assert files(tmp_path / "out") == NEW


def test_the_folder_one_works_in_stays_the_same_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = folder_of(tmp_path / "out", OLD)
    monkeypatch.chdir(out)
    deliver(NEW, Path("."), OWNED)
    assert files(Path(".")) == files(out) == NEW


@pytest.mark.parametrize("there", [None, OLD], ids=["dangling", "earlier"])
def test_a_link_stays_a_link(there: Files | None, tmp_path: Path) -> None:
    (tmp_path / "ward").mkdir()
    if there is not None:
        folder_of(tmp_path / "ward" / "packet", there)
    (tmp_path / "out").symlink_to(tmp_path / "ward" / "packet")
    deliver(NEW, tmp_path / "out", OWNED)
    assert (tmp_path / "out").is_symlink()
    assert files(tmp_path / "ward" / "packet") == NEW
    assert os.listdir(tmp_path / "ward") == ["packet"]


@pytest.mark.parametrize("number", [errno.EXDEV, errno.EBUSY, errno.ENOSYS, errno.EINVAL])
def test_a_folder_that_cannot_be_moved_stays_the_same_folder(
    number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(whole, "exchange", refuse)
    out = folder_of(tmp_path / "out", OLD)
    before = out.stat().st_ino
    deliver(NEW, out, OWNED)
    assert out.stat().st_ino == before
    assert files(out) == NEW
    assert os.listdir(tmp_path) == ["out"]


# --- whose it is ----------------------------------------------------------------------------------


@pytest.mark.parametrize("more", [{}, FOREIGN], ids=["alone", "with other files"])
def test_the_packet_of_another_patient_is_not_replaced(more: Files, tmp_path: Path) -> None:
    theirs = packet("their", "handout.pdf", "card.es.pdf", person=OTHER)
    out = folder_of(tmp_path / "out", theirs, more)
    refused(out, "holds the packet of another patient", "name another folder with --out.")


def saying(**keys: object) -> bytes:
    """A record of this patient's packet that says something else."""
    return json.dumps(packet_data(**({"person": PERSON} | keys))).encode()


DAMAGE: list[tuple[str, Callable[[Files], bytes]]] = [
    ("cut off", lambda old: old["packet.json"][:40]),
    ("empty", lambda old: b""),
    ("not text", lambda old: b"\xff\xfe"),
    ("a list", lambda old: b"[]"),
    ("no person", lambda old: saying(person=None)),
    ("no files", lambda old: saying(files=None)),
    ("files are a list", lambda old: saying(files=["a"])),
    ("no file", lambda old: saying(files={})),
    *((name or "no name", lambda old, name=name: saying(files={name: "0" * 64}))  # type: ignore[misc]
      for name in ("", ".", "..", "../notes.txt", "/etc/hosts", ".plainleaf", "a\0b")),
]  # fmt: skip


@pytest.mark.parametrize("damage", [row[1] for row in DAMAGE], ids=[row[0] for row in DAMAGE])
def test_a_record_that_does_not_say_whose_it_is_keeps_everything(
    damage: Callable[[Files], bytes], tmp_path: Path
) -> None:
    out = folder_of(tmp_path / "out", OLD, {"packet.json": damage(OLD)})
    refused(out, "packet.json: does not say whose packet this is", "name another folder")


@pytest.mark.parametrize("name", sorted(set(OLD) & set(NEW) - {"packet.json"}))
def test_without_a_record_nothing_is_taken_for_a_packet(name: str, tmp_path: Path) -> None:
    out = folder_of(tmp_path / "out", {name: b"of nobody knows whom"})
    refused(out, f"holds {name}, and nothing there says who wrote that")


@pytest.mark.parametrize("name", sorted(set(OLD) - {"packet.json"}))
def test_a_file_with_somebodys_work_in_it_is_kept(name: str, tmp_path: Path) -> None:
    out = folder_of(tmp_path / "out", OLD, {name: OLD[name] + b" and what was written in"})
    refused(out, f"{name}: was filled in or changed after it was built", "name another folder")


def test_every_changed_file_has_its_line(tmp_path: Path) -> None:
    out = folder_of(tmp_path / "out", OLD, {"handout.pdf": b"x", "teach-back.pdf": b"y"})
    with pytest.raises(DeliveryError) as error:
        look_into(out, OWNED)
    assert len(str(error.value).splitlines()) == 2


def test_a_folder_in_the_place_of_a_file_is_kept(tmp_path: Path) -> None:
    for number, name in enumerate(("card.es.pdf", "handout.html")):
        out = folder_of(tmp_path / str(number), OLD)
        (out / name).unlink(missing_ok=True)
        (out / name).mkdir()
        with pytest.raises(DeliveryError, match=name):
            deliver(NEW, out, OWNED)
        (out / name).rmdir()
        assert files(out) == {key: data for key, data in OLD.items() if key != name}


@pytest.mark.parametrize("name", RECORDED)
@pytest.mark.parametrize("there", [{}, OLD, NEW], ids=["alone", "earlier", "the same packet"])
def test_what_was_recorded_stays_with_its_packet(name: str, there: Files, tmp_path: Path) -> None:
    out = folder_of(tmp_path / "out", there, {name: b"recorded"})
    refused(out, f"holds what was recorded of the teaching ({name})", "name another folder")


def test_it_is_said_before_the_work_is_done(tmp_path: Path) -> None:
    out = folder_of(tmp_path / "out", packet("their", "handout.pdf", person=OTHER))
    with pytest.raises(DeliveryError, match="another patient"):
        look_into(out, OWNED)
    look_into(tmp_path / "not there", OWNED)
    assert os.listdir(tmp_path) == ["out"]


# --- when it cannot be done, the earlier packet stays and nothing else is left --------------------


def nothing_changed(out: Path, before: Files | None, says: str) -> None:
    with pytest.raises(DeliveryError) as error:
        deliver(NEW, out, OWNED)
    assert str(error.value) == f"{out}: {says}. Nothing was written."
    assert (files(out) if out.exists() else None) == before
    assert os.listdir(out.parent) == ([out.name] if before is not None else [])


@pytest.mark.parametrize("after", [0, 2, 4])
@pytest.mark.parametrize("there", [None, OLD, OLD | FOREIGN], ids=["new", "alone", "foreign"])
def test_a_full_disk_changes_nothing(
    after: int, there: Files | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out" if there is None else folder_of(tmp_path / "out", there)
    calls = iter(range(100))

    def fsync(_: int) -> None:
        if next(calls) >= after:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", fsync)
    nothing_changed(out, there and dict(sorted(there.items())), "No space left on device")


@pytest.mark.parametrize("fails_at", range(1 + len(OLD) + len(NEW)))
def test_a_fault_half_way_brings_the_earlier_packet_back(
    fails_at: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = folder_of(tmp_path / "out", OLD, FOREIGN)
    real, calls = os.rename, iter(range(100))

    def rename(*arguments: str) -> None:
        if next(calls) == fails_at:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        real(*arguments)

    monkeypatch.setattr(os, "rename", rename)
    nothing_changed(out, dict(sorted((OLD | FOREIGN).items())), "Input/output error")


def test_a_disk_that_fails_for_good_is_told_and_ended_later(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = folder_of(tmp_path / "out", OLD, FOREIGN)
    real, calls = os.rename, iter(range(100))

    def rename(*arguments: str) -> None:
        if next(calls) >= 4:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        real(*arguments)

    with monkeypatch.context() as patch:
        patch.setattr(os, "rename", rename)
        with pytest.raises(DeliveryError, match="Hand nothing out"):
            deliver(NEW, out, OWNED)
    assert "Hand nothing out" in (out / NOTICE).read_text(encoding="utf-8")
    settle(out)
    assert files(out) == NEW | FOREIGN


def test_what_somebody_wrote_after_a_stop_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = folder_of(tmp_path / "out", OLD, FOREIGN)

    def broken(*_: object) -> None:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    with monkeypatch.context() as patch:
        patch.setattr("plainleaf.packet.delivery.in_place._back", broken)
        patch.setattr("plainleaf.packet.delivery.in_place._is_old", broken)
        with pytest.raises(DeliveryError):
            deliver(NEW, out, OWNED)
    (out / "teach-back.pdf").write_bytes(b"filled in")
    with pytest.raises(DeliveryError, match=r"teach-back\.pdf: was put there or changed"):
        settle(out)
    assert (out / "teach-back.pdf").read_bytes() == b"filled in"
    (out / "teach-back.pdf").rename(tmp_path / "kept.pdf")
    settle(out)
    assert files(out) == NEW | FOREIGN


def test_a_file_in_the_place_of_the_folder_is_not_touched(tmp_path: Path) -> None:
    (tmp_path / "out").write_bytes(b"mine")
    with pytest.raises(DeliveryError, match="Not a directory"):
        deliver(NEW, tmp_path / "out", OWNED)
    assert files(tmp_path) == {"out": b"mine"}


@pytest.mark.parametrize("there", [OLD, OLD | FOREIGN], ids=["alone", "with other files"])
def test_a_folder_that_may_not_be_written_changes_nothing(
    there: Files, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = folder_of(tmp_path / "out", there)
    monkeypatch.setattr(os, "access", lambda path, _: Path(path) != out)
    nothing_changed(out, dict(sorted(there.items())), "Permission denied")


def test_a_file_with_the_name_of_the_notice_is_kept(tmp_path: Path) -> None:
    out = folder_of(tmp_path / "out", OLD, {NOTICE: b"mine"})
    refused(out, f"{NOTICE}: is in the way. Move it away")


# --- two runs at once -----------------------------------------------------------------------------


def test_another_run_is_waited_for_and_then_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lock, "SECONDS", 0.1)
    for out in (folder_of(tmp_path / "out", OLD), tmp_path / "not there"):
        with (
            lock.held(out if out.exists() else tmp_path),
            pytest.raises(DeliveryError, match="another run of plainleaf is writing there"),
        ):
            deliver(NEW, out, OWNED)
        deliver(NEW, out, OWNED)
        assert files(out) == NEW


@pytest.mark.parametrize("there", [None, OLD, OLD | FOREIGN], ids=["new", "alone", "foreign"])
def test_runs_at_once_do_not_mix(there: Files | None, tmp_path: Path) -> None:
    out = tmp_path / "above" / "out"
    if there is not None:
        folder_of(out, there)
    packets = [packet(f"run {n}", "handout.pdf", f"card.{n}.pdf") for n in range(6)]
    faults: list[Exception] = []

    def run(new: Files) -> None:
        try:
            deliver(new, out, OWNED)
        except Exception as error:
            faults.append(error)

    runs = [threading.Thread(target=run, args=(new,)) for new in packets]
    for thread in runs:
        thread.start()
    for thread in runs:
        thread.join()
    assert faults == []
    assert {name: data for name, data in files(out).items() if name not in FOREIGN} in packets
    assert os.listdir(out.parent) == ["out"]
    assert not (out / STAGE).exists()
