"""Lines of `settled` beside the findings that they name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plainleaf.inputs.patient import Medicine, Patient
from plainleaf.inputs.patient.order_values import Decided, Settled
from plainleaf.rules.decision_codes import code_of
from plainleaf.rules.findings import Finding, finding_about_file
from plainleaf.rules.raised import RaisedFinding


@dataclass(frozen=True)
class NamingLine:
    """A line of `settled` beside the findings that it names."""

    key: str
    block: Settled
    decided: Decided
    targets: tuple[RaisedFinding, ...]

    @property
    def code(self) -> str | None:
        """The code that it should have now; None where it names no finding."""
        looked_at = [target.looks for target in self.targets]
        return code_of(self.decided.finding, looked_at) if looked_at else None

    @property
    def right(self) -> bool:
        """Whether it has that code."""
        return self.code is not None and self.decided.code == self.code

    @property
    def medicines(self) -> tuple[Medicine, ...]:
        """All medicines that its outcome is about, in file order."""
        lines = {m.number: m for target in self.targets for m in target.medicines}
        return tuple(lines[number] for number in sorted(lines))

    def fault(self, identity: str, says: str, instead: str, *keys: str) -> Finding:
        """A stop because of this line, with the keys that it is about besides."""
        concerns = tuple(dict.fromkeys((self.key, *keys)))
        return finding_about_file(identity, "stop", says, instead, concerns, self.decided.finding)


def naming_lines(raised: Sequence[RaisedFinding], patient: Patient) -> Iterator[NamingLine]:
    """All lines of `settled`, in file order."""
    for number, block in enumerate(patient.settled):
        for place, decision in enumerate(block.decided):
            targets = tuple(question for question in raised if _names(decision, question))
            yield NamingLine(f"settled[{number}].decided[{place}]", block, decision, targets)


def _names(decision: Decided, question: RaisedFinding) -> bool:
    if decision.finding != question.finding.id or not question.finding.acceptable:
        return False
    return not decision.about or not set(decision.about).isdisjoint(question.names)
