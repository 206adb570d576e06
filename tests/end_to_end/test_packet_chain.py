"""A packet that is issued again says which sheet it replaces; its calendar and chart copy agree."""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path

import pytest
import vobject
from fhir.resources.R4B.bundle import Bundle
from packets import Packet, packet_of
from pdf_reading import pages, squeezed

from plainleaf.cli.main import main

HEAD = squeezed("Replaces the sheet of March 4, 2026. Throw the old one away.")


@pytest.fixture(name="earlier")
def _earlier(tmp_path: Path) -> Path:
    """The record of a packet that was given out: that of the example, made earlier that day."""
    record = dict(packet_of("g-balloon-syringe").record)
    record |= {"version": "abcdef0123", "made": "2026-03-04T09:00"}
    record["digests"] = {**record["digests"], "patient": "0" * 64}
    path = tmp_path / "given" / "packet.json"
    path.parent.mkdir()
    path.write_text(json.dumps(record), encoding="utf-8")
    return path


def test_the_new_packet_says_what_it_replaces_on_every_page(
    earlier: Path, patient_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    arguments = ["build", str(patient_file), "--out", str(out), "--replaces", str(earlier)]
    assert main(arguments) == 0
    assert "Replaces version abcdef0123 of 2026-03-04." in capsys.readouterr().out
    record = json.loads((out / "packet.json").read_text(encoding="utf-8"))
    assert record["replaces"] == {
        "version": "abcdef0123", "made": "2026-03-04T09:00",
        "sha256": sha256(earlier.read_bytes()).hexdigest(),
    }  # fmt: skip
    plain = packet_of("g-balloon-syringe").record
    assert record["version"] != plain["version"]
    assert record["digests"] == plain["digests"]
    for name in ("handout.pdf", "teach-back.pdf"):
        assert all(HEAD in page for page in pages((out / name).read_bytes())), name
    assert HEAD in squeezed((out / "handout.html").read_text(encoding="utf-8"))
    assert "abcdef0123" in (out / "packet.fhir.json").read_text(encoding="utf-8")


def test_a_packet_that_replaces_nothing_does_not_say_so(packet: Packet) -> None:
    assert packet.record["replaces"] is None
    for name in ("handout.pdf", "teach-back.pdf"):
        assert not [page for page in pages(packet.files[name]) if "Replaces" in page]


@pytest.mark.parametrize(
    ("change", "status", "says"),
    [
        ({"person": "0" * 64}, 1, "is the packet of another patient"),
        ({"made": "2026-03-05T09:00"}, 1, "later than prepared.on"),
        ({"made": "soon"}, 2, "is not a whole packet.json"),
    ],
)
def test_what_cannot_be_replaced_stops_and_writes_nothing(
    change: dict[str, str], status: int, says: str, earlier: Path, patient_file: Path,
    tmp_path: Path, capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    record = json.loads(earlier.read_text(encoding="utf-8")) | change
    earlier.write_text(json.dumps(record), encoding="utf-8")
    out = tmp_path / "out"
    arguments = ["build", str(patient_file), "--out", str(out), "--replaces", str(earlier)]
    assert main(arguments) == status
    output = capsys.readouterr()
    assert says in output.err
    assert "Brandvold" not in output.err
    assert not out.exists()


def test_the_calendar_of_each_packet_reads_with_another_parser(packet: Packet) -> None:
    calendar = vobject.readOne(packet.files["reminders.ics"].decode())
    titles = [event.summary.value for event in calendar.vevent_list]
    assert "Call us if no nurse has called you yet" in titles
    whole = packet.files["reminders.ics"].decode().replace("\r\n ", "")
    person = packet.decision.patient.person
    assert person.name not in whole
    assert person.record_number not in whole


def test_the_chart_copy_of_each_packet_is_sound_and_knows_the_handout(packet: Packet) -> None:
    bundle = json.loads(packet.files["packet.fhir.json"])
    Bundle.model_validate(bundle)
    found = {
        entry["resource"]["content"][0]["attachment"]["url"]: entry["resource"]
        for entry in bundle["entry"]
        if entry["resource"]["resourceType"] == "DocumentReference"
    }
    handouts = {name for name in packet.files if name.startswith("handout") and name[-4:] == ".pdf"}
    assert set(found) == handouts
    for name, resource in found.items():
        attachment = resource["content"][0]["attachment"]
        assert attachment["size"] == len(packet.files[name])
        assert resource["identifier"][0]["value"] == packet.record["version"]
