"""Proof: no packet takes two stances on one act."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from plainleaf.authoring.prove.failures import Failure, Proving
from plainleaf.authoring.prove.texts import Printable, printables
from plainleaf.inputs.content import Library


@dataclass(frozen=True)
class Opposed:
    """Two statements with different stances on one act."""

    act: str
    first: Printable
    first_stance: str
    other: Printable
    other_stance: str


def opposed(library: Library) -> Iterator[Opposed]:
    """Every pair of statements that must never stand in one packet."""
    by_act: dict[str, list[tuple[str, Printable]]] = {}
    for printable in printables(library):
        for advice in printable.statement.advice:
            by_act.setdefault(advice.act, []).append((advice.stance, printable))
    for act, stances in by_act.items():
        for (stance, first), (other_stance, other) in combinations(stances, 2):
            if stance != other_stance:
                yield Opposed(act, first, stance, other, other_stance)


def prove_advice(run: Proving) -> Iterator[Failure]:
    """A fault for each pair of opposed statements that some class gets together."""
    run.counts["acts"] = len(run.library.acts)
    for pair in opposed(run.library):
        run.counts["opposed pairs"] += 1
        if run.search.satisfy(pair.first.when, pair.other.when) is not None:
            says = (
                f"says '{pair.first_stance}' on '{pair.act}', and '{pair.other.statement.id}' "
                f"in the same packet says '{pair.other_stance}'."
            )
            patient = run.search.smallest(pair.first.when, pair.other.when)
            yield Failure("advice", pair.first.place, says, patient)
