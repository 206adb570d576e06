"""Records: samples of every format still read, and what no record may hold is refused in a line."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any, Literal

import jsonschema
import pytest
from builders import ROOT, policy, teaching
from format_2 import NAMES, data_with, patient_of, with_codes
from packets import decision_from, settled_text
from returned_sheets import as_texts
from sample_records import FOLDER, PACKETS, TEACHINGS, packet_data, teaching_data

from plainleaf.authoring.affected import compare_records, comparison_lines
from plainleaf.cli.main import main
from plainleaf.compose.word import wording_of
from plainleaf.inputs.load_inputs import inputs_for
from plainleaf.packet.places import Places
from plainleaf.packet.record.bounds import LARGEST_AMOUNT, LONGEST_TEXT, Rows
from plainleaf.packet.record.packet_record import (
    PACKET_RECORD,
    PacketRecord,
    PacketRecord1,
    PacketRecord2,
    ReviewRecord,
    ScheduleRow,
    read_packet_record,
)
from plainleaf.packet.record.record_file import RecordKind, record_bytes, record_data
from plainleaf.packet.record.replaces import replacing
from plainleaf.packet.record.review_data import decision_data, review_data
from plainleaf.packet.sheet.form_fields import field_name
from plainleaf.packet.sheet.outline import FORM
from plainleaf.packet.sheet.outline_json import outline_data, outline_of
from plainleaf.rules.decision import decide
from plainleaf.rules.typed_keys import TypedKey
from plainleaf.teach_back.answers import read_answers
from plainleaf.teach_back.filled_form import Filled
from plainleaf.teach_back.teaching_record import TEACHING_RECORD, read_teaching_record
from plainleaf.teach_back.verdict import judge_sheet, ready_to_go_home
from plainleaf.vocabulary.errors import RecordError, ReplaceError, SheetError

SECRET = "Okafor"
# A packet and the teaching that belongs to it, both with a sheet of sessions.
SAMPLE_2 = tuple(FOLDER / f"g-balloon-syringe.{kind}.json" for kind in ("packet", "record"))


def file_of(folder: Path, data: Any) -> Path:
    path = folder / "given.json"
    path.write_text(data if isinstance(data, str) else json.dumps(data), encoding="utf-8")
    return path


# --- samples ----------------------------------------------------------------------------------


@pytest.mark.parametrize("path", PACKETS, ids=lambda path: path.name)
def test_a_sample_of_a_packet_is_read_whole_and_written_the_same(path: Path) -> None:
    raw, record = read_packet_record(path)
    assert record_bytes(record) == raw == path.read_bytes()


@pytest.mark.parametrize("path", TEACHINGS, ids=lambda path: path.name)
def test_a_sample_of_a_teaching_is_read_whole_and_written_the_same(path: Path) -> None:
    raw, record = read_teaching_record(path)
    assert record_bytes(record) == raw == path.read_bytes()


@pytest.mark.parametrize("path", PACKETS, ids=lambda path: path.name)
def test_a_sample_can_be_replaced(path: Path) -> None:
    base = path.name.removesuffix(".packet.json")
    decision = decision_from(settled_text({"prepared.on": "2026-11-30 08:00"}, base))
    changed, line = replacing(decision, path, ROOT / "templates")
    _, record = read_packet_record(path)
    assert changed.inputs.replaces is not None
    assert changed.inputs.replaces.version == record.version
    assert line.startswith(f"Replaces version {record.version} of 2026-")


def test_a_sample_of_somebody_else_is_not_replaced() -> None:
    decision = decision_from(settled_text(base="j-surgical-continuous"))
    with pytest.raises(ReplaceError, match="another patient"):
        replacing(decision, PACKETS[0], ROOT / "templates")


def test_samples_are_held_against_the_teaching_of_now() -> None:
    folder = PACKETS[0].parent
    lines = list(comparison_lines(compare_records(folder, Places.default())))
    for path in PACKETS:
        _, record = read_packet_record(path)
        assert any(line.startswith(f"{path}: version {record.version}: ") for line in lines)
    refused = [f"{path}: is no packet.json. Name one." for path in TEACHINGS]
    assert [line for line in lines if "is no packet.json" in line] == refused


@pytest.mark.parametrize("path", PACKETS, ids=lambda path: path.name)
def test_the_sheet_of_a_sample_is_known_and_its_fields_are_those_of_its_program(path: Path) -> None:
    raw, record = read_packet_record(path)
    outline = outline_of(record)
    assert outline_data(outline) == json.loads(raw)["teach_back"]
    if outline.form == FORM:
        read = read_answers(Filled(as_texts({}, outline), frozenset()), outline, "f.pdf", path.name)
        assert read.missing == read.unknown == read.troubles == ()
        return
    filled = Filled({"packet/version": outline.version}, frozenset())
    with pytest.raises(SheetError, match="is of an earlier program, whose sheet has other fields"):
        read_answers(filled, outline, "filled.pdf", path.name)


def test_a_sample_of_a_teaching_is_what_its_sheet_gives_today() -> None:
    """Written back into the fields of its packet's sheet, it comes out with the same verdict."""
    packet, teaching_file = SAMPLE_2
    raw, record = read_packet_record(packet)
    taught = read_teaching_record(teaching_file)[1]
    assert taught.format == 2
    assert taught.packet.sha256 == sha256(raw).hexdigest()
    outline = outline_of(record)
    values: dict[str, str | bool] = {}
    for line in taught.sessions:
        values[field_name("session", line.letter, "start")] = line.written or ""
    for number, learner in enumerate(taught.learners):
        for item in learner.items:
            for attempt in item.tries:
                code = f"{attempt.code}{attempt.session}"
                values[field_name(item.id, number, f"try-{attempt.number}", "code")] = code
            for place, step in enumerate(item.steps, 1):
                values[field_name(item.id, number, f"step-{place}")] = step.marked or "Off"
    read = read_answers(Filled(as_texts(values, outline), frozenset()), outline, "f.pdf", "p")
    verdicts = judge_sheet(read, outline)
    assert ready_to_go_home(verdicts) is taught.verdict.ready is False
    missing = {row.learner: [one.id for one in row.missing] for row in taught.verdict.not_ready}
    assert missing == {v.learner.name: [s.item.id for s in v.critical] for v in verdicts}


