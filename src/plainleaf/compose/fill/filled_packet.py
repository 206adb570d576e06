"""The filled packet: typed values and phrases, still no language."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from plainleaf.compose.fill.picture_slots import FilledPicture
from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.vocabulary.asked_of import AskedOf

# A table cell is one or more lines, each a value.
Cell = tuple[Value, ...]


@dataclass(frozen=True)
class FilledBlock:
    """A generated table.

    `look`: table, card (label and value pairs), contacts, plan (what is so, and what is done then),
    list or log. `head` holds phrase ids,
    one a column; every row has as many cells.
    """

    name: str
    look: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


class FilledText(NamedTuple):
    """Words with their message id, and a value for every slot.

    A named tuple, as `FilledStatement`: a packet has hundreds, made in a third of the time.
    """

    id: str
    text: str
    values: tuple[tuple[str, Typed], ...]


class FilledStatement(NamedTuple):
    """A statement ready to be worded; exactly one of `text` and `block` is there.

    The text of a picture is its caption; `alt` is read out in its place. `leads_to`: the
    section that a line of the finder leads to.
    """

    id: str
    kind: str
    text: FilledText | None
    block: FilledBlock | None
    sources: tuple[str, ...]
    picture: FilledPicture | None = None
    alt: FilledText | None = None
    leads_to: str | None = None


@dataclass(frozen=True)
class FilledSection:
    """A heading with its statements."""

    id: str
    heading: FilledText
    level: str | None
    statements: tuple[FilledStatement, ...]


@dataclass(frozen=True)
class FilledPrompt:
    """A teach-back question with the statements to listen for (ids), and short lines of them."""

    id: str
    ask: FilledText
    listen_for: tuple[str, ...]
    again: FilledText
    critical: bool
    asked_of: AskedOf
    listen: tuple[tuple[FilledText, tuple[str, ...]], ...] = ()


@dataclass(frozen=True)
class FilledSkill:
    """A skill to be shown; its steps are statement ids."""

    id: str
    title: FilledText
    section: str
    steps: tuple[str, ...]
    critical: bool
    asked_of: AskedOf


@dataclass(frozen=True)
class FilledModule:
    """One topic ready to be worded."""

    id: str
    title: FilledText
    sections: tuple[FilledSection, ...]
    prompts: tuple[FilledPrompt, ...]
    skills: tuple[FilledSkill, ...]


@dataclass(frozen=True)
class FilledPage:
    """A page of the family's packet: its number, its title, and its sections by id, in order."""

    id: str
    part: str
    number: int
    title: Phrase
    sections: tuple[str, ...]


@dataclass(frozen=True)
class FilledPacket:
    """Everything of the handout and the teach-back, without language."""

    modules: tuple[FilledModule, ...]
    pages: tuple[FilledPage, ...] = ()
