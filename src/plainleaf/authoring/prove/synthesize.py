"""The patient file of a class: what the clinic would write so that exactly these answers follow.

Everything in it is invented. Where an answer follows from a facility's setting, the settings that
it takes are named too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import yaml

from plainleaf.authoring.prove.orders import feeding, medicines, water
from plainleaf.authoring.prove.persona import contacts, learners, person, tube
from plainleaf.authoring.prove.times import Times, settings_for, times_for
from plainleaf.facts import Facts, derive
from plainleaf.inputs.content import Library
from plainleaf.inputs.patient import Patient, read_patient
from plainleaf.inputs.policy import Policy, PolicyEntry, Value
from plainleaf.inputs.strict_yaml import parse
from plainleaf.rules.findings import judge
from plainleaf.vocabulary.errors import PatientError
from plainleaf.vocabulary.facts import FACTS

REVIEWER = "Dr. Invented Reviewer"


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
        {"finding": f.id, "by": REVIEWER, "reason": "Invented for this example.", "on": day}
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


def file_of(known: Mapping[str, str], times: Times, policy: Policy) -> dict[str, Any]:
    """The patient file of a class as plain data, keys in the order of the contract."""
    data: dict[str, Any] = {
        "patient": person(known, times),
        "learners": learners(known),
    }
    if known["interpreter_needed"] == "true":
        data["interpreter"] = {"language": "es", "mode": "video", "id": "0000"}
    data["other_lines"] = ["PICC line"] if known["other_lines"] == "true" else []
    data["tube"] = tube(known, times)
    data["feeding"] = feeding(known)
    data["water"] = water(known, policy)
    data["medicines"] = medicines(known)
    if known["feed_stop_plan"] == "true":
        data["if_feeding_stops"] = "Check the blood sugar and call the clinic."
    data["contacts"] = contacts(known)
    if known["visits_planned"] == "true":
        data["visits"] = [{"what": "Tube check", "when": times.visit, "where": "Tube clinic"}]
    if times.dates:
        data["dates"] = dict(times.dates)
    data["prepared"] = {"by": "An Invented Nurse, RN", "on": times.now_text}
    return {key: value for key, value in data.items() if value != [] or key == "other_lines"}


def _text(data: Mapping[str, Any]) -> str:
    return yaml.safe_dump(dict(data), allow_unicode=True, sort_keys=False, width=100)


def synthesize(
    known: Mapping[str, str], policy: Policy, library: Library, *, any_facility: bool = True
) -> Example:
    """A patient file that loads and has the answers of a class, with all that may be accepted.

    Args:
        any_facility: Settings may be changed where the class needs it.
    Raises:
        NoExampleError: No file could be made; the message says which answers differ.
    """
    changes = settings_for(known, policy) if any_facility else {}
    place = with_settings(policy, changes)
    times = times_for(known, place)
    data = file_of(known, times, place)
    patient, facts = _read(data, place, library)
    differs = [name for name in FACTS if facts.answers[name] != known[name]]
    if differs:
        raise NoExampleError(f"no file could be made in which {', '.join(differs)} is so")
    accepted = _accepted(patient, facts, library, times.day)
    if accepted:
        data["accepted"] = accepted
    return Example(_text(data), place, tuple(changes))


def _read(data: Mapping[str, Any], policy: Policy, library: Library) -> tuple[Patient, Facts]:
    try:
        patient = read_patient(parse(_text(data), "example.yaml"))
    except PatientError as error:
        raise NoExampleError(f"no file could be made: {error}") from error
    return patient, derive(patient, policy, library.medicine_words)
