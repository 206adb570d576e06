"""Bad input is refused well: file, line, what is wrong, what to write. Cases: cases.yaml."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from broken_files import CASES, TEACHING, broken, sound
from builders import ROOT
from small_library import write_library

from plainleaf.facts import VOCABULARY
from plainleaf.inputs.catalog import load_catalog
from plainleaf.inputs.content import load_library
from plainleaf.inputs.patient import load_patient
from plainleaf.inputs.policy import load_policy
from plainleaf.vocabulary.errors import ContentError, LocaleError, PatientError, PolicyError


def load(kind: str, folder: Path, text: str, encoding: str) -> tuple[str, Callable[[], object]]:
    """The name that messages give a file, and what loads it."""
    if kind in ("patient", "policy"):
        path = folder / f"{kind}.yaml"
        path.write_bytes(text.encode(encoding))
        return path.name, lambda: load_patient(path) if kind == "patient" else load_policy(path)
    if kind == "po":
        path = folder / "es" / "water.po"
        path.parent.mkdir()
        path.write_text(text, encoding="utf-8")
        return "locales/es/water.po", lambda: load_catalog(folder, "es")
    write_library(folder, {TEACHING[kind]: text})
    return TEACHING[kind], lambda: load_library(folder, VOCABULARY)


ERRORS = {"patient": PatientError, "policy": PolicyError, "po": LocaleError}


@pytest.mark.parametrize(
    ("kind", "case"),
    [
        pytest.param(kind, case, id=f"{kind}-{case['name']}")
        for kind, cases in CASES.items()
        for case in cases
    ],
)
def test_a_fault_is_refused_with_what_its_message_must_hold(
    kind: str, case: dict[str, Any], tmp_path: Path
) -> None:
    text, line = broken(kind, case)
    name, read = load(kind, tmp_path, text, case.get("encoding", "utf-8"))
    with pytest.raises(ERRORS.get(kind, ContentError)) as error:
        read()
    faults = [fault for fault in error.value.faults if case["parts"][0] in str(fault)]
    assert faults, str(error.value)
    (fault, *_) = faults
    assert [part for part in case["parts"] if part not in str(fault)] == [], str(fault)
    assert Path(fault.file).name == Path(name).name
    assert fault.line == line, str(fault)
    # Both parts of a message: what is wrong ends a sentence, what to write is another.
    assert fault.wrong.endswith(".")
    assert not fault.instead or fault.instead[-1] in ".?]…}"


@pytest.mark.parametrize("kind", CASES)
def test_the_sound_file_of_each_kind_loads(kind: str, tmp_path: Path) -> None:
    bases = {case.get("base", "") for case in CASES[kind]} if kind == "patient" else {""}
    for base in bases:
        text = sound(kind, {"base": base} if base else {})
        if kind == "phrases":
            text = (ROOT / "teaching" / "phrases.yaml").read_text(encoding="utf-8")
        (folder := tmp_path / (base or "x")).mkdir()
        _, read = load(kind, folder, text, "utf-8")
        assert read() is not None


def test_one_edit_is_one_fault(tmp_path: Path) -> None:
    """A fault does not drag others after it, except where a whole block is unreadable."""
    alone = {"bare number", "cc", "misspelt key", "date with slashes", "port that this kind lacks"}
    for case in CASES["patient"]:
        if case["name"] in alone:
            text, _ = broken("patient", case)
            _, read = load("patient", tmp_path, text, "utf-8")
            with pytest.raises(PatientError) as error:
                read()
            assert len(error.value.faults) == 1, str(error.value)


@pytest.mark.parametrize(
    "times", ["[08:00, 20:00]", "['08:00', \"20:00\"]", "\n      - 08:00\n      - 20:00"],
    ids=["unquoted", "quoted", "as a list of lines"],
)  # fmt: skip
def test_times_load_as_written_with_and_without_quotes(times: str, tmp_path: Path) -> None:
    text = sound("patient", {})
    old = '["08:00", "12:00", "16:00", "20:00"]'
    (tmp_path / "p.yaml").write_text(text.replace(old, times), encoding="utf-8")
    found = load_patient(tmp_path / "p.yaml").feeding[0].times
    assert [f"{clock:%H:%M}" for clock in found] == ["08:00", "20:00"]


def test_a_file_that_is_far_too_large_is_refused(tmp_path: Path) -> None:
    (tmp_path / "p.yaml").write_bytes(b"#" + b"x" * 2_000_001)
    with pytest.raises(PatientError, match="too large"):
        load_patient(tmp_path / "p.yaml")