def test_of_an_older_record_every_changed_setting_is_told(tmp_path: Path) -> None:
    """It does not say what the settings were read for, so none can be ruled out."""
    data = packet_data()
    assert "settings_read" not in data
    data["policy"]["values"]["gj_change"]["value"] = "1 d to 2 d"
    data["digests"]["policy"] = "0" * 64
    file_of(tmp_path, data)
    lines = list(comparison_lines(compare_records(tmp_path, Places.default())))
    told = [line for line in lines if line.startswith("  setting gj_change was 1 d to 2 d, now ")]
    assert len(told) == 1 and told[0].endswith("the record does not say what it was read for")


# --- what no record may hold ------------------------------------------------------------------


def changed(data: dict[str, Any], place: str, value: Any) -> dict[str, Any]:
    """A record with another value in one place, such as `totals.flush_ml` or `findings.0.id`."""
    whole = deepcopy(data)
    inner: Any = whole
    *way, last = [int(part) if part.isdigit() else part for part in place.split(".")]
    for part in way:
        inner = inner[part]
    inner[last] = value
    return whole


FAULTS: list[tuple[str, str, Any, str]] = [
    ("no number", "totals.flush_ml", float("nan"), "totals.flush_ml is no number from 0"),
    ("without end", "totals.flush_ml", float("inf"), "totals.flush_ml is no number from 0"),
    ("huge", "totals.flush_ml", 10**400, "totals.flush_ml is no number from 0"),
    ("too large", "totals.flush_ml", LARGEST_AMOUNT + 1, "totals.flush_ml is no number from 0"),
    ("below zero", "schedule.0.amount_ml", -1, "schedule.0.amount_ml is no number from 0"),
    ("a number as text", "totals.flush_ml", "210", "totals.flush_ml is no number from 0"),
    ("true as a number", "totals.flush_ml", True, "totals.flush_ml is no number from 0"),
    ("half a piece", "supplies.0.count", 1.5, "supplies.0.count "),
    ("pieces without end", "supplies.0.count", 10**400, "supplies.0.count "),
    ("a long text", "statements.0.says", "x" * (LONGEST_TEXT + 1), "statements.0.says "),
    ("a long name", "statements.0.id", "x" * 301, "statements.0.id "),
    ("too many rows", "statements.0.sources", ["x"] * 100_001, "statements.0.sources "),
    ("a date of no calendar", "policy.holds_from", "2026-02-30", "policy.holds_from "),
    ("a date of old", "policy.holds_from", "1066-10-14", "is no day from 1900-01-01"),
    ("a date far off", "made", "9999-01-01T00:00", "made is no moment from 1900-01-01"),
    ("a date with zone", "made", "2026-03-04T09:00Z", "without zone"),
    ("a date as a number", "made", 1772528400, "made is no moment"),
    ("an hour of no day", "schedule.0.at", "24:00", "schedule.0.at "),
    ("another level", "findings.0.level", "stopp", "findings.0.level "),
    ("a text as list", "findings.0.says", [SECRET], "findings.0.says "),
    ("a file elsewhere", "files", {"../handout.pdf": "0" * 64}, "files.../handout.pdf"),
    ("a digest that is none", "person", SECRET, "person "),
    ("print of no size", "teach_back.print_size", 0, "teach_back.print_size "),
    ("tries without end", "teach_back.tries", 10**9, "teach_back.tries "),
]


