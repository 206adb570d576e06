"""A worded packet as pieces in reading order: what every proof of the words goes over."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from plainleaf.compose.word import (
    WordedBlock,
    WordedPacket,
    WordedPage,
    WordedSection,
    Words,
)
from plainleaf.inputs.content import TIERS

# Roles of running text; headings, titles and tables are no sentences.
RUNNING = frozenset({"say", "point", "step", "warn", "normal", *TIERS, "front"})


# Looks of blocks whose heads do not print: lists of lines, to be read and not looked up by column.
HEADLESS = ("card", "contacts", "plan")


@dataclass(frozen=True)
class Piece:
    """One piece of print.

    `role`: kind of statement (`picture` for its caption), or title, heading, head, cell, label,
    alt, ask, again, skill, front.
    `where`: id of the statement, section, topic or prompt it belongs to.
    """

    role: str
    where: str
    section: str
    module: str
    words: Words


@dataclass(frozen=True)
class Printed:
    """A worded packet with what is known of its print.

    `name` says whose it is, `kind` what sort of packet. `pages`: anchor → page, empty when it was
    not laid out. `front`: the cautions that stand on the page after the first. `html`: the phone
    page.
    """

    name: str
    packet: WordedPacket
    pages: Mapping[str, str] = field(default_factory=dict)
    front: tuple[Words, ...] = ()
    html: str = ""
    kind: str = "packet"


def block_pieces(block: WordedBlock, place: str, section: str, module: str) -> Iterator[Piece]:
    """The heads and every line of every cell of a table; some looks print no heads."""
    for head in block.head if block.look not in HEADLESS else ():
        yield Piece("head", place, section, module, head)
    for row in block.rows:
        for cell in row:
            for line in cell:
                yield Piece("cell", place, section, module, line)


def _section(section: WordedSection, module: str) -> Iterator[Piece]:
    yield Piece("heading", section.id, section.id, module, section.heading)
    for statement in section.statements:
        if statement.words is not None:
            yield Piece(statement.kind, statement.id, section.id, module, statement.words)
        if statement.picture is not None:
            yield Piece("alt", statement.id, section.id, module, statement.picture.alt)
            for _, lines in statement.picture.labels:
                for line in lines:
                    yield Piece("label", statement.id, section.id, module, line)
        if statement.block is not None:
            yield from block_pieces(statement.block, statement.id, section.id, module)


def _page(page: WordedPage) -> Iterator[Piece]:
    yield Piece("title", page.id, page.id, page.id, page.title)
    for section in page.sections:
        yield from _section(section, section.id.partition(".")[0])


def handout(printed: Printed) -> Iterator[Piece]:
    """Everything the family reads, in reading order."""
    for page in printed.packet.pages:
        yield from _page(page)
    for line in printed.front:
        yield Piece("front", "about", "about", "about", line)


def sheet(printed: Printed) -> Iterator[Piece]:
    """What the nurse says aloud: the questions, the other explanations, the skills."""
    for module in printed.packet.modules:
        for prompt in module.prompts:
            yield Piece("ask", prompt.id, prompt.id, module.id, prompt.ask)
            yield Piece("again", prompt.id, prompt.id, module.id, prompt.again)
        for skill in module.skills:
            yield Piece("skill", skill.id, skill.id, module.id, skill.title)


@dataclass(frozen=True)
class Remark:
    """One thing the proof of the words has to say.

    `level`: `fault` stops the proof, `note` is to be looked at. `rule`: id of the rule or item.
    `where`: statement, page or item. `packet`: the first packet in which it shows.
    """

    level: str
    rule: str
    where: str
    says: str
    packet: str

    def __str__(self) -> str:
        return f"{self.level.upper():6}{self.rule}: {self.where}: {self.says} [{self.packet}]"
