"""What review prints of a file of format 2: codes, and whole lines that settle when filled in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from format_2 import GIVEN, HOSPICE, data_with, with_codes
from jsonschema import Draft202012Validator

from plainleaf.cli.main import main
from plainleaf.inputs.patient_schema import schema_of
from plainleaf.vocabulary.patient_file import FORMAT_2
from plainleaf.vocabulary.settling import SETTLED_BY

EXAMPLE = GIVEN.parents[2] / "teaching" / "policy" / "example-facility.yaml"


def reviewed(
    data: dict[str, Any], folder: Path, capsys: pytest.CaptureFixture[str], *more: str
) -> str:
    """What review prints of a file as data."""
    patient = folder / "patient.json"
    patient.write_text(yaml.safe_dump(data, default_flow_style=True, width=10**6), encoding="utf-8")
    patient = patient.rename(folder / "patient.yaml")
    assert main(["review", str(patient), "--policy", str(EXAMPLE), *more]) == 1
    return capsys.readouterr().out


def test_the_lines_that_are_printed_are_lines_of_the_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = reviewed(data_with({"settled": "REMOVE"}, HOSPICE), tmp_path, capsys)
    part = text[text.index("CONFIRM medicines-in-bowel-port (haloperidol)") :]
    lines = part.splitlines()[4:10]
    assert lines[0].strip().endswith("To be settled by a pharmacist, with one of these lines:")
    block = yaml.load("\n".join(lines[1:]), Loader=yaml.BaseLoader)["settled"]
    [line] = block[0]["decided"]
    assert line["finding"] == "medicines-in-bowel-port" and line["about"] == "haloperidol"
    assert line["code"] in lines[0] and line["do"] in SETTLED_BY[line["finding"]].outcomes
    block[0] |= {"by": "O. Duarte, PharmD", "date": "2026-09-17"}
    data = data_with({"settled": block}, HOSPICE)
    assert Draft202012Validator(schema_of(FORMAT_2)).is_valid(data)
    again = reviewed(data, tmp_path, capsys)
    assert "Settled by O. Duarte, PharmD on 2026-09-17: as-ordered" in again
    assert f"Code {line['code']}" not in again


def test_as_data_each_finding_has_its_code_and_each_line_whether_it_is_right(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = with_codes(data_with(base=HOSPICE))
    data["settled"][0]["decided"][1]["code"] = "c000000"
    report = yaml.safe_load(reviewed(data, tmp_path, capsys, "--json"))
    assert report["format"] == 2 and report["stopped"] is True
    first, second = report["decisions"]
    assert first == {"finding": "medicines-in-bowel-port", "about": ["morphine", "haloperidol"],
                     "code": data["settled"][0]["decided"][0]["code"], "right": True}  # fmt: skip
    assert (second["finding"], second["right"]) == ("medicine-twice", False)
    rows = {(row["id"], row["about"]): row for row in report["findings"]}
    settled = rows["medicines-in-bowel-port", "morphine#2"]["settled"]
    assert settled == {"by": "O. Duarte, PharmD", "with": None, "date": "2026-09-17",
                       "do": "as-ordered"}  # fmt: skip
    twice = rows["medicine-twice", "morphine"]
    assert twice["settled"] is None and twice["code"] == second["code"]
