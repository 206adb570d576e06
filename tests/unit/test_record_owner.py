"""Where a record of the teaching may be written, and which earlier one it takes the place of."""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path

import pytest
from sample_records import teaching_data

from plainleaf.packet.delivery import deliver
from plainleaf.teach_back.record_owner import FILES, record_ownership
from plainleaf.vocabulary.errors import DeliveryError

PACKET = b'{"version": "0123456789"}'


def record(packet: bytes, text: str) -> dict[str, bytes]:
    files = {name: f"{text} {name}".encode() for name in FILES}
    belongs = teaching_data()["packet"] | {"sha256": sha256(packet).hexdigest()}
    return files | {"record.json": json.dumps(teaching_data(packet=belongs, goal=text)).encode()}


NEW = record(PACKET, "new")


def folder_of(folder: Path, files: dict[str, bytes]) -> Path:
    folder.mkdir()
    for name, data in files.items():
        (folder / name).write_bytes(data)
    return folder


def written(out: Path) -> tuple[str, ...]:
    return deliver(NEW, out, record_ownership(NEW["record.json"]))


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_a_record_is_written_beside_its_packet(tmp_path: Path) -> None:
    beside = {"packet.json": PACKET, "teach-back.pdf": b"filled"}
    out = folder_of(tmp_path / "out", beside)
    assert written(out) == ()
    assert files(out) == beside | NEW


def test_the_record_of_the_same_packet_is_replaced_and_told(tmp_path: Path) -> None:
    out = folder_of(tmp_path / "out", {"packet.json": PACKET, **record(PACKET, "old")})
    assert set(written(out)) == set(FILES)
    assert files(out) == {"packet.json": PACKET} | NEW


def test_a_chart_copy_that_is_no_longer_written_goes(tmp_path: Path) -> None:
    out = folder_of(tmp_path / "out", record(PACKET, "old"))
    fewer = {name: data for name, data in NEW.items() if name != "record.fhir.json"}
    deliver(fewer, out, record_ownership(fewer["record.json"]))
    assert files(out) == fewer


@pytest.mark.parametrize(
    ("there", "says"),
    [
        (record(b"another", "old"), "record.json: is the record of another packet"),
        ({"record.json": b"{"}, "record.json: does not say which packet it belongs to"),
        ({"record.json": b"[]"}, "record.json: does not say which packet it belongs to"),
        ({"packet.json": b"another"}, "holds another packet than the one the sheet belongs to"),
        ({"chart-note.txt": b"mine"}, "holds chart-note.txt, and nothing there says who wrote"),
    ],
    ids=["another packet's", "damaged", "not a record", "beside another packet", "a note"],
)
def test_what_is_not_of_this_packet_is_kept(
    there: dict[str, bytes], says: str, tmp_path: Path
) -> None:
    out = folder_of(tmp_path / "out", there)
    with pytest.raises(DeliveryError) as error:
        written(out)
    assert says in str(error.value) and str(out) in str(error.value)
    assert "--out" in str(error.value) and "\n" not in str(error.value)
    assert files(out) == there
