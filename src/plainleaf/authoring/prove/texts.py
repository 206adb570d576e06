"""Everything of a library that can reach paper, with the condition under which it does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from plainleaf.inputs.content import Library, Module, Page, Section, Statement
from plainleaf.vocabulary.conditions import Condition, both, every, no, some, yes


@dataclass(frozen=True)
class Place:
    """Where a thing stands: id, file and line."""

    id: str
    file: str
    line: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line} {self.id}"


@dataclass(frozen=True)
class ProvedText:
    """Words as they print for some patients, and which patients those are.

    `reader` is `all`, `adult` or `parent`: where the words differ, each has an entry of its own.
    """

    place: Place
    words: str
    when: Condition
    reader: str

    @property
    def module(self) -> str:
        """The module it belongs to."""
        return self.place.id.split(".")[0].split("/")[0]


@dataclass(frozen=True)
class Printable:
    """A statement with all that must hold for it to print."""

    module: Module
    section: Section
    statement: Statement
    when: Condition

    @property
    def place(self) -> Place:
        """Where the statement stands."""
        return Place(self.statement.id, self.module.file, self.statement.line)


def modules_of(library: Library) -> tuple[Module, ...]:
    """The modules that print; retired ones never do."""
    return tuple(module for module in library.modules if module.status != "retired")


def printables(library: Library) -> Iterator[Printable]:
    """Every statement, in print order."""
    for module in modules_of(library):
        for section, statement in module.statements():
            yield Printable(module, section, statement, library.conditions[statement.id])


def printed_section(module: Module, section: Section) -> Condition:
    """When a section prints: it is open and holds something."""
    inside = some(*(statement.when for statement in section.statements))
    return every(module.when, section.when, inside)


def printed_module(module: Module) -> Condition:
    """When a module prints: one of its sections does."""
    return some(*(printed_section(module, section) for section in module.sections))


def printed_page(library: Library, page: Page) -> Condition:
    """When a page prints: one of the sections that it takes does."""
    return some(*(
        printed_section(module, section)
        for module in modules_of(library)
        for section in module.sections
        if section.id in page.takes
    ))  # fmt: skip


def _readers(place: Place, adult: str, child: str | None, when: Condition) -> Iterator[ProvedText]:
    if child is None:
        yield ProvedText(place, adult, when, "all")
        return
    yield ProvedText(place, adult, both(when, no("child")), "adult")
    yield ProvedText(place, child, both(when, yes("child")), "parent")


def texts(library: Library) -> Iterator[ProvedText]:
    """All words: titles, headings, statements, and what the nurse reads out."""
    for module in modules_of(library):
        title = Place(f"{module.id}/title", module.file, 0)
        yield from _readers(title, module.title, module.child_title, printed_module(module))
        for section in module.sections:
            place = Place(f"{section.id}/heading", module.file, section.line)
            when = printed_section(module, section)
            yield from _readers(place, section.heading, section.child_heading, when)
        yield from _spoken(module)
    for printable in printables(library):
        if printable.statement.kind != "block":
            statement = printable.statement
            yield from _readers(
                printable.place, statement.text, statement.child_text, printable.when
            )
            if statement.alt is not None:
                yield ProvedText(printable.place, statement.alt, printable.when, "all")


def _spoken(module: Module) -> Iterator[ProvedText]:
    printed = printed_module(module)
    for prompt in module.teach_back:
        when = both(printed, prompt.when)
        for part, adult, child in (
            ("ask", prompt.ask, prompt.child_ask),
            ("again", prompt.again, prompt.child_again),
        ):
            place = Place(f"{prompt.id}/{part}", module.file, prompt.line)
            yield from _readers(place, adult, child, when)
    for skill in module.show_back:
        place = Place(f"{skill.id}/title", module.file, skill.line)
        when = every(printed_steps(module, skill.section), skill.when)
        yield from _readers(place, skill.title, skill.child_title, when)


def printed_steps(module: Module, section_id: str) -> Condition:
    """When a section prints at least one step."""
    for section in module.sections:
        if section.id == section_id:
            steps = [s.when for s in section.statements if s.kind == "step"]
            return every(module.when, section.when, some(*steps))
    return some()
