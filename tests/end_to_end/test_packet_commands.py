"""The commands: exit statuses of the contract, what they print, nothing half written."""

from __future__ import annotations

import argparse
import errno
import io
import json
import os
import re
import shutil
import sys
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from builders import EXAMPLES, ROOT, library, policy, text_with
from packets import FILES, packet_of
from test_packet_files import keeps_the_contract

from plainleaf.cli.arguments import parser
from plainleaf.cli.main import MOST_FAULTS, main
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.version import program_version

BROKEN = {
    "absent": None,
    "empty": "",
    "not-yaml": "patient: [unclosed\n",
    "not-utf8": b"\xff\xfe patient",
    "bare-number": text_with({"water.before_feed": "60"}),
    "wrong-unit": text_with({"water.before_feed": "60 cc"}),
    "unknown-key": text_with({"tube.colour": "white"}),
    "us-date": text_with({"patient.born": "03/04/1949"}),
    "key-twice": text_with() + "\nwater: {daily: 60 mL}\n",
}


def _written(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.rglob("*"))


@pytest.fixture(params=BROKEN)
def broken_file(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A file that cannot be read as a patient file."""
    content, path = BROKEN[request.param], tmp_path / "broken.yaml"
    if isinstance(content, bytes):
        path.write_bytes(content)
    elif content is not None:
        path.write_text(content, encoding="utf-8")
    return path


@pytest.mark.parametrize("kind", terms.TUBE_KINDS)
def test_start_prints_a_file_to_fill_in(
    kind: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert main(["start", kind]) == 0
    text = capsys.readouterr().out
    assert f"kind: {kind}" in text
    blank = tmp_path / "blank.yaml"
    blank.write_text(text, encoding="utf-8")
    assert main(["review", str(blank)]) == 2
    assert main(["build", str(blank), "--out", str(tmp_path / "out")]) == 2
    assert _written(tmp_path) == ["blank.yaml"]


# What a nurse could write for each blank of a starter file.
FILLED = {
    "<name>": "Ona Petrauskas", "<year-month-day>": "1960-02-03", "<record number>": "DEMO-1",
    "<weight with kg or lb>": "70 kg", "<nothing, sips or full>": "nothing",
    "<standard or low-profile>": "standard", "<year-month-day hour:minute>": "2026-03-04 10:00",
    "<endoscopy, radiology or surgery>": "radiology", "<size with Fr>": "14 Fr",
    "<mark with cm>": "3 cm", "<0 or how many>": "0", "<syringe or gravity>": "syringe",
    "<formula, its kind and strength>": "Standard adult formula", "<energy with kcal/mL>":
    "1 kcal/mL", "<water with %>": "84 %", "<size with mL>": "237 mL",
    "<open, closed or powder>": "open", "<amount with mL>": "60 mL", "<rate with mL/h>": "75 mL/h",
    "<medicine>": "vitamin D", "<dose with unit>": "5 mL", "<clinic>": "Clinic",
    "<number>": "+1 555 010 0100", "<days and hours>": "Monday to Friday, 8 am to 4 pm",
    "<[] for none, or a list>": "[]", '<list of times, as in ["08:00"]>': '["08:00", "12:00"]',
    "<hour:minute>": "18:00", "<time with h>": "12 h", "<form>": "liquid", "<times>": "as needed",
    "<who answers>": "Nurse line", "<your name and credential>": "A. Nurse, RN",
}  # fmt: skip


@pytest.mark.parametrize("kind", terms.TUBE_KINDS)
def test_a_filled_starter_can_be_reviewed(
    kind: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    main(["start", kind])
    lines = [
        re.sub(r"<[^<>]+>", lambda blank: FILLED.get(blank[0], "bumper"), line)
        for line in capsys.readouterr().out.splitlines()
        if not line.lstrip().startswith("#")
    ]
    path = tmp_path / "patient.yaml"
    path.write_text("\n".join(lines), encoding="utf-8")
    assert main(["review", str(path)]) == 0, capsys.readouterr()


@pytest.mark.parametrize("command", ["review", "build", "why"])
def test_a_file_that_cannot_be_read_gives_2(
    command: str, broken_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = _written(tmp_path)
    more = ["--out", str(tmp_path / "out")] if command == "build" else []
    assert main([command, str(broken_file), *more]) == 2
    output = capsys.readouterr()
    assert output.out == ""
    assert "broken.yaml" in output.err
    assert _written(tmp_path) == before


def test_a_file_with_countless_faults_shows_the_first(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "patient.yaml"
    path.write_text("".join(f"key{number}: 1\n" for number in range(1_000)), encoding="utf-8")
    assert main(["review", str(path)]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == MOST_FAULTS + 1
    assert re.fullmatch("and [0-9]{3} faults more.", lines[-1])


def test_review_of_a_settled_file_gives_0(
    patient_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["review", str(patient_file)]) == 0
    output = capsys.readouterr()
    assert output.err == ""
    for word in ("Findings", "The day", "Totals", "Dates", "Walter Brandvold"):
        assert word in output.out


def test_review_as_data_keeps_the_contract(
    patient_file: Path, blocked_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for path, status in ((patient_file, 0), (blocked_file, 1)):
        assert main(["review", str(path), "--json"]) == status
        data = json.loads(capsys.readouterr().out)
        keeps_the_contract(data)
        assert data["stopped"] is (status == 1)


@pytest.fixture
def data(capsys: pytest.CaptureFixture[str]) -> Callable[..., Any]:
    """Runs a command with --json and gives its data; nothing else is printed."""

    def run(*words: str, status: int = 0) -> Any:
        assert main([*words, "--json"]) == status
        output = capsys.readouterr()
        assert output.err == ""
        reported = json.loads(output.out)
        assert reported["format"] == 1
        return reported

    return run


def test_why_as_data(patient_file: Path, data: Callable[..., Any]) -> None:
    statements = data("why", str(patient_file))["statements"]
    assert len(statements) > 300
    assert {frozenset(row) for row in statements} == {
        frozenset(("id", "in", "condition", "facts", "sources"))
    }
    assert {row["in"] for row in statements} == {True, False}


def test_why_as_data_says_what_is_not_known(tmp_path: Path, data: Callable[..., Any]) -> None:
    path = tmp_path / "patient.yaml"
    path.write_text(text_with(), encoding="utf-8")
    unknown = [row for row in data("why", str(path))["statements"] if row["in"] is None]
    assert unknown
    assert all("unknown" in row["facts"].values() for row in unknown)


def test_why_of_a_sentence_as_data(patient_file: Path, data: Callable[..., Any]) -> None:
    reported = data("why", str(patient_file), "--sentence", "Wash your hands")
    assert reported["prints"] is True
    assert all(place["role"] for place in reported["places"])
    assert data("why", str(patient_file), "--sentence", "no such words")["prints"] is False


def test_lint_as_data(tmp_path: Path, data: Callable[..., Any]) -> None:
    reported = data("lint")
    assert reported["faults"] == []
    assert reported["modules"] > 10 and reported["statements"] > 300
    (tmp_path / "rules").mkdir()
    broken = data("lint", "--teaching", str(tmp_path), status=1)
    assert broken["modules"] == 0
    assert {"file", "line", "wrong", "instead"} == set(broken["faults"][0])


def test_locales_as_data(data: Callable[..., Any]) -> None:
    reported = data("locales")
    assert [row["language"] for row in reported["languages"]] == ["ar", "es"]
    module = reported["languages"][0]["modules"][0]
    states = ("translated", "fuzzy", "stale", "missing")
    assert set(module) == {"module", "messages", "reviewed", *states}
    assert sum(module[state] for state in states) == module["messages"]
    assert data("locales", "check", "--language", "es") == {
        "format": 1, "faults": [], "languages": ["es"],
    }  # fmt: skip


def test_affected_as_data(tmp_path: Path, data: Callable[..., Any]) -> None:
    (tmp_path / "packet.json").write_text("[", encoding="utf-8")
    (row,) = data("affected", str(tmp_path))["records"]
    assert set(row) == {"file", "version", "changes", "trouble"}
    assert row["changes"] is row["version"] is None
    assert "is not JSON" in row["trouble"]


def test_a_blocked_build_as_data(
    blocked_file: Path, tmp_path: Path, data: Callable[..., Any]
) -> None:
    reported = data("build", str(blocked_file), "--out", str(tmp_path / "out"), status=1)
    assert reported["written"] is False
    assert "mark-missing" in {finding["id"] for finding in reported["findings"]}


def test_a_build_from_standard_input_as_data(
    patient_file: Path,
    tmp_path: Path,
    data: Callable[..., Any],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    stream = io.TextIOWrapper(io.BytesIO(patient_file.read_bytes()))
    monkeypatch.setattr(sys, "stdin", stream)
    out = tmp_path / "out"
    reported = data("build", "-", "--out", str(out))
    assert reported["written"] is True
    assert reported["folder"] == str(out)
    assert reported["files"] == {
        name: sha256((out / name).read_bytes()).hexdigest() for name in FILES
    }
    assert any("DRAFT" in remark for remark in reported["remarks"])


@pytest.mark.parametrize("command", ["review", "why"])
def test_standard_input_gives_what_the_file_gives(
    command: str,
    patient_file: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    main([command, str(patient_file)])
    from_file = capsys.readouterr().out
    stream = io.TextIOWrapper(io.BytesIO(patient_file.read_bytes()))
    monkeypatch.setattr(sys, "stdin", stream)
    assert main([command, "-"]) == 0
    assert capsys.readouterr().out == from_file


def test_version_names_all_that_counts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["--version"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == f"plainleaf {program_version()}"
    assert lines[1].startswith(f"teaching  {library().digest}  ") and "(shipped)" in lines[1]
    assert lines[2].startswith(f"policy    {policy().digest}  ") and "(shipped)" in lines[2]
    shutil.copy(ROOT / "teaching" / "policy" / "example-facility.yaml", tmp_path / "ours.yaml")
    (tmp_path / "plainleaf.toml").write_text("policy = 'ours.yaml'\n", encoding="utf-8")
    assert main(["--version"]) == 0
    line = capsys.readouterr().out.splitlines()[2]
    assert f"{tmp_path / 'ours.yaml'} ({tmp_path / 'plainleaf.toml'}:1)" in line


def test_a_settings_file_counts_for_every_command(
    patient_file: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plainleaf.toml").write_text("policy = 'gone.yaml'\n", encoding="utf-8")
    for words in (
        ["review", str(patient_file)], ["why", str(patient_file)], ["lint"], ["locales"], ["prove"],
        ["build", str(patient_file), "--out", "out"], ["affected", "."], ["--version"],
    ):  # fmt: skip
        assert main(words) == 2
        err = capsys.readouterr().err
        assert err.startswith(f"{tmp_path / 'plainleaf.toml'}:1: ")
        assert "gone.yaml is not there" in err
        assert len(err.splitlines()) == 1


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_a_shell_learns_the_commands(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", shell]) == 0
    script = capsys.readouterr().out
    assert all(name in script for name in commands())
    assert "gastrojejunostomy" in script and "print-size" in script


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_example_loads_as_it_stands(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    path = ROOT / "examples" / f"{name}.yaml"
    status = main(["review", str(path), "--json"])
    assert json.loads(capsys.readouterr().out)["stopped"] is (status == 1)
    assert status == (0 if name.endswith("-ready") else 1)


def test_a_blocked_file_writes_nothing(
    blocked_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["review", str(blocked_file)]) == 1
    assert "mark-missing" in capsys.readouterr().out
    assert main(["build", str(blocked_file), "--out", str(tmp_path / "out")]) == 1
    output = capsys.readouterr()
    assert output.out == ""
    assert "mark-missing" in output.err
    assert "Nothing was written" in output.err
    assert _written(tmp_path) == ["blocked.yaml"]


def test_why_tells_every_statement(
    patient_file: Path, blocked_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for path in (patient_file, blocked_file):
        assert main(["why", str(path)]) == 0
        text = capsys.readouterr().out
        lines = text.splitlines()
        assert len([x for x in lines if x.startswith(("IN ", "out ", "??? "))]) > 300
        assert all(line.strip() for line in lines)
        assert text.count("sources: ") == text.count("when: ") == text.count("facts: ")


def test_build_writes_the_packet_and_says_so(
    patient_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "deep" / "packet"
    assert main(["build", str(patient_file), "--out", str(out)]) == 0
    output = capsys.readouterr()
    assert output.err == ""
    assert "DRAFT" in output.out
    assert tuple(_written(out)) == FILES
    assert [path.name for path in out.parent.iterdir()] == ["packet"]


def test_another_language_without_handout_stops(
    patient_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = ["build", str(patient_file), "--out", str(tmp_path / "out"), "--language", "xx"]
    assert main(arguments) == 1
    assert "no-handout-in-language" in capsys.readouterr().err
    assert _written(tmp_path) == ["patient.yaml"]


@pytest.mark.parametrize("command", ["review", "build", "why"])
@pytest.mark.parametrize("option", ["--policy", "--teaching"])
def test_settings_that_are_not_there_give_2(
    command: str,
    option: str,
    patient_file: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    more = ["--out", str(tmp_path / "out")] if command == "build" else []
    assert main([command, str(patient_file), *more, option, str(tmp_path / "nowhere")]) == 2
    assert "nowhere" in capsys.readouterr().err
    assert _written(tmp_path) == ["patient.yaml"]


def test_lint_passes_the_shipped_content(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lint"]) == 0, capsys.readouterr().out
    assert "no faults" in capsys.readouterr().out


def test_lint_lists_the_faults_of_other_content(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "teaching"
    shutil.copytree(ROOT / "teaching", folder)
    module = folder / "modules" / "flushing.yaml"
    text = module.read_text(encoding="utf-8")
    module.write_text(text.replace("when: always", "when: sometimes", 1), encoding="utf-8")
    assert main(["lint", "--teaching", str(folder)]) == 1
    assert "flushing.yaml:" in capsys.readouterr().out


@pytest.mark.parametrize("place", ["file/packet", "/proc/nowhere/packet"])
def test_a_folder_that_cannot_be_written_gives_2(
    place: str, patient_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("not a folder", encoding="utf-8")
    assert main(["build", str(patient_file), "--out", str(tmp_path / place)]) == 2
    output = capsys.readouterr()
    assert "Nothing was written" in output.err
    assert "Traceback" not in output.err
    assert _written(tmp_path) == ["file", "patient.yaml"]


def test_a_full_disk_leaves_the_earlier_packet(
    patient_file: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    out = _earlier(tmp_path)
    before = {path.name: path.read_bytes() for path in out.iterdir()}

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    assert main(["build", str(patient_file), "--out", str(out)]) == 2
    assert "No space left" in capsys.readouterr().err
    assert sorted(os.listdir(tmp_path)) == ["packet", "patient.yaml"]
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


@pytest.mark.parametrize("arguments", [[], ["print"], ["start", "nasal"], ["build", "x.yaml"]])
def test_wrong_arguments_give_2(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as error:
        main(arguments)
    assert error.value.code == 2
    assert "usage: plainleaf" in capsys.readouterr().err


def commands() -> dict[str, argparse.ArgumentParser]:
    """Every command with its parser."""
    (subparsers,) = (
        action for action in parser()._actions if isinstance(action, argparse._SubParsersAction)
    )
    return dict(subparsers.choices)


def test_every_command_explains_itself(capsys: pytest.CaptureFixture[str]) -> None:
    for name, command in commands().items():
        with pytest.raises(SystemExit) as done:
            main([name, "--help"])
        assert done.value.code == 0
        text = capsys.readouterr().out
        assert "exit status" in text
        assert len(command.description or "") > 20
        assert all(action.help for action in command._actions), name
    with pytest.raises(SystemExit):
        main(["--help"])
    text = capsys.readouterr().out
    assert all(re.search(rf"^\s+{name}\s", text, re.M) for name in commands())


def _earlier(folder: Path, **keys: str) -> Path:
    """A folder with an earlier packet of the same patient, of a copy for staff and its record."""
    out = folder / "packet"
    out.mkdir()
    copy = b"of an earlier packet"
    record = packet_of("g-balloon-syringe").record
    files = {"staff-copy.es.pdf": sha256(copy).hexdigest()}
    (out / "staff-copy.es.pdf").write_bytes(copy)
    (out / "packet.json").write_text(
        json.dumps({**record, "files": files, **keys}), encoding="utf-8"
    )
    return out


def test_an_earlier_packet_is_replaced_whole(patient_file: Path, tmp_path: Path) -> None:
    out = _earlier(tmp_path)
    assert main(["build", str(patient_file), "--out", str(out)]) == 0
    assert tuple(_written(out)) == FILES


def test_the_packet_of_another_patient_is_kept_and_nothing_is_laid_out(
    patient_file: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    out = _earlier(tmp_path, person="0" * 64)
    monkeypatch.setattr("plainleaf.packet.build.build", None)
    assert main(["build", str(patient_file), "--out", str(out)]) == 2
    said = capsys.readouterr().err
    assert "holds the packet of another patient" in said and said.count("\n") == 1
    assert _written(out) == ["packet.json", "staff-copy.es.pdf"]
