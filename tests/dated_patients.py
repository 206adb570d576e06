"""Files of format 2 for tests: the six of tests/oracles/format-2, as they are or changed."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from builders import ROOT, library, policy

from plainleaf.facts.given import Given, given_of
from plainleaf.inputs.patient import read_patient
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.strict_yaml import parse
from plainleaf.vocabulary.quantities import mL

FORMAT_2 = ROOT / "tests" / "oracles" / "format-2"
NAMES = tuple(sorted(path.stem for path in (FORMAT_2 / "patients").glob("*.yaml")))
# What the dietitian decided is drunk a day; deciding is another stage.
_DRUNK = {"Ingrid Solheim": mL(400)}


def text_of(name: str) -> str:
    path: Path = FORMAT_2 / "patients" / f"{name}.yaml"
    return path.read_text(encoding="utf-8")


@cache
def facility() -> Policy:
    """The example facility, whose directory and formulary the six files name."""
    return policy()


def given_of_text(text: str) -> Given:
    """The givens of a file of format 2."""
    patient = read_patient(parse(text, "patient.yaml"), facility().named)
    person = replace(patient.person, drink=_DRUNK.get(patient.person.name))
    words = library().medicine_words
    return given_of(replace(patient, person=person), facility(), words)


@cache
def planned(name: str) -> Given:
    """The givens of one of the six."""
    return given_of_text(text_of(name))
