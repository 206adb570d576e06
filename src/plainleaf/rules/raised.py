"""Findings of a file of format 2, each with the values that it looked at."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plainleaf.facts import Noting
from plainleaf.facts.notebook import Looks
from plainleaf.inputs.content import SafetyRule
from plainleaf.inputs.patient import Medicine, Patient
from plainleaf.rules.decision_codes import code_of, looks_apart
from plainleaf.rules.findings import Finding, finding_of
from plainleaf.rules.hits import RuleHit, answers_when_asked, hits_of
from plainleaf.rules.outcomes import medicine_fields
from plainleaf.vocabulary.settling import SETTLED_BY
from plainleaf.vocabulary.terms import LEVELS
from plainleaf.vocabulary.written import same_text

_ITEM = re.compile(r"([a-z_]+)\[([0-9]+)\]")


@dataclass(frozen=True)
class RaisedFinding:
    """A finding with what it looked at.

    `names`: what a line may call it in `about`; `medicines`: the lines that its outcomes are
    about; `harmful`: whether one of them is hazardous, or a long-acting opioid, and goes through
    the tube.
    """

    finding: Finding
    looks: Looks
    names: tuple[str, ...]
    medicines: tuple[Medicine, ...]
    harmful: bool
    place: int


def raise_all(
    rules: Sequence[SafetyRule], noted: Noting, patient: Patient
) -> tuple[RaisedFinding, ...]:
    """All findings of the rules, stops first, then by rule id and in file order.

    Args:
        patient: The patient as the file stands, of whom the facts are noted.
    """
    raised = [question for rule in rules for question in _raised_by(rule, noted, patient)]
    return tuple(
        sorted(raised, key=lambda r: (LEVELS.index(r.finding.level), r.finding.id, r.place))
    )


def _raised_by(rule: SafetyRule, noted: Noting, patient: Patient) -> Iterator[RaisedFinding]:
    facts = noted.facts
    hits, looks = noted.notebook.looked(
        lambda: hits_of(rule, facts, answers_when_asked(facts), apart=True)
    )
    for hit in hits:
        medicines = _medicines_of(rule.id, hit, patient)
        own = dict(looks_apart(looks, hit.apart, hit.beside))
        own |= _outcomes_look_at(rule.id, patient, medicines)
        names = (*names_of(hit.apart, patient), *([hit.about] if hit.about else []))
        acceptable = rule.id in SETTLED_BY and (rule.level == "confirm" or rule.acceptable)
        finding = finding_of(
            rule, hit, names[-1] if names else "", acceptable, code_of(rule.id, [own])
        )
        harmful = any(_harmful(noted, medicine) for medicine in medicines)
        yield RaisedFinding(finding, own, names, medicines, harmful, _place(hit))


def _place(hit: RuleHit) -> int:
    match = _ITEM.match(hit.apart[0]) if hit.apart else None
    return 0 if match is None else int(match[2])


def _medicines_of(identity: str, hit: RuleHit, patient: Patient) -> tuple[Medicine, ...]:
    """The medicines that an outcome is about; all that go through the tube where none is named."""
    matches = [_ITEM.match(key) for key in hit.concerns]
    numbers = {int(m[2]) for m in matches if m is not None and m[1] == "medicines"}
    if numbers or "prepare" not in medicine_fields(identity):
        return tuple(patient.medicines[number] for number in sorted(numbers))
    return tuple(medicine for medicine in patient.medicines if medicine.through is not None)


def _outcomes_look_at(identity: str, patient: Patient, medicines: Sequence[Medicine]) -> Looks:
    """The values of keys that an outcome would fill, or must agree with."""
    fields = medicine_fields(identity)
    looks = {
        f"medicines.{place}.{field}": same_text(getattr(medicine, field))
        for place, medicine in enumerate(medicines)
        for field in fields
    }
    settling = SETTLED_BY.get(identity)
    if settling is not None and "drink" in settling.outcomes:
        looks["person.drink"] = same_text(patient.person.drink)
    return looks


def _harmful(noted: Noting, medicine: Medicine) -> bool:
    answers = noted.facts.medicines[medicine.number].answers
    opioid = answers["opioid"] == "true" and answers["modified_release"] == "true"
    return medicine.through is not None and (answers["hazardous"] == "true" or opioid)


def names_of(keys: Sequence[str], patient: Patient) -> tuple[str, ...]:
    """What a finding about the things of these keys is called, the name of it alone last.

    A medicine goes by its name, and by `NAME#2` where several lines bear it; a feeding and a
    session by their number, from 1; what is watched and a visit by their word; a key by itself.
    """
    if not keys:
        return ()
    match = _ITEM.match(keys[0])
    if match is None:
        return (keys[0],)
    kind, number = match[1], int(match[2])
    if kind == "medicines":
        return _medicine_names(number, patient, whole=len(keys) > 1)
    if kind == "watch":
        return (patient.watch[number].what,)
    if kind == "visits":
        return (patient.visits[number].what,)
    return (str(number + 1),)


def _medicine_names(number: int, patient: Patient, *, whole: bool) -> tuple[str, ...]:
    name = patient.medicines[number].name
    same = [m.number for m in patient.medicines if m.name.casefold() == name.casefold()]
    if whole:
        return (name,)
    alone = f"{name}#{same.index(number) + 1}"
    return (alone, name) if len(same) == 1 else (name, alone)
