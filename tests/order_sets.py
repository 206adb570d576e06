"""Order sets of format 2 for tests: a published file, with some keys changed, read again."""

from __future__ import annotations

from functools import cache

from builders import ROOT, Changes, changed_text, library, policy

from plainleaf.facts.given import Given, given_of
from plainleaf.inputs.patient import Facility, Patient, read_patient
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.strict_yaml import parse

GIVEN = ROOT / "tests" / "oracles" / "format-2"
ORDER_SETS = tuple(sorted(path.stem for path in (GIVEN / "patients").glob("*.yaml")))
REFEEDING, GROUP_HOME, INFANT, INSULIN, HOSPICE, RESTING = ORDER_SETS


@cache
def facility() -> Facility:
    """The directory and formulary that the published files name."""
    return policy().named


def order_set(name: str, changes: Changes | None = None) -> Patient:
    """A published order set with some keys changed: `medicines.0.form`, `tube.size` …"""
    text = changed_text(GIVEN / "patients" / f"{name}.yaml", changes)
    return read_patient(parse(text, f"{name}.yaml"), facility())


def given_with(name: str, changes: Changes | None = None, rules_of: Policy | None = None) -> Given:
    """The givens of a changed order set, under the example policy or another."""
    return given_of(order_set(name, changes), rules_of or policy(), library().medicine_words)
