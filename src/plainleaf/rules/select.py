"""Which statements one patient gets, and for each one why or why not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from plainleaf.facts import Facts
from plainleaf.inputs.content import (
    Library,
    Module,
    Page,
    Section,
    ShowBack,
    Statement,
    TeachBack,
)
from plainleaf.vocabulary.conditions import Answer, Condition, all_of

Known = Mapping[str, str | None]


class Ruling(NamedTuple):
    """One statement, in or out, with the condition and the facts that ruled.

    A named tuple, because there is one for every statement of the library and it is made in a
    third of the time. `known` is every answer of the patient; `facts` are those that the
    condition asks.
    """

    statement: str
    module: str
    section: str
    answer: Answer
    condition: Condition
    known: Known
    sources: tuple[str, ...]

    @property
    def facts(self) -> dict[str, str]:
        """The facts asked, with their answers, in the order of asking."""
        return {fact: self.known.get(fact) or "unknown" for fact in self.condition.facts()}


@dataclass(frozen=True)
class SelectedSection:
    """A section with the statements that hold."""

    section: Section
    statements: tuple[Statement, ...]


@dataclass(frozen=True)
class SelectedModule:
    """A module with what holds of it; never without a section."""

    module: Module
    sections: tuple[SelectedSection, ...]
    teach_back: tuple[TeachBack, ...]
    show_back: tuple[ShowBack, ...]


@dataclass(frozen=True)
class SelectedPage:
    """A page with its number, and the sections that are printed on it; never without one."""

    page: Page
    number: int
    sections: tuple[SelectedSection, ...]


@dataclass(frozen=True)
class Selection:
    """What one patient gets.

    `unknown`: facts that some condition could not do without. `split_choices`: choices of which
    not exactly one variant holds, as (choice, ids that hold); the content is at fault then.
    """

    modules: tuple[SelectedModule, ...]
    rulings: tuple[Ruling, ...]
    unknown: tuple[str, ...]
    split_choices: tuple[tuple[str, tuple[str, ...]], ...]
    pages: tuple[SelectedPage, ...]

    @property
    def page_numbers(self) -> Mapping[str, int]:
        """Page → its number for this patient; only of pages that this patient gets."""
        return {chosen.page.id: chosen.number for chosen in self.pages}


def _split(
    named: Mapping[str, Sequence[str]], held: frozenset[str]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each choice of which not exactly one variant is held."""
    for choice, ids in named.items():
        holding = tuple(identity for identity in ids if identity in held)
        if len(holding) != 1:
            yield choice, holding


def _variants(items: Sequence[Section] | Sequence[Statement]) -> dict[str, list[str]]:
    named: dict[str, list[str]] = {}
    for item in items:
        if item.choice is not None:
            named.setdefault(item.choice, []).append(item.id)
    return named


def split_choices(
    module: Module, open_sections: Sequence[Section], held: frozenset[str]
) -> list[tuple[str, tuple[str, ...]]]:
    """Choices of a module that do not come down to one variant.

    Section choices count over the module; statement choices over all sections of the module, as
    soon as one section that holds a variant is open.
    """
    due = {s.choice for section in open_sections for s in section.statements}
    statements = [s for section in module.sections for s in section.statements if s.choice in due]
    opened = frozenset(section.id for section in open_sections)
    return [*_split(_variants(module.sections), opened), *_split(_variants(statements), held)]


def _select_module(
    module: Module, opened: Sequence[Section], ruled: Sequence[Ruling], answers: Known
) -> tuple[SelectedModule | None, list[tuple[str, tuple[str, ...]]]]:
    """What holds of a module that is due, and its split choices.

    Args:
        opened: Its sections that are due.
        ruled: The rulings on its statements.
    """
    held = frozenset(item.statement for item in ruled if item.answer is Answer.TRUE)
    kept = [(item, tuple(s for s in item.statements if s.id in held)) for item in opened]
    sections = tuple(SelectedSection(section, some) for section, some in kept if some)
    split = split_choices(module, opened, held)
    if not sections:
        return None, split
    return (
        SelectedModule(
            module,
            sections,
            tuple(t for t in module.teach_back if t.when.ask(answers) is Answer.TRUE),
            tuple(s for s in _skills(module, sections) if s.when.ask(answers) is Answer.TRUE),
        ),
        split,
    )


def _skills(module: Module, sections: Sequence[SelectedSection]) -> Iterator[ShowBack]:
    """Skills whose section is printed with at least one step."""
    steps = {s.section.id for s in sections if any(item.kind == "step" for item in s.statements)}
    yield from (skill for skill in module.show_back if skill.section in steps)


def _decide(
    section: Section, module: Module, around: Answer, library: Library, answers: Known
) -> Iterator[Ruling]:
    """A ruling for each statement of a section.

    Args:
        around: What holds of the section and its module, which is asked once for all of them.
    """
    for statement in section.statements:
        answer = around if around is Answer.FALSE else all_of(around, statement.when.ask(answers))
        condition = library.conditions[statement.id]
        yield Ruling(
            statement.id, module.id, section.id, answer, condition, answers, statement.sources
        )


def select(library: Library, facts: Facts) -> Selection:
    """The statements of a library that hold for one patient, with every ruling."""
    answers = facts.answers
    modules: list[SelectedModule] = []
    split: list[tuple[str, tuple[str, ...]]] = []
    rulings: list[Ruling] = []
    for module in library.modules:
        if module.status == "retired":
            continue
        due = module.when.ask(answers)
        opened: list[Section] = []
        ruled: list[Ruling] = []
        for section in module.sections:
            around = all_of(due, section.when.ask(answers))
            opened += [section] if around is Answer.TRUE else []
            ruled += _decide(section, module, around, library, answers)
        if due is Answer.TRUE:
            chosen, faults = _select_module(module, opened, ruled, answers)
            modules += [chosen] if chosen else []
            split += faults
        rulings += ruled
    unknown = (
        fact
        for ruling in rulings
        if ruling.answer is Answer.UNKNOWN
        for fact, answer in ruling.facts.items()
        if answer == "unknown"
    )
    return Selection(
        tuple(modules),
        tuple(rulings),
        tuple(dict.fromkeys(unknown)),
        tuple(split),
        tuple(_numbered(library.pages, modules)),
    )


def _numbered(pages: Sequence[Page], modules: Sequence[SelectedModule]) -> Iterator[SelectedPage]:
    """The pages on which something is printed, with their numbers from 1."""
    printed = {s.section.id: s for chosen in modules for s in chosen.sections}
    number = 0
    for page in pages:
        sections = tuple(printed[name] for name in page.takes if name in printed)
        if sections:
            number += 1
            yield SelectedPage(page, number, sections)
