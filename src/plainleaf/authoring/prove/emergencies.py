"""Proof: every emergency that is due stands on page 1, and every critical topic is taught back."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.authoring.prove.duties import FILE, Duty
from plainleaf.authoring.prove.failures import Failure, Proving
from plainleaf.authoring.prove.taught_duties import printed_prompt, printed_skill
from plainleaf.authoring.prove.texts import Place, modules_of
from plainleaf.vocabulary.conditions import Condition, every, never, some


def prove_emergencies(run: Proving) -> Iterator[Failure]:
    """A fault for each emergency that some class does not find among page 1's emergencies."""
    first = run.library.modules[0]
    now = {
        statement.id: run.library.conditions[statement.id]
        for section, statement in first.statements()
        if section.level == "now"
    }
    lacks = "does not stand among the emergencies of page 1"
    for duty in run.duties.emergencies:
        run.counts["emergencies"] += 1
        yield from _due(run, duty, now, ("emergencies", lacks, "page 1 does not say it"))


def prove_taught(run: Proving) -> Iterator[Failure]:
    """A fault for each critical topic that some class is not asked about."""
    asked: dict[str, Condition] = {}
    for module in modules_of(run.library):
        asked |= {p.id: printed_prompt(module, p) for p in module.teach_back if p.critical}
        asked |= {s.id: printed_skill(module, s) for s in module.show_back if s.critical}
    for duty in run.duties.taught:
        run.counts["topics to teach back"] += 1
        yield from _due(
            run, duty, asked, ("taught", "is not critical", "no critical prompt or skill covers it")
        )


def _due(
    run: Proving, duty: Duty, there: dict[str, Condition], says: tuple[str, str, str]
) -> Iterator[Failure]:
    """Faults of one duty; `says`: the proof, what a name lacks, what a patient lacks."""
    proof, lacks, missed = says
    place = Place(duty.id, FILE, duty.line)
    for name in duty.any_of:
        if name not in there:
            yield Failure(proof, place, f"'{name}' {lacks}.")
    if run.search.satisfy(duty.when) is None:
        yield Failure(proof, place, "it is due for nobody.")
    missing = every(duty.when, never(some(*(there[n] for n in duty.any_of if n in there))))
    if run.search.satisfy(missing) is not None:
        yield Failure(proof, place, f"{missed}.", run.search.smallest(missing))
