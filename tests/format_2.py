"""Patients of format 2 for tests: the given files read as data, changed, and judged."""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import Any

import yaml
from builders import ROOT, Changes, _change, _words, library, policy

from plainleaf.facts import Facts, derive, noting
from plainleaf.inputs.patient import Patient, read_patient
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.strict_yaml import parse
from plainleaf.rules.findings import Finding
from plainleaf.rules.raised import RaisedFinding, raise_all
from plainleaf.rules.settle import Judged, settle

GIVEN = ROOT / "tests" / "oracles" / "format-2"
NAMES = tuple(sorted(path.stem for path in (GIVEN / "patients").glob("*.yaml")))
REFEEDING, GROUP_HOME, INFANT, INSULIN, HOSPICE, RESTING = NAMES
Data = dict[str, Any]


@cache
def facility() -> Policy:
    """The example facility."""
    return policy()


def data_with(changes: Changes | None = None, base: str = INSULIN) -> Data:
    """A given file as data, with some keys changed."""
    text = (GIVEN / "patients" / f"{base}.yaml").read_text(encoding="utf-8")
    data: Data = yaml.load(text, Loader=yaml.BaseLoader)
    for path, value in (changes or {}).items():
        _change(data, path.split("."), copy.deepcopy(value))
    return data


def patient_of(data: Data, policy: Policy | None = None) -> Patient:
    """The patient of a file as data."""
    text = yaml.safe_dump(_words(data), allow_unicode=True, sort_keys=False)
    return read_patient(parse(text, "patient.yaml"), (policy or facility()).named)


def derived(data: Data) -> Facts:
    """The facts of a file as it stands, before anything is decided."""
    return derive(patient_of(data), facility(), library().medicine_words)


def raised(data: Data, policy: Policy | None = None) -> tuple[RaisedFinding, ...]:
    """All findings with what they looked at; at the usual facility each file is judged once."""
    if policy is None:
        return _raised_at_home(json.dumps(data))
    return _raised(data, policy)


@cache
def _raised_at_home(data: str) -> tuple[RaisedFinding, ...]:
    return _raised(json.loads(data), facility())


def _raised(data: Data, policy: Policy) -> tuple[RaisedFinding, ...]:
    patient = patient_of(data, policy)
    noted = noting(patient, policy, library().medicine_words)
    return raise_all(library().rules, noted, patient)


def judged(data: Data, policy: Policy | None = None) -> Judged:
    """All findings with what settles them."""
    roles = (policy or facility()).roles
    return settle(raised(data, policy), patient_of(data, policy), roles)


def with_codes(data: Data, policy: Policy | None = None) -> Data:
    """The same file with the codes that the review prints in its lines."""
    new = copy.deepcopy(data)
    codes = iter(judged(new, policy).lines)
    for block in new.get("settled", ()):
        for line in block["decided"]:
            code = next(codes).code
            line.update({} if code is None else {"code": code})
    return new


def codes_of(data: Data, policy: Policy | None = None) -> Mapping[tuple[str, str], str | None]:
    """Id and what it is about → code, of every finding."""
    findings = [one.finding for one in raised(data, policy)]
    return {(finding.id, finding.subject): finding.code for finding in findings}


def by_id(findings: tuple[Finding, ...]) -> dict[str, list[Finding]]:
    """The findings by id."""
    named: dict[str, list[Finding]] = {}
    for finding in findings:
        named.setdefault(finding.id, []).append(finding)
    return named


def decided(finding: str, about: str | list[str], do: str, by: str, **fields: Any) -> Data:
    """A block of `settled` with one line."""
    other = {"with": fields.pop("other")} if "other" in fields else {}
    line = {"finding": finding, "do": do, **({"about": about} if about else {}), **fields}
    return {"by": by, **other, "date": "2026-06-05", "decided": [line]}


def with_setting(**values: Any) -> Policy:
    """The facility with some settings changed."""
    entries = dict(facility().entries)
    for name, value in values.items():
        entries[name] = replace(entries[name], value=value)
    return replace(facility(), entries=entries)
