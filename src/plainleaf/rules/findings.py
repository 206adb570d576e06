"""Findings: what the safety rules say of one patient, and whether a packet may be built.

A `stop` means no packet; a `confirm` means a packet once a licensed person accepted it in the
patient file; a `note` is printed on the nurse's sheet. A stop can be accepted only where its rule
says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from plainleaf.facts import Facts
from plainleaf.inputs.content import SafetyRule
from plainleaf.inputs.patient import Accepted, Patient
from plainleaf.inputs.patient.order_values import Decided
from plainleaf.rules.acceptances import acceptance, settled_by, what_is_empty
from plainleaf.rules.hits import RuleHit, asked_answers, fill, hits_of
from plainleaf.vocabulary.terms import LEVELS


@dataclass(frozen=True)
class Settlement:
    """Who settled a finding, together with whom, when, and with which outcomes."""

    by: str
    other: str | None
    on: date
    decisions: tuple[Decided, ...]


@dataclass(frozen=True)
class Finding:
    """One thing to look at before the packet goes out.

    A file of format 1 accepts it (`accepted`), one of format 2 settles it (`settled`), by the
    code of a line that names it alone. `subject`: what it is about, as that line calls it.
    """

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
    code: str | None = None
    settled: Settlement | None = None

    @property
    def blocks(self) -> bool:
        """Whether it keeps the packet from being built."""
        return self.level != "note" and self.accepted is None and self.settled is None


def finding_of(
    rule: SafetyRule, hit: RuleHit, subject: str, acceptable: bool, code: str | None = None
) -> Finding:
    """The finding of a rule where it holds, not yet accepted and not settled."""
    return Finding(
        id=rule.id,
        level=rule.level,
        says=fill(rule.says, hit.details),
        instead=fill(rule.instead, hit.details),
        settled_by=rule.settled_by,
        acceptable=acceptable,
        concerns=hit.concerns,
        subject=subject,
        sources=tuple(dict.fromkeys((*rule.sources, *hit.sources))),
        accepted=None,
        code=code,
    )


def finding_about_file(
    identity: str, level: str, says: str, instead: str, concerns: tuple[str, ...], subject: str = ""
) -> Finding:
    """A finding about the file itself, which the nurse who prepares the packet sees to."""
    return Finding(
        identity, level, says, instead, "the nurse who prepares the packet", False, concerns,
        subject, ("patient-file",), None,
    )  # fmt: skip


def _findings_of(rule: SafetyRule, hits: Sequence[RuleHit], patient: Patient) -> Iterator[Finding]:
    may = rule.level == "confirm" or (rule.level == "stop" and rule.acceptable)
    for hit in hits:
        finding = finding_of(rule, hit, hit.subject, may)
        entry = acceptance(rule.id, hit.subject, patient, len(hits) > 1) if may else None
        yield replace(finding, accepted=entry)


def _about_acceptances(patient: Patient, findings: Sequence[Finding]) -> Iterator[Finding]:
    """A note for each `accepted` entry that no finding used, and a question for each that says
    nothing.
    """
    used = [finding.accepted for finding in findings if finding.accepted is not None]
    for number, entry in enumerate(patient.accepted):
        key = f"accepted[{number}]"
        if entry not in used:
            yield finding_about_file(
                "accepted-not-used", "note",
                f"{key} names '{entry.finding}', which it does not settle.",
                "Take the entry out, correct its finding, or name the medicine with about: …",
                (key,), entry.finding,
            )  # fmt: skip
        elif (wrong := what_is_empty(entry)) is not None:
            yield finding_about_file(
                "acceptance-empty", "confirm", f"{key} accepts '{entry.finding}', and {wrong}.",
                f"Have it looked at again by {settled_by(entry.finding)}, and write who with the "
                "credential, and what was decided.",
                (key,), entry.about or entry.finding,
            )  # fmt: skip


def judge(rules: Sequence[SafetyRule], facts: Facts, patient: Patient) -> tuple[Finding, ...]:
    """All findings of a file of format 1, stops first, then by rule id and subject."""
    answers = asked_answers(rules, facts)
    findings = [
        finding
        for rule in rules
        for finding in _findings_of(rule, hits_of(rule, facts, answers), patient)
    ]
    findings += _about_acceptances(patient, findings)
    return tuple(
        sorted(findings, key=lambda f: (LEVELS.index(f.level), f.id, f.subject, f.concerns))
    )
