"""Six order sets that were written down as they were dictated, and then as files of format 2."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import yaml
from builders import ROOT
from format_2 import GIVEN, judged, with_codes
from jsonschema import Draft202012Validator

DICTATED = ROOT / "tests" / "oracles" / "dictated"
FILES = sorted(DICTATED.glob("*.yaml"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_published_schema_takes_it_and_nothing_is_open(path: Path) -> None:
    data = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    schema = json.loads((GIVEN / "schema.json").read_text(encoding="utf-8"))
    faults = [error.message for error in Draft202012Validator(schema).iter_errors(data)]
    assert not faults
    findings = judged(with_codes(data)).findings
    assert [finding.id for finding in findings if finding.blocks] == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_what_was_dictated_stands_beside_it(path: Path) -> None:
    prose = path.with_suffix(".txt").read_text(encoding="utf-8")
    assert "as it was dictated first" in prose
