"""Proof: one event has one tier in all papers, and what the finder names stands on page 1."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations

from plainleaf.authoring.prove.failures import Failure, Proving
from plainleaf.authoring.prove.texts import Place, Printable, printables
from plainleaf.inputs.content import SECTION_LEVELS, TIERS, Library
from plainleaf.vocabulary.conditions import every, never, some


def tier_of(printable: Printable) -> str | None:
    """The tier of a statement; of a table on page 1 that of its band."""
    kind, level = printable.statement.kind, printable.section.level
    if kind in TIERS:
        return kind
    return TIERS[SECTION_LEVELS.index(level)] if kind == "block" and level else None


def told(library: Library) -> Mapping[str, list[Printable]]:
    """Event → every statement that tells of it."""
    by_event: dict[str, list[Printable]] = {}
    for printable in printables(library):
        for event in printable.statement.events:
            by_event.setdefault(event, []).append(printable)
    return by_event


def prove_tiers(run: Proving) -> Iterator[Failure]:
    """A fault for each pair of lines of one event with two tiers that some class gets together, and
    for each line of the finder without a line of page 1."""
    for event, lines in told(run.library).items():
        run.counts["events"] += 1
        yield from _two_tiers(run, event, lines)
        yield from _not_on_page_one(run, event, lines)


def _two_tiers(run: Proving, event: str, lines: list[Printable]) -> Iterator[Failure]:
    for line, other in combinations(lines, 2):
        tier, another = tier_of(line), tier_of(other)
        if tier == another or run.search.satisfy(line.when, other.when) is None:
            continue
        says = (
            f"says '{tier}' of '{event}', and '{other.statement.id}' in the same packet says "
            f"'{another}'."
        )
        yield Failure("tiers", line.place, says, run.search.smallest(line.when, other.when))


def _not_on_page_one(run: Proving, event: str, lines: list[Printable]) -> Iterator[Failure]:
    first = run.library.modules[0].id
    sure = some(*(line.when for line in lines if line.module.id == first))
    for line in lines:
        missing = every(line.when, never(sure))
        if line.statement.leads_to and run.search.satisfy(missing) is not None:
            says = f"names '{event}', of which page 1 has no line."
            yield Failure("tiers", line.place, says, run.search.smallest(missing))


def unnamed(library: Library) -> Iterator[Place]:
    """Lines of the finder that name no event, so that nothing holds them to page 1."""
    for printable in printables(library):
        if printable.statement.leads_to and not printable.statement.events:
            yield printable.place
