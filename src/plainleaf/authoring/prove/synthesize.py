"""The patient file of a class: what the clinic would write so that exactly these answers follow.

Everything in it is invented. Where an answer follows from a facility's setting, the settings that
it takes are named too.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import yaml

from plainleaf.authoring.prove.legal import plain_answer
from plainleaf.authoring.prove.order_set import in_format_2, in_order, with_much_water, with_ports
from plainleaf.authoring.prove.orders import feeding, medicines, water
from plainleaf.authoring.prove.persona import contacts, helper, person, so, tube
from plainleaf.authoring.prove.settled_lines import settled_lines
from plainleaf.authoring.prove.times import Times, settings_for, times_for
from plainleaf.facts import FACTS, Asked, Facts, derive, noting
from plainleaf.facts.declare import ORDER_SET
from plainleaf.inputs.content import Library
from plainleaf.inputs.patient import Patient, read_patient
from plainleaf.inputs.policy import Policy, PolicyEntry
from plainleaf.inputs.setting_values import Value
from plainleaf.inputs.strict_yaml import parse
from plainleaf.rules.acceptances import credential_for
from plainleaf.rules.findings import judge
from plainleaf.rules.outcomes import resolved
from plainleaf.rules.raised import raise_all
from plainleaf.rules.settle import settle
from plainleaf.vocabulary.errors import PatientError

REVIEWER = "Invented Reviewer"


@dataclass(frozen=True)
class Example:
    """A patient file as text, and the settings that differ from the policy it was made for."""

    text: str
    policy: Policy
    changed: tuple[str, ...]


class NoExampleError(ValueError):
    """No file could be made for a class; the answers alone must do."""


def _accepted(patient: Patient, facts: Facts, library: Library, day: str) -> list[dict[str, str]]:
    """An entry for each finding that a licensed person may accept."""
    return [
        {
            "finding": f.id,
            "by": f"{REVIEWER}, {credential_for(f.id)}",
            "reason": "Invented for this example.",
            "on": day,
        }
        | ({"about": f.subject} if f.subject else {})
        for f in judge(library.rules, facts, patient)
        if f.blocks and f.acceptable
    ]


def with_settings(policy: Policy, changes: Mapping[str, Value]) -> Policy:
    """The policy with some settings changed."""
    entries = dict(policy.entries)
    for name, value in changes.items():
        old = entries[name]
        entries[name] = PolicyEntry(name, value, old.origin, old.approved_by, old.review_by)
    return replace(policy, entries=entries)


# Order of the blocks, by the contract.
_BLOCKS = (
    "patient", "learners", "interpreter", "other_lines", "tube", "feeding", "water", "medicines",
    "if_feeding_stops", "contacts", "visits", "dates", "prepared",
)  # fmt: skip


def file_of(
    answers: Mapping[str, str], times: Times, policy: Policy, *, format_2: bool
) -> dict[str, Any]:
    """The patient file of a class as plain data, keys in the order of the contract.

    What one fact shows stands where the fact is declared; what takes several facts is made here.
    """
    data: dict[str, Any] = {
        "patient": person(answers, times),
        "learners": [helper()],
        "other_lines": [],
        "tube": tube(answers, times),
        "feeding": feeding(answers),
        "water": water(answers, policy),
        "medicines": medicines(answers),
        "contacts": contacts(),
        "prepared": {"by": "An Invented Nurse, RN", "on": times.now_text},
    }
    if times.dates:
        data["dates"] = dict(times.dates)
    _show(data, [fact for fact in _shown(answers) if not fact.only_2], answers, times)
    if format_2:
        return with_ports(in_format_2(data, answers, times), answers)
    ports = data["tube"]["ports"]
    data["tube"]["ports"] = {port: uses or ["drainage"] for port, uses in ports.items()}
    kept = (key for key in _BLOCKS if data.get(key) or key in ("other_lines", "water"))
    return {key: data[key] for key in kept}


def of_format_2(answers: Mapping[str, str]) -> list[Asked[Any]]:
    """The facts of a class that only a file of format 2 makes so."""
    facts = (fact for fact in FACTS.values() if fact.only_2)
    return [fact for fact in facts if answers[fact.name] != plain_answer(fact)]


def _shown(answers: Mapping[str, str]) -> list[Asked[Any]]:
    """The facts that show something."""
    return [f for f in FACTS.values() if f.kind == "word" or answers[f.name] == "true"]


def _show(
    data: dict[str, Any], facts: list[Asked[Any]], answers: Mapping[str, str], times: Times
) -> None:
    for fact in facts:
        words = _words(fact, answers, times)
        for place, content in fact.shown.items():
            _put(data, place.split("."), _filled(content, words))


def _words(fact: Asked[Any], answers: Mapping[str, str], times: Times) -> dict[str, str]:
    """What stands for the words in what a fact shows."""
    moments = {"day": times.day, "later": times.later, "visit": times.visit}
    return {"answer": answers[fact.name], **moments}


def _filled(content: Any, words: Mapping[str, str]) -> Any:
    """What a fact shows, with the words for `{answer}`, `{day}` and `{visit}`."""
    if isinstance(content, str):
        return content.format_map(words)
    if isinstance(content, Mapping):
        return {key: _filled(inner, words) for key, inner in content.items()}
    if isinstance(content, list):
        return [_filled(inner, words) for inner in content]
    return content


def _put(data: dict[str, Any], keys: list[str], content: Any) -> None:
    """Write something at a place; a list is added to the one that is there."""
    for key in keys[:-1]:
        data = data.setdefault(key, {})
    if isinstance(content, list):
        data[keys[-1]] = [*data.get(keys[-1], []), *content]
    else:
        data[keys[-1]] = content


def _text(data: Mapping[str, Any]) -> str:
    ordered = in_order(data) if "format" in data else dict(data)
    # Written out: what stands in two places is no alias.
    return yaml.safe_dump(
        json.loads(json.dumps(ordered)), allow_unicode=True, sort_keys=False, width=100
    )


def synthesize(
    answers: Mapping[str, str],
    policy: Policy,
    library: Library,
    *,
    any_facility: bool = True,
) -> Example:
    """A patient file that loads and has the answers of a class, with all that may be accepted.

    Args:
        any_facility: Settings may be changed where the class needs it.
    Raises:
        NoExampleError: No file could be made; the message says which answers differ.
    """
    example, facts = written(answers, policy, library, any_facility=any_facility)
    differs = [name for name in FACTS if facts.answers[name] != answers[name]]
    if differs:
        raise NoExampleError(f"no file could be made in which {', '.join(differs)} is so")
    return example


def written(
    answers: Mapping[str, str],
    policy: Policy,
    library: Library,
    *,
    any_facility: bool = True,
) -> tuple[Example, Facts]:
    """The file that is made for a class, as near to it as it comes, with its facts; see above."""
    changes = settings_for(answers, policy) if any_facility else {}
    place = with_settings(policy, changes)
    times = times_for(answers, place)
    newer = answers[ORDER_SET] == "true"
    data = file_of(answers, times, place, format_2=newer)
    if newer:
        data = _with_lacking(data, answers, place, library, times)
        facts = _settle(data, answers, place, library, times)
    else:
        facts = _accept(data, place, library, times.day)
    return Example(_text(data), place, tuple(changes)), facts


def _with_lacking(
    data: dict[str, Any], answers: Mapping[str, str], policy: Policy, library: Library, times: Times
) -> dict[str, Any]:
    """An order set that also shows what is not so in it yet."""
    facts = derive(_read(data, policy), policy, library.medicine_words)
    lacking = [f for f in of_format_2(answers) if facts.answers[f.name] != answers[f.name]]
    _show(data, lacking, answers, times)
    data = with_ports(data, answers)
    return with_much_water(data) if so(answers, "child_water_by_order") else data


def _accept(data: dict[str, Any], policy: Policy, library: Library, day: str) -> Facts:
    """Write what may be accepted into a file of format 1; gives its facts."""
    patient = _read(data, policy)
    facts = derive(patient, policy, library.medicine_words)
    accepted = _accepted(patient, facts, library, day)
    if accepted:
        data["accepted"] = accepted
    return facts


def _settle(
    data: dict[str, Any], answers: Mapping[str, str], policy: Policy, library: Library, times: Times
) -> Facts:
    """Write what may be settled into a file of format 2; gives the facts of what was decided."""
    wanted = {}
    for fact in of_format_2(answers):
        if fact.shown_outcome is not None:
            finding, do, fields = fact.shown_outcome
            wanted[finding] = (do, _filled(fields, _words(fact, answers, times)))
    patient = _read(data, policy)
    raised = raise_all(library.rules, noting(patient, policy, library.medicine_words), patient)
    lines = settled_lines(raised, patient, times.day, wanted)
    if lines:
        data["settled"] = lines
        patient = _read(data, policy)
    judged = settle(raised, patient, policy.roles)
    return derive(resolved(patient, judged.outcomes), policy, library.medicine_words)


def _read(data: Mapping[str, Any], policy: Policy) -> Patient:
    try:
        return read_patient(parse(_text(data), "example.yaml"), policy.named)
    except PatientError as error:
        raise NoExampleError(f"no file could be made: {error}") from error
