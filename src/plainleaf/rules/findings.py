"""Findings: what the safety rules say of one patient, and whether a packet may be built.

A `stop` means no packet; a `confirm` means a packet once a licensed person accepted it in the
patient file; a `note` is printed on the nurse's sheet. A stop can be accepted only where its rule
says so.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from plainleaf.facts import CHECKS, FACTS, Facts, word_of
from plainleaf.facts.tripwires import dose_words
from plainleaf.inputs.content import SafetyRule
from plainleaf.inputs.patient import Accepted, Patient
from plainleaf.vocabulary.conditions import Answer
from plainleaf.vocabulary.terms import LEVELS

# Fact or check → its answer, as conditions ask for it.
Known = Mapping[str, str | None]


@dataclass(frozen=True)
class Finding:
    """One thing to look at before the packet goes out."""

    id: str
    level: str
    says: str
    instead: str
    settled_by: str
    acceptable: bool
    concerns: tuple[str, ...]
    subject: str
    sources: tuple[str, ...]
    accepted: Accepted | None

    @property
    def blocks(self) -> bool:
        """Whether it keeps the packet from being built."""
        return self.level != "note" and self.accepted is None


def _acceptance(rule_id: str, subject: str, patient: Patient, shared: bool) -> Accepted | None:
    """The entry of `accepted:` for one finding; where several share an id, `about` must name it."""
    for entry in patient.accepted:
        if entry.finding == rule_id and (entry.about == subject or not (shared or entry.about)):
            return entry
    return None


def _answers(rules: Sequence[SafetyRule], facts: Facts) -> Known:
    """Facts and checks that a rule asks, with their answers."""
    asked = dict.fromkeys(name for rule in rules for name in rule.when.facts())
    answers = {name: facts.answers[name] for name in asked if name in FACTS}
    checked = {name: word_of(facts.checks[name].answer) for name in asked if name in CHECKS}
    return answers | checked


def _fill(text: str, details: Mapping[str, str]) -> str:
    """The text with its slots filled, in one pass, so that no filled word is read as a slot."""
    return re.sub(r"\{([a-z_]+)\}", lambda slot: details.get(slot[1], slot[0]), text)


@dataclass(frozen=True)
class _Hit:
    """Where a rule holds: a medicine or nothing, words for its message, keys, more sources."""

    subject: str
    details: Mapping[str, str]
    concerns: tuple[str, ...]
    sources: tuple[str, ...] = ()


def _patient_hits(rule: SafetyRule, facts: Facts, answers: Known) -> list[_Hit]:
    """A hit where a rule about the patient holds; its keys are those of the checks it asks."""
    if rule.when.ask(answers) is not Answer.TRUE:
        return []
    asked = tuple(dict.fromkeys(rule.when.facts()))
    checks = [facts.checks[name] for name in asked if name in CHECKS]
    details = {name: words for check in checks for name, words in check.details.items()}
    concerns = [key for check in checks for key in check.concerns]
    if not concerns:
        concerns = [FACTS[name].needs for name in asked if name in FACTS and FACTS[name].needs]
    return [_Hit("", details, tuple(dict.fromkeys(concerns)))]


def _medicine_hits(rule: SafetyRule, facts: Facts, answers: Known) -> list[_Hit]:
    """A hit for each medicine that a rule about medicines holds for."""
    hits = []
    for medicine in facts.medicines:
        if rule.when.ask({**answers, **medicine.answers}) is not Answer.TRUE:
            continue
        entries = [medicine.entries[fact] for fact in rule.when.facts() if fact in medicine.entries]
        details = {
            "medicine": medicine.medicine.name,
            "form": medicine.medicine.form,
            "dose": dose_words(medicine.medicine),
            "matched": ", ".join(entry.match for entry in entries) or medicine.medicine.form,
            "why": "; ".join(dict.fromkeys(entry.why for entry in entries)),
            "what": "; ".join(entry.what for entry in entries if entry.what),
            "who": " and ".join(e.who_settles for e in entries if e.who_settles),
        }
        sources = tuple(name for entry in entries for name in entry.sources)
        hits.append(
            _Hit(
                medicine.medicine.name,
                details,
                (f"medicines[{medicine.medicine.number}]",),
                sources,
            )
        )
    return hits


def _findings_of(rule: SafetyRule, facts: Facts, patient: Patient, answers: Known) -> list[Finding]:
    hits_of = _medicine_hits if rule.about == "medicine" else _patient_hits
    hits = hits_of(rule, facts, answers)
    may = rule.level == "confirm" or (rule.level == "stop" and rule.acceptable)
    return [
        Finding(
            id=rule.id,
            level=rule.level,
            says=_fill(rule.says, hit.details),
            instead=_fill(rule.instead, hit.details),
            settled_by=rule.settled_by,
            acceptable=may,
            concerns=hit.concerns,
            subject=hit.subject,
            sources=tuple(dict.fromkeys((*rule.sources, *hit.sources))),
            accepted=_acceptance(rule.id, hit.subject, patient, len(hits) > 1) if may else None,
        )
        for hit in hits
    ]


def _idle_acceptances(patient: Patient, findings: Sequence[Finding]) -> list[Finding]:
    """A note for each `accepted` entry that no finding used, so that none is passed over."""
    used = [finding.accepted for finding in findings if finding.accepted is not None]
    return [
        Finding(
            "accepted-not-used", "note",
            f"accepted[{number}] names '{entry.finding}', which it does not settle.",
            "Take the entry out, correct its finding, or name the medicine with about: …",
            "the nurse who prepares the packet", False, (f"accepted[{number}]",), entry.finding,
            ("patient-file",), None,
        )
        for number, entry in enumerate(patient.accepted)
        if entry not in used
    ]  # fmt: skip


def judge(rules: Sequence[SafetyRule], facts: Facts, patient: Patient) -> tuple[Finding, ...]:
    """All findings, stops first, then by rule id and subject."""
    answers = _answers(rules, facts)
    findings = [
        finding for rule in rules for finding in _findings_of(rule, facts, patient, answers)
    ]
    findings += _idle_acceptances(patient, findings)
    return tuple(
        sorted(findings, key=lambda f: (LEVELS.index(f.level), f.id, f.subject, f.concerns))
    )
