"""Builds patients for tests: an example file, read as data, changed, written and read again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from plainleaf.facts import VOCABULARY, Facts, derive
from plainleaf.inputs.content import Library, condition_of
from plainleaf.inputs.load_inputs import Teaching, load_teaching
from plainleaf.inputs.patient import Patient, read_patient
from plainleaf.inputs.policy import Policy, PolicyEntry, load_policy
from plainleaf.inputs.setting_values import Value
from plainleaf.inputs.strict_yaml import parse
from plainleaf.rules.findings import Finding, judge
from plainleaf.vocabulary.conditions import Answer

ROOT = Path(__file__).resolve().parents[1]
EXAMPLES = tuple(sorted(path.stem for path in (ROOT / "examples").glob("*.yaml")))
# As a value of a change: take the key out.
REMOVE = "REMOVE"
# Every example with its confirms and acceptable stops accepted must build.
BASE = "g-balloon-syringe"
Changes = Mapping[str, Any]


@cache
def teaching() -> Teaching:
    """The shipped teaching with all its languages."""
    return load_teaching(ROOT / "teaching", VOCABULARY)


@cache
def library() -> Library:
    """The shipped teaching content."""
    return teaching().library


@cache
def policy() -> Policy:
    """The shipped example policy."""
    return load_policy(ROOT / "teaching" / "policy" / "example-facility.yaml")


def policy_with(**settings: Value) -> Policy:
    """The example policy with some settings changed."""
    entries = dict(policy().entries)
    for name, value in settings.items():
        old = entries[name]
        entries[name] = PolicyEntry(name, value, old.origin, old.approved_by, old.review_by)
    return replace(policy(), entries=entries)


def _words(value: Any) -> Any:
    """Plain text as YAML holds it, with the two words that must stand unquoted as flags."""
    if isinstance(value, dict):
        return {key: _words(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_words(inner) for inner in value]
    return {"true": True, "false": False}.get(value, value) if isinstance(value, str) else value


def _change(data: Any, path: Sequence[str], value: Any) -> None:
    key: Any = int(path[0]) if isinstance(data, list) else path[0]
    if len(path) > 1:
        if isinstance(data, dict) and key not in data:
            data[key] = {}
        _change(data[key], path[1:], value)
    elif value == REMOVE:
        del data[key]
    elif isinstance(data, list) and key == len(data):
        data.append(value)
    else:
        data[key] = value


def text_with(changes: Changes | None = None, base: str = BASE) -> str:
    """The text of an example file with some keys changed: `medicines.0.form`, `tube.size` …"""
    return changed_text(ROOT / "examples" / f"{base}.yaml", changes)


@cache
def _texts_of(file: Path) -> Any:
    """A file as data in which every scalar is a text."""
    return yaml.load(file.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)


def changed_text(file: Path, changes: Changes | None = None) -> str:
    """The text of a patient file with some keys changed."""
    data = deepcopy(_texts_of(file))
    for path, value in (changes or {}).items():
        _change(data, path.split("."), value)
    return yaml.dump(_words(data), Dumper=yaml.CSafeDumper, allow_unicode=True, sort_keys=False)


def patient_with(changes: Changes | None = None, base: str = BASE) -> Patient:
    """The patient of an example file with some keys changed."""
    return read_patient(parse(text_with(changes, base), f"{base}.yaml"))


def facts_with(
    changes: Changes | None = None, base: str = BASE, rules_of: Policy | None = None
) -> Facts:
    """All facts of a changed example, under the example policy or another."""
    return derive(patient_with(changes, base), rules_of or policy(), library().medicine_words)


def findings_with(
    changes: Changes | None = None, base: str = BASE, rules_of: Policy | None = None
) -> tuple[Finding, ...]:
    """All findings of a changed example."""
    facts = facts_with(changes, base, rules_of)
    return judge(library().rules, facts, patient_with(changes, base))


def levels_with(
    changes: Changes | None = None, base: str = BASE, rules_of: Policy | None = None
) -> dict[str, str]:
    """Finding id → level of a changed example."""
    return {finding.id: finding.level for finding in findings_with(changes, base, rules_of)}


def statements_with(changes: Changes | None = None, base: str = BASE) -> dict[str, str]:
    """Statement id → words, for those whose condition is true for a changed example."""
    facts = facts_with({"other_lines": [], **(changes or {})}, base)
    child = facts.answers["child"] == "true"
    return {
        statement.id: statement.words(child=child)
        for module in library().modules
        for section, statement in module.statements()
        if condition_of(module, section, statement).ask(facts.answers) is Answer.TRUE
    }
