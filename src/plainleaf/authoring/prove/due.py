"""Proof: every emergency that is due stands on page 1, and every critical topic is taught back."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.authoring.prove.duties import FILE, Duty
from plainleaf.authoring.prove.failures import Failure, Proving
from plainleaf.authoring.prove.search import Search
from plainleaf.authoring.prove.taught_duties import printed_prompt, printed_skill
from plainleaf.authoring.prove.texts import Place, modules_of
from plainleaf.inputs.content import Library
from plainleaf.rules.emergencies import EMERGENCIES
from plainleaf.rules.page_one import (
    Weakened,
    emergency_lines,
    sound_lines,
    weakened,
    weakened_bands,
)
from plainleaf.vocabulary.conditions import Condition, every, never, some

_NOT_FOR_ALL = "is not printed for every patient who needs it."


def weakened_for_somebody(
    library: Library, search: Search
) -> Iterator[tuple[Weakened, Condition | None]]:
    """What page 1 lacks for some kind of patient, and for which kinds; None for everybody."""
    for band in weakened_bands(library):
        yield band, None
    lines = emergency_lines(library)
    for emergency in EMERGENCIES:
        sound = sound_lines(library, lines, emergency)
        missing = every(emergency.when, never(some(*sound.values())))
        if search.satisfy(missing) is not None:
            yield weakened(library, lines, emergency, _NOT_FOR_ALL), missing


def prove_emergencies(run: Proving) -> Iterator[Failure]:
    """A fault for each emergency that some class does not get on page 1 in full strength."""
    run.counts["emergencies"] += len(EMERGENCIES)
    for lacking, missing in weakened_for_somebody(run.library, run.search):
        place = Place(lacking.emergency, lacking.file, lacking.line)
        patient = None if missing is None else run.search.smallest(missing)
        yield Failure("emergencies", place, lacking.says, patient)


def prove_taught(run: Proving) -> Iterator[Failure]:
    """A fault for each critical topic that some class is not asked about."""
    asked: dict[str, Condition] = {}
    for module in modules_of(run.library):
        asked |= {p.id: printed_prompt(module, p) for p in module.teach_back if p.critical}
        asked |= {s.id: printed_skill(module, s) for s in module.show_back if s.critical}
    for duty in run.duties.taught:
        run.counts["topics to teach back"] += 1
        yield from _due(run, duty, asked)


def _due(run: Proving, duty: Duty, asked: dict[str, Condition]) -> Iterator[Failure]:
    """Faults of one duty: a name that is not critical, and patients who are not asked."""
    place = Place(duty.id, FILE, duty.line)
    for name in duty.any_of:
        if name not in asked:
            yield Failure("taught", place, f"'{name}' is not critical.")
    if run.any_facility and run.search.satisfy(duty.when) is None:
        yield Failure("taught", place, "it is due for nobody.")
    missing = every(duty.when, never(some(*(asked[n] for n in duty.any_of if n in asked))))
    if run.search.satisfy(missing) is not None:
        says = "no critical prompt or skill covers it."
        yield Failure("taught", place, says, run.search.smallest(missing))