@pytest.mark.parametrize(("place", "value", "part"), [f[1:] for f in FAULTS],
                         ids=[f[0] for f in FAULTS])  # fmt: skip
def test_a_value_out_of_its_bounds_is_one_line(
    place: str, value: Any, part: str, tmp_path: Path
) -> None:
    path = file_of(tmp_path, changed(packet_data(), place, value))
    with pytest.raises(RecordError) as caught:
        read_packet_record(path)
    line = str(caught.value)
    assert line.startswith(f"{path}: is not a whole packet.json: ") and part in line
    assert line.endswith(". Name the right file, or build that packet again.")
    assert "\n" not in line and SECRET not in line and len(line) < 400


def _without(place: str) -> dict[str, Any]:
    """A record without one key."""
    whole = packet_data()
    inner: Any = whole
    *way, last = place.split(".")
    for part in way:
        inner = inner[part]
    del inner[last]
    return whole


OTHERS: list[tuple[str, Any, str]] = [
    ("a list", [], "is no packet.json. Name one."),
    ("a record of the teaching", teaching_data(), "is no packet.json. Name one."),
    ("not JSON", "{", "is not JSON"),
    ("too deep", "[" * 100_000, "is nested too deeply"),
    ("a number of 5000 digits", '{"version": 1' + "0" * 5000 + "}", "cannot be taken as JSON"),
    ("a newer format", packet_data(format=3),
     "is of another format than this plainleaf reads (1, 2)"),
    ("no format", _without("format"), "lacks format"),
    ("a format in words", packet_data(format="1"), "is of another format"),
    ("a format that is true", packet_data(format=True), "is of another format"),
    ("a sheet of a newer format", changed(packet_data(), "teach_back.format", 3),
     "is of another format"),
    ("a newer key", packet_data(plans=[]), "holds what this plainleaf does not know: plans."),
    ("a newer key inside", changed(packet_data(), "totals.drink_ml", 0),
     "holds what this plainleaf does not know: totals.drink_ml."),
    ("an older program", _without("teach_back"),
     "lacks teach_back: an older program wrote it, or it was cut. Build that packet again."),
    ("several are missing", {"version": "0123456789", "format": 1},
     "lacks stopped, findings, totals, schedule, timeline and 15 more: "),
]  # fmt: skip


@pytest.mark.parametrize(("data", "part"), [o[1:] for o in OTHERS], ids=[o[0] for o in OTHERS])
def test_another_file_or_format_is_one_line(data: Any, part: str, tmp_path: Path) -> None:
    path = file_of(tmp_path, data)
    with pytest.raises(RecordError, match=re.escape(part)) as caught:
        read_packet_record(path)
    assert str(caught.value).startswith(str(path)) and "\n" not in str(caught.value)


def test_the_oldest_ones_do_not_hold_what_read_the_settings(tmp_path: Path) -> None:
    assert read_packet_record(file_of(tmp_path, packet_data()))[1].settings_read is None
    kept = [read_packet_record(path)[1].settings_read for path in PACKETS]
    assert any(read is not None and read.totals for read in kept)


def test_what_is_written_keeps_to_the_same_bounds() -> None:
    with pytest.raises(RecordError, match=r"^packet\.json: cannot be written: totals\.flush_ml is"):
        PACKET_RECORD.of(changed(packet_data(), "totals.flush_ml", float("inf")))
    with pytest.raises(RecordError, match=r"^record\.json: cannot be written: goal "):
        TEACHING_RECORD.of(teaching_data(goal="x" * (LONGEST_TEXT + 1)))


def test_a_record_is_never_changed() -> None:
    record = PACKET_RECORD.of(packet_data())
    with pytest.raises(ValueError, match="frozen"):
        record.version = "0123456789"


