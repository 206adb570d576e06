"""Whether page 1 holds the emergencies that ship in the program, in full strength.

A line counts while it is in use, in the first band of the first page, of its kind, and holds its
terms and no word that takes the haste out of it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from plainleaf.inputs.catalog import SOURCE, Catalog
from plainleaf.inputs.content import Library, Module, Section, Statement
from plainleaf.rules.emergencies import (
    BAND,
    BAND_HEADING,
    EMERGENCIES,
    PHRASES,
    WEAKENING,
    Emergency,
)
from plainleaf.vocabulary.conditions import Answer, Condition
from plainleaf.vocabulary.errors import LocaleError

_PHRASES_FILE = "phrases.yaml"


@dataclass(frozen=True)
class Weakened:
    """An emergency that page 1 lacks or says too weakly: where, and what is wrong."""

    emergency: str
    file: str
    line: int
    says: str

    @property
    def place(self) -> str:
        """File and line, the line where there is one."""
        return f"{self.file}:{self.line}" if self.line else self.file


@dataclass(frozen=True)
class EmergencyLine:
    """A statement that an emergency names, with where it stands and when it prints."""

    module: Module
    section: Section
    statement: Statement
    when: Condition


def emergency_lines(library: Library) -> Mapping[str, EmergencyLine]:
    """Id → line, of all statements of modules in use."""
    return {
        statement.id: EmergencyLine(module, section, statement, library.conditions[statement.id])
        for module in library.modules
        if module.status != "retired"
        for section, statement in module.statements()
    }


def holds_term(text: str, term: str) -> bool:
    """Whether a text holds a term: the beginning of a word, or a slot.

    >>> holds_term("New confusion, hard to wake.", "confus"), holds_term("Unconfused.", "confus")
    (True, False)
    """
    return re.search(rf"(?<![A-Za-z]){re.escape(term)}", text, re.I) is not None


def what_weakens(library: Library, line: EmergencyLine, emergency: Emergency) -> str | None:
    """Why a line is not the emergency that it must be; None where it is."""
    name = f"'{line.statement.id}'"
    if not library.pages or line.section.id not in library.pages[0].takes:
        return f"{name} does not stand on page 1."
    if line.section.level != BAND or line.statement.kind != emergency.kind:
        return f"{name} is no longer of the tier of emergencies ({emergency.kind})."
    for text in filter(None, (line.statement.text, line.statement.child_text)):
        lacking = [term for term in emergency.terms if not holds_term(text, term)]
        if lacking:
            return f"{name} no longer says {', '.join(map(repr, lacking))}."
        weak = [word for word in WEAKENING if holds_term(text, word)]
        if weak:
            return f"{name} says '{weak[0]}', which takes the haste out of it."
    return None


def sound_lines(
    library: Library, lines: Mapping[str, EmergencyLine], emergency: Emergency
) -> Mapping[str, Condition]:
    """Id → when it prints, of the lines of an emergency that are as they must be."""
    return {
        name: lines[name].when
        for name in emergency.any_of
        if name in lines and what_weakens(library, lines[name], emergency) is None
    }


def weakened(
    library: Library, lines: Mapping[str, EmergencyLine], emergency: Emergency, otherwise: str
) -> Weakened:
    """What is wrong with an emergency that is not on page 1 for somebody.

    Args:
        otherwise: What is said where each of its lines is sound, and yet not printed.
    """
    first = library.modules[0]
    for name in emergency.any_of:
        if name not in lines:
            says = f"'{name}' is gone, and with it the emergency '{emergency.id}' from page 1."
            return Weakened(emergency.id, first.file, 0, says)
        line = lines[name]
        says = what_weakens(library, line, emergency) or ""
        if says:
            return Weakened(emergency.id, line.module.file, line.statement.line, says)
    line = lines[emergency.any_of[0]]
    return Weakened(
        emergency.id, line.module.file, line.statement.line,
        f"{' or '.join(repr(name) for name in emergency.any_of)} {otherwise}",
    )  # fmt: skip


def weakened_bands(library: Library) -> Iterator[Weakened]:
    """The head of the first band, where it no longer says whom to call now."""
    first = library.pages[0].takes if library.pages else ()
    for module in library.modules:
        for section in module.sections:
            heads = {section.heading, section.child_heading or section.heading}
            if section.id in first and section.level == BAND and heads != {BAND_HEADING}:
                says = f"the heading of '{section.id}' is not {BAND_HEADING}."
                yield Weakened("heading", module.file, section.line, says)
    for name, terms in PHRASES.items():
        text = library.phrases.get(name, ("", None))[0]
        lacking = [term for term in terms if not holds_term(text, term)]
        if lacking:
            says = f"phrase '{name}' no longer says {', '.join(map(repr, lacking))}."
            yield Weakened("heading", _PHRASES_FILE, 0, says)


def weakened_for(library: Library, answers: Mapping[str, str | None]) -> Iterator[Weakened]:
    """What page 1 of one patient lacks, one entry an emergency.

    An emergency of which it is not known whether it is due counts as due. A line of which it is not
    known whether it prints is not lacking: what must be known for it is asked, and stops the
    packet.
    """
    lines = emergency_lines(library)
    yield from weakened_bands(library)
    for emergency in EMERGENCIES:
        if emergency.when.ask(answers) is Answer.FALSE:
            continue
        sound = sound_lines(library, lines, emergency)
        if all(when.ask(answers) is Answer.FALSE for when in sound.values()):
            yield weakened(library, lines, emergency, "is not printed for this patient.")


def untranslated_for(
    library: Library, catalog: Catalog, answers: Mapping[str, str | None]
) -> Iterator[Weakened]:
    """What page 1 of one patient lacks in a language: lines without words of today's English."""
    if catalog.language == SOURCE:
        return
    lines = emergency_lines(library)
    child = answers.get("child") == "true"
    for name in dict.fromkeys(name for e in EMERGENCIES for name in e.any_of if name in lines):
        line = lines[name]
        if line.statement.kind == "block" or line.when.ask(answers) is not Answer.TRUE:
            continue
        try:
            catalog.text(_message(line.statement, child=child), line.statement.words(child=child))
        except LocaleError as error:
            fault = error.faults[0]
            yield Weakened(name, fault.file, fault.line, fault.wrong)


def _message(statement: Statement, *, child: bool) -> str:
    """The id of the message of a statement's words."""
    return statement.id if not child or statement.child_text is None else f"{statement.id}+child"
