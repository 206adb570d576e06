"""Proof: no section prints a longer list than a reader can hold.

The bands of page 1 and the finder are not lists to keep in mind but lines to be found by their
first words.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plainleaf.authoring.prove.failures import Failure, Proving
from plainleaf.authoring.prove.texts import Place, modules_of
from plainleaf.inputs.content import TIERS, Module, Section
from plainleaf.vocabulary.conditions import Condition, every
from plainleaf.vocabulary.terms import LONGEST_LIST

# What stands in one list on paper: steps have numbers, points a sign, calls the sign of their tier.
_LISTS = (("point",), ("step",), TIERS)


def prove_lengths(run: Proving) -> Iterator[Failure]:
    """A fault for each section that prints more than seven list items for some class."""
    bands = _bands(run)
    for module in modules_of(run.library):
        for section in module.sections:
            run.counts["sections"] += 1
            if section.id in bands:
                continue
            for kinds in _LISTS:
                answers = _too_long(run, module, section, kinds)
                if answers is not None:
                    place = Place(section.id, module.file, section.line)
                    says = f"prints a list of more than {LONGEST_LIST} items."
                    yield Failure("lengths", place, says, answers)


def _bands(run: Proving) -> frozenset[str]:
    """The sections with a level of the page that is first."""
    named = frozenset(run.library.pages[0].takes) if run.library.pages else frozenset()
    sections = (section for module in modules_of(run.library) for section in module.sections)
    return frozenset(s.id for s in sections if s.id in named and s.level is not None)


def _too_long(
    run: Proving, module: Module, section: Section, kinds: Sequence[str]
) -> dict[str, str] | None:
    """A class with more items of one list than allowed, or None.

    Variants of one choice count once, since the proof of choices says that one of them prints.
    """
    listed = [s for s in section.statements if s.kind in kinds and not s.leads_to]
    groups: dict[str, list[Condition]] = {}
    for statement in listed:
        groups.setdefault(statement.choice or statement.id, []).append(statement.when)
    if len(groups) <= LONGEST_LIST:
        return None
    return _longer(run, every(module.when, section.when), list(groups.values()), 0)


def _longer(
    run: Proving, when: Condition, groups: Sequence[Sequence[Condition]], printed: int
) -> dict[str, str] | None:
    """Tries every way to print one more item of each group, as far as a class allows it."""
    if printed > LONGEST_LIST:
        return run.search.smallest(when)
    if printed + len(groups) <= LONGEST_LIST:
        return None
    for variant in groups[0]:
        more = every(when, variant)
        if run.search.satisfy(more) is not None:
            example = _longer(run, more, groups[1:], printed + 1)
            if example is not None:
                return example
    return _longer(run, when, groups[1:], printed)