def test_a_later_format_is_a_shape_beside_this_one(tmp_path: Path) -> None:
    """What both hold is read by whoever reads records; each file by the shape of its format."""

    class NextRecord(PacketRecord):
        format: Literal[2]
        plans: Rows[ScheduleRow]

    kind: RecordKind[PacketRecord] = RecordKind(
        "packet.json", {1: PacketRecord1, 2: NextRecord}, "version", "build that packet again"
    )
    _, newer = kind.read(file_of(tmp_path, packet_data(format=2, plans=[])))
    assert isinstance(newer, NextRecord) and newer.plans == ()
    _, older = kind.read(file_of(tmp_path, packet_data()))
    assert isinstance(older, PacketRecord1)
    with pytest.raises(RecordError, match="does not know: plans"):
        kind.read(file_of(tmp_path, packet_data(plans=[])))


# --- the review, and the schemas --------------------------------------------------------------


def test_a_review_is_what_a_record_begins_with() -> None:
    decision = decision_from(settled_text())
    data = review_data(decision.facts, decision.findings, wording_of(decision))
    review = ReviewRecord.model_validate_json(json.dumps(data))
    assert record_data(review) == data


@pytest.mark.parametrize("name", NAMES)
def test_the_plans_and_what_was_settled_are_recorded(name: str, tmp_path: Path) -> None:
    """What the review of a file of format 2 prints, with the rest of a record around it."""
    decision = decide(
        inputs_for(patient_of(with_codes(data_with(base=name))), policy(), teaching())
    )
    prints = (TypedKey("tube.size", ("card", "your-tube.size")), TypedKey("prepared.at", ()))
    data = decision_data(replace(decision, typed=prints), wording_of(decision))
    whole = {**packet_data(), **data, "rulings": packet_data()["decisions"]}
    _, record = read_packet_record(file_of(tmp_path, whole))
    assert isinstance(record, PacketRecord2)
    kept = record_data(record)
    assert {key: kept[key] for key in data} == data
    assert [(row.key, row.prints) for row in record.typed] == [(t.key, t.prints) for t in prints]
    assert record.plans[0].schedule == record.schedule
    assert [row.holds for row in record.ruled] == [row["in"] for row in whole["rulings"]]
    assert all(row.right for row in record.decisions)
    lines = sum(len(block.decided) for block in decision.patient.settled)
    assert len(record.decisions) == lines
    jsonschema.validate(whole, PACKET_RECORD.schema())


FAULTS_2: list[tuple[str, Any, str]] = [
    ("plans.1.totals.drink_ml", -1, "plans.1.totals.drink_ml is no number from 0"),
    ("plans.0.from", "2026-02-30", "plans.0.from "),
    ("typed", [{"key": "", "prints": []}], "typed.0.key "),
    ("schedule.0.who", None, "schedule.0.who "),
    ("decisions", [{"id": "x", "in": True, "condition": "always", "facts": {}, "digest": ""}],
     "does not know: decisions.0.id"),
]  # fmt: skip


@pytest.mark.parametrize(("place", "value", "part"), FAULTS_2, ids=[f[0] for f in FAULTS_2])
def test_a_record_of_format_2_has_its_bounds(
    place: str, value: Any, part: str, tmp_path: Path
) -> None:
    decision = decide(inputs_for(patient_of(with_codes(data_with())), policy(), teaching()))
    data = decision_data(decision, wording_of(decision))
    whole = {**packet_data(), **data, "rulings": packet_data()["decisions"]}
    with pytest.raises(RecordError, match=re.escape(part)):
        read_packet_record(file_of(tmp_path, changed(whole, place, value)))


def _schemas() -> Iterator[tuple[str, Any, Any]]:
    for path in (*PACKETS, *TEACHINGS):
        kind: RecordKind[Any] = PACKET_RECORD if path in PACKETS else TEACHING_RECORD
        yield path.name, kind.schema(), json.loads(path.read_bytes())


@pytest.mark.parametrize("kind", [PACKET_RECORD, TEACHING_RECORD], ids=lambda kind: kind.file)
def test_the_command_prints_the_schema_of_a_record(
    kind: RecordKind[Any], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["schema", "--record", kind.file]) == 0
    assert json.loads(capsys.readouterr().out) == kind.schema()


@pytest.mark.parametrize(("schema", "data"), [s[1:] for s in _schemas()],
                         ids=[s[0] for s in _schemas()])  # fmt: skip
def test_the_schema_takes_the_samples_and_nothing_besides(schema: Any, data: Any) -> None:
    validator = jsonschema.Draft202012Validator(schema)
    validator.check_schema(schema)
    assert list(validator.iter_errors(data)) == []
    for wrong in (data | {"format": 9}, data | {"more": 1}, {**data, "packet": 1, "made": 1}):
        assert list(validator.iter_errors(wrong)) != []
