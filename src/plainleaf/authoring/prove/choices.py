"""Proof: of every choice exactly one variant holds, for every class that gets its parent."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plainleaf.authoring.prove.failures import Failure, Proving
from plainleaf.authoring.prove.search import holds, support_of
from plainleaf.authoring.prove.texts import Place, modules_of
from plainleaf.inputs.content import Library, Module
from plainleaf.vocabulary.conditions import Condition, every, some


@dataclass(frozen=True)
class Choice:
    """Variants of which exactly one holds wherever the parent holds."""

    place: Place
    parent: Condition
    variants: tuple[tuple[str, Condition], ...]


def choices(library: Library) -> Iterator[Choice]:
    """Every choice, grouped as `select.split_choices` groups them.

    Sections count over the module. Statements count over all sections of the module, as soon as
    one section that holds a variant is open.
    """
    for module in modules_of(library):
        yield from _section_choices(module)
        yield from _statement_choices(module)


def _section_choices(module: Module) -> Iterator[Choice]:
    for name in dict.fromkeys(s.choice for s in module.sections if s.choice is not None):
        chosen = [section for section in module.sections if section.choice == name]
        variants = tuple((section.id, section.when) for section in chosen)
        yield Choice(Place(name, module.file, chosen[0].line), module.when, variants)


def _statement_choices(module: Module) -> Iterator[Choice]:
    every_one = [pair for pair in module.statements() if pair[1].choice is not None]
    for name in dict.fromkeys(statement.choice for _, statement in every_one):
        chosen = [(section, st) for section, st in every_one if st.choice == name]
        sections = {section.id: section.when for section, _ in chosen}
        parent = every(module.when, some(*sections.values()))
        variants = tuple((st.id, every(section.when, st.when)) for section, st in chosen)
        yield Choice(Place(name or "", module.file, chosen[0][1].line), parent, variants)


def prove_choices(run: Proving) -> Iterator[Failure]:
    """A fault for each choice with a class that gets no variant or more than one."""
    for choice in choices(run.library):
        run.counts["choices"] += 1
        support = support_of(choice.parent, *(condition for _, condition in choice.variants))
        classes = run.search.projections(support, choice.parent)
        run.counts["classes"] += len(classes)
        broken = [answers for answers in classes if len(_held(choice, answers)) != 1]
        if broken:
            yield _failure(run, choice, broken)


def _held(choice: Choice, answers: dict[str, str]) -> list[str]:
    return [name for name, condition in choice.variants if holds(condition, answers)]


def _failure(run: Proving, choice: Choice, broken: Sequence[dict[str, str]]) -> Failure:
    answers = min(broken, key=run.search.far)
    held = _held(choice, answers)
    variants = "no variant" if not held else f"{len(held)} variants ({', '.join(held)})"
    says = f"the choice has {variants} for {len(broken)} classes of patient."
    return Failure("choices", choice.place, says, run.search.smallest(given=answers))
