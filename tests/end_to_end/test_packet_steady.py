"""One file gives one packet, whatever machine, day or run; and a run that dies leaves nothing."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from builders import ROOT
from packets import FILES, Packet, make, packet_of, packet_with, settled_text

# Everything of which a file may hold several, so that an order that is not fixed would show.
MANY: dict[str, Any] = {
    "patient.conditions": ["diabetes", "heart-failure", "malnutrition", "steroids", "ascites"],
    "other_lines": ["PICC", "drain", "oxygen"],
    "if_feeding_stops": "Call us.",
    "contacts.others": [{"name": f"Number {n}", "phone": f"+1 555 010 017{n}"} for n in range(3)],
}
OTHER_MACHINES = [
    {"TZ": "Pacific/Kiritimati", "LC_ALL": "C", "PYTHONHASHSEED": "1"},
    {"TZ": "America/St_Johns", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "77"},
]
# Ends the process in the moment in which the second file is written.
KILLED_WHILE_WRITING = """
import os, signal, sys
from plainleaf.cli.main import main
calls = []
def ended(*_):
    calls.append(1)
    if len(calls) == 2:
        os.kill(os.getpid(), signal.SIGKILL)
os.fsync = ended
sys.exit(main(sys.argv[1:]))
"""


def _run(
    arguments: list[str], more: dict[str, str] | None = None, code: str | None = None
) -> subprocess.Popen[bytes]:
    how = ["-m", "plainleaf"] if code is None else ["-c", code]
    return subprocess.Popen(
        [sys.executable, *how, *arguments],
        env={**os.environ, "PYTHONPATH": str(ROOT / "src"), **(more or {})},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )


def _finish(process: subprocess.Popen[bytes]) -> tuple[int, bytes]:
    try:
        _, errors = process.communicate(timeout=240)
    finally:
        process.kill()  # one that takes too long is no burden to later tests
    return process.returncode, errors


@pytest.fixture(scope="module")
def many() -> Packet:
    """A packet with several of everything."""
    return packet_with(settled_text(MANY), "many")


def test_building_twice_gives_the_same_bytes(many: Packet) -> None:
    again = make(many.text)
    assert dict(again.files) == dict(many.files)


@pytest.mark.parametrize("machine", OTHER_MACHINES, ids=lambda m: str(m["TZ"]))
def test_another_machine_gives_the_same_bytes(
    many: Packet, machine: dict[str, str], tmp_path: Path
) -> None:
    path, out = tmp_path / "another-name.yaml", tmp_path / "out"
    path.write_text(many.text, encoding="utf-8")
    status, errors = _finish(_run(["build", str(path), "--out", str(out)], machine))
    assert (status, errors) == (0, b"")
    for name in FILES:
        assert (out / name).read_bytes() == many.files[name], name


def test_the_packet_holds_no_time_of_the_build(many: Packet) -> None:
    today = time.strftime("%Y-%m-%d").encode()
    for name, data in many.files.items():
        assert today not in data, name
        assert b"CreationDate" not in data
        assert str(ROOT).encode() not in data


def test_another_content_gives_another_version(many: Packet) -> None:
    other = packet_with(settled_text({**MANY, "water.daily": "50 mL"}))
    assert other.record["version"] != many.record["version"]
    assert other.record["digests"]["teaching"] == many.record["digests"]["teaching"]


def test_a_run_that_is_killed_while_it_prints_leaves_nothing(
    patient_file: Path, tmp_path: Path
) -> None:
    process = _run(["build", str(patient_file), "--out", str(tmp_path / "out")])
    time.sleep(1.5)
    assert process.poll() is None
    process.send_signal(signal.SIGKILL)
    _finish(process)
    assert [path.name for path in tmp_path.iterdir()] == ["patient.yaml"]


def _left_running(mark: str) -> list[Path]:
    """Processes that carry a mark in their environment, by their folder under /proc."""
    found = []
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            if mark.encode() in (folder / "environ").read_bytes():
                found.append(folder)
        except OSError:
            continue
    return found


@pytest.mark.skipif(not Path("/proc/self/environ").exists(), reason="reads /proc")
def test_a_run_that_is_killed_leaves_no_process(patient_file: Path, tmp_path: Path) -> None:
    mark = f"PLAINLEAF_MARK=killed-{os.getpid()}"
    process = _run(
        ["build", str(patient_file), "--out", str(tmp_path / "out")],
        dict([mark.split("=")]),
    )
    time.sleep(1)
    assert _left_running(mark)
    process.send_signal(signal.SIGKILL)
    _finish(process)
    for _ in range(100):
        if not _left_running(mark):
            break
        time.sleep(0.1)
    assert _left_running(mark) == []


def test_a_run_that_is_killed_while_it_writes_leaves_no_packet(
    patient_file: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    arguments = ["build", str(patient_file), "--out", str(out)]
    assert _finish(_run(arguments, code=KILLED_WHILE_WRITING))[0] == -signal.SIGKILL
    assert not out.exists()
    # A half-written folder stays hidden beside it until the next run.
    assert sorted(os.listdir(tmp_path)) == [".out.plainleaf", "patient.yaml"]
    assert _finish(_run(arguments))[0] == 0
    assert sorted(os.listdir(tmp_path)) == ["out", "patient.yaml"]
    assert tuple(sorted(path.name for path in out.iterdir())) == FILES


def test_a_run_that_is_killed_keeps_the_earlier_packet(patient_file: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    earlier = dict(packet_of("g-balloon-syringe").files)
    for name, data in earlier.items():
        (out / name).write_bytes(data)
    arguments = ["build", str(patient_file), "--out", str(out)]
    assert _finish(_run(arguments, code=KILLED_WHILE_WRITING))[0] == -signal.SIGKILL
    assert {path.name: path.read_bytes() for path in out.iterdir()} == earlier
