"""Holds what was decided against the findings: which line settles what, and which settles nothing.

A line settles when it carries the code of the findings that it names, an outcome that is theirs,
and the signers whom their rule names, and when file and outcome do not say different things. Every
line that names a finding must; else its question stays open.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import SettledOutcome
from plainleaf.rules.findings import Finding, Settlement, finding_about_file
from plainleaf.rules.line_faults import Roles, against_each_other, faults_of
from plainleaf.rules.naming_lines import NamingLine, naming_lines
from plainleaf.rules.raised import RaisedFinding


@dataclass(frozen=True)
class SettledLine:
    """A line of `settled`, the code it should have now, or None where it names no finding, and
    whether it has it.
    """

    finding: str
    about: tuple[str, ...]
    code: str | None
    right: bool


@dataclass(frozen=True)
class Judged:
    """The findings with what settles them, the lines of `settled` in file order, and what was
    decided with what it is about.
    """

    findings: tuple[Finding, ...]
    lines: tuple[SettledLine, ...]
    outcomes: tuple[SettledOutcome, ...]


def settle(raised: Sequence[RaisedFinding], patient: Patient, roles: Roles) -> Judged:
    """The findings of a file of format 2, with what its lines settle and what is wrong with them.

    Args:
        roles: The credentials of each role at the facility.
    """
    lines = tuple(naming_lines(raised, patient))
    faults = {line.key: list(faults_of(line, patient, roles)) for line in lines}
    for line, fault in against_each_other(lines, patient):
        faults[line.key].append(fault)
    good = [line for line in lines if line.right and not faults[line.key]]
    findings = [_with_settlement(question, lines, good) for question in raised]
    findings += [fault for line in lines for fault in faults[line.key]]
    findings += [note for line in lines for note in _idle(line)]
    kept = [
        line for line in good if any(_settles(question, lines, good) for question in line.targets)
    ]
    return Judged(
        tuple(findings),
        tuple(
            SettledLine(line.decided.finding, line.decided.about, line.code, line.right)
            for line in lines
        ),
        tuple(_outcome(line) for line in kept),
    )


def _outcome(line: NamingLine) -> SettledOutcome:
    names = (name for target in line.targets for name in target.names)
    return SettledOutcome(
        line.decided.finding,
        line.decided.do,
        line.decided.fields,
        line.decided.about or tuple(dict.fromkeys(names)),
        tuple(medicine.number for medicine in line.medicines),
        line.block.by,
        line.block.other,
        line.block.on,
    )


def _settles(
    question: RaisedFinding, lines: Sequence[NamingLine], good: Sequence[NamingLine]
) -> bool:
    """Whether there are lines that name a finding, and all of them are good."""
    naming = [line for line in lines if question in line.targets]
    return bool(naming) and all(line in good for line in naming)


def _with_settlement(
    question: RaisedFinding, lines: Sequence[NamingLine], good: Sequence[NamingLine]
) -> Finding:
    if not _settles(question, lines, good):
        return question.finding
    naming = [line for line in lines if question in line.targets]
    block = naming[0].block
    decisions = tuple(line.decided for line in naming)
    return replace(question.finding, settled=Settlement(block.by, block.other, block.on, decisions))


def _idle(line: NamingLine) -> Iterator[Finding]:
    """A note for what a line names and no finding asks."""
    called = {name for target in line.targets for name in target.names}
    idle = [name for name in line.decided.about if name not in called]
    if idle or not line.targets:
        of = f" about {', '.join(idle)}" if idle else ""
        yield finding_about_file(
            "settles-nothing", "note",
            f"{line.key} settles '{line.decided.finding}'{of}, which is not asked.",
            "Take it out, or correct its finding or about.", (line.key,), line.key,
        )  # fmt: skip
