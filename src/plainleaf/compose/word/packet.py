"""The filled packet, worded."""

from __future__ import annotations

from collections.abc import Sequence

from plainleaf.compose.fill import (
    FilledBlock,
    FilledModule,
    FilledPacket,
    FilledPrompt,
    FilledSection,
    FilledSkill,
    FilledStatement,
)
from plainleaf.compose.word.no_break import in_cell
from plainleaf.compose.word.worded_packet import (
    WordedBlock,
    WordedModule,
    WordedPacket,
    WordedPage,
    WordedPicture,
    WordedPrompt,
    WordedSection,
    WordedSkill,
    WordedStatement,
    Words,
)
from plainleaf.compose.word.wording import Wording
from plainleaf.inputs.catalog import SOURCE, best_language
from plainleaf.inputs.patient import Patient
from plainleaf.rules.decision import Decision


def wording_of(decision: Decision, language: str = SOURCE) -> Wording:
    """What words the packet in a language whose catalog is loaded; without one, that of staff."""
    catalogs = decision.inputs.teaching.catalogs
    reader = reader_address(decision.patient, language, tuple(catalogs))
    address = decision.patient.person.address
    return Wording(decision.library, catalogs[language].addressed(address, reader))


def reader_address(patient: Patient, language: str, have: Sequence[str]) -> str | None:
    """As whom the readers of a language are addressed; None where they are not alike."""
    readers = [x for x in patient.learners if best_language(x.language, have) == language]
    how = {reader.address for reader in readers}
    return how.pop() if len(how) == 1 else None


def _in_cell(words: Words) -> Words:
    """A line of a cell, which is narrow: a long value may break between its parts."""
    return Words(tuple(in_cell(run) for run in words.runs))


def word_block(wording: Wording, block: FilledBlock) -> WordedBlock:
    """A table in words."""
    rows = tuple(
        tuple(tuple(_in_cell(wording.value(line)) for line in cell) for cell in row)
        for row in block.rows
    )
    head = tuple(wording.phrase(name) for name in block.head)
    return WordedBlock(block.name, block.look, head, rows)


def _picture(wording: Wording, filled: FilledStatement) -> WordedPicture | None:
    if filled.picture is None or filled.alt is None:
        return None
    labels = tuple(
        (role, tuple(wording.value(line) for line in lines))
        for role, lines in filled.picture.labels
    )
    alt = wording.text(filled.alt)
    return WordedPicture(filled.picture.name, filled.picture.shown, labels, alt)


def _statement(wording: Wording, filled: FilledStatement) -> WordedStatement:
    words = wording.text(filled.text) if filled.text else None
    block = word_block(wording, filled.block) if filled.block else None
    picture = _picture(wording, filled)
    return WordedStatement(
        filled.id,
        filled.kind,
        words,
        block,
        filled.sources,
        picture,
        filled.leads_to,
    )


def _section(wording: Wording, filled: FilledSection) -> WordedSection:
    statements = tuple(_statement(wording, statement) for statement in filled.statements)
    return WordedSection(filled.id, wording.text(filled.heading), filled.level, statements)


def _prompt(wording: Wording, filled: FilledPrompt) -> WordedPrompt:
    ask, again = wording.text(filled.ask), wording.text(filled.again)
    staff = wording.catalog.language == SOURCE
    listen = tuple((wording.text(heard), of) for heard, of in filled.listen) if staff else ()
    return WordedPrompt(
        filled.id, ask, filled.listen_for, again, filled.critical, filled.asked_of, listen
    )


def _skill(wording: Wording, filled: FilledSkill) -> WordedSkill:
    title = wording.text(filled.title)
    return WordedSkill(
        filled.id, title, filled.section, filled.steps, filled.critical, filled.asked_of
    )


def _module(wording: Wording, filled: FilledModule) -> WordedModule:
    return WordedModule(
        filled.id,
        wording.text(filled.title),
        tuple(_section(wording, section) for section in filled.sections),
        tuple(_prompt(wording, prompt) for prompt in filled.prompts),
        tuple(_skill(wording, skill) for skill in filled.skills),
    )


def word(packet: FilledPacket, wording: Wording) -> WordedPacket:
    """The packet in the language of the catalog.

    Raises:
        LocaleError: A message has no current translation.
    """
    modules = tuple(_module(wording, module) for module in packet.modules)
    sections = {section.id: section for module in modules for section in module.sections}
    pages = tuple(
        WordedPage(
            page.id,
            page.part,
            page.number,
            wording.value(page.title),
            tuple(sections[name] for name in page.sections),
        )
        for page in packet.pages
    )
    return WordedPacket(wording.catalog.language, wording.catalog.direction, modules, pages)
