"""What the printed statements rest on, and what a clinician must look at first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from plainleaf.authoring.readability.pieces import Remark
from plainleaf.inputs.content import TIERS, Library, Module, Statement

# A source of its own kind: the facility's setting or the patient's own orders stand for it.
LOCAL = ("patient-file",)
_POLICY = "policy."
# Best first. A statement stands as well as the best of its published sources.
ORDER = (
    "seen", "seen-2nd", "arith", "mixed", "disputed", "memory", "common-practice", "policy",
)  # fmt: skip
# Nobody has read a source for these.
WEAK = frozenset({"memory", "common-practice"})
# What could hurt most first: kind of statement, then stance of its advice.
_KINDS = {"warn": 1, **dict(zip(TIERS, (0, 1, 2, 5), strict=True))}
_STANCES = {"never": 1, "do": 3, "ask-first": 4}


@dataclass(frozen=True)
class Standing:
    """One statement with the status of each source and the best of them."""

    statement: Statement
    module: Module
    statuses: tuple[str, ...]
    best: str

    @property
    def urgency(self) -> int:
        """How soon a clinician should look: 0 is first."""
        ranks = [_STANCES[advice.stance] for advice in self.statement.advice]
        return min([_KINDS.get(self.statement.kind, 9), *ranks])

    @property
    def acts(self) -> bool:
        """Whether it tells someone to do, not to do or to call."""
        return bool(self.statement.advice) or self.statement.kind in _KINDS


@dataclass(frozen=True)
class Evidence:
    """The standing of all statements that print, with how many packets print each."""

    standings: tuple[Standing, ...]
    printed: Mapping[str, int]

    def citations(self) -> dict[str, int]:
        """How many citations there are of each status."""
        return _ordered(Counter(s for standing in self.standings for s in standing.statuses))

    def statements(self) -> dict[str, int]:
        """How many statements have each status as their best."""
        return _ordered(Counter(standing.best for standing in self.standings))

    def first_looks(self) -> list[Standing]:
        """Advice and calls that rest on memory or common practice alone, most urgent first."""
        weak = [s for s in self.standings if s.best in WEAK and s.acts]
        often = self.printed
        return sorted(
            weak, key=lambda s: (s.urgency, -often[s.statement.id], s.best, s.statement.id)
        )


def _ordered(counts: Mapping[str, int]) -> dict[str, int]:
    return {status: counts[status] for status in ORDER if status in counts}


def status_of(source: str, library: Library) -> str:
    """The status of one cited source: of the fact's row, or `policy` for a setting."""
    return "policy" if source.startswith(_POLICY) else library.claims[source].status


def standing(module: Module, statement: Statement, library: Library) -> Standing:
    """What one statement rests on; settings and orders count only where nothing else is cited."""
    statuses = tuple(status_of(source, library) for source in statement.sources)
    published = [
        status_of(source, library)
        for source in statement.sources
        if source not in LOCAL and not source.startswith(_POLICY)
    ]
    best = min(published or statuses or ("common-practice",), key=ORDER.index)
    return Standing(statement, module, statuses, best)


def evidence(library: Library, printed: Mapping[str, int]) -> Evidence:
    """The evidence behind all statements printed in some packets.

    Args:
        printed: Statement id → how many packets print it.
    """
    rows = [
        standing(module, statement, library)
        for module in library.modules
        for _, statement in module.statements()
        if printed.get(statement.id)
    ]
    return Evidence(tuple(rows), printed)


def evidence_remarks(seen: Evidence) -> list[Remark]:
    """A fault for each printed statement without a source."""
    return [
        Remark("fault", "source", s.statement.id, "prints without a source.", "all packets")
        for s in seen.standings
        if not s.statement.sources
    ]


def evidence_lines(seen: Evidence, many: int = 20) -> list[str]:
    """The report: counts by status, then the first to look at."""
    lines = [f"{len(seen.standings)} statements print. The best source of each:"]
    lines += [f"  {status:16} {count}" for status, count in seen.statements().items()]
    lines.append("All citations by status:")
    lines += [f"  {status:16} {count}" for status, count in seen.citations().items()]
    looks = seen.first_looks()
    lines.append(f"{len(looks)} statements with advice or a call rest on memory or common practice")
    lines.append("alone. A clinician looks at these first, most urgent first:")
    for number, look in enumerate(looks[:many], start=1):
        place = f"{look.module.file}:{look.statement.line}"
        text = look.statement.text
        kind = look.statement.kind.replace("_", " ")
        lines.append(f"  {number:3} {look.statement.id} ({place}, {kind}, {look.best}): {text}")
    if len(looks) > many:
        lines.append(f"  and {len(looks) - many} more")
    return lines
