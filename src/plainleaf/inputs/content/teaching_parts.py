"""The frozen records of the teaching library."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal

from plainleaf.inputs.content.medicine_parts import MedicineLists
from plainleaf.inputs.content.page_parts import Page
from plainleaf.vocabulary.asked_of import EVERYBODY, AskedOf
from plainleaf.vocabulary.conditions import Condition

Kind = Literal[
    "say",
    "point",
    "step",
    "warn",
    "normal",
    "call_now",
    "call_us",
    "call_today",
    "tell_visit",
    "block",
    "picture",
]
KINDS: tuple[Kind, ...] = (
    "say", "point", "step", "warn", "normal", "call_now", "call_us", "call_today", "tell_visit",
    "block", "picture",
)  # fmt: skip
# The four tiers of urgency, the highest first, each with one action: 911 or the emergency room now,
# call us now at any hour, call us today, tell us at the next visit.
TIERS: tuple[Kind, ...] = ("call_now", "call_us", "call_today", "tell_visit")
# Kinds that tell someone what not to do, or when to call: they need an advice or a level.
BLOCKS = (
    "contacts_box",
    "contacts_more",
    "low_sugar_box",
    "watch_calls",
    "watch_calls_now",
    "watch_table",
    "port_table",
    "tube_card",
    "first_days_table",
    "other_lines_list",
    "feed_table",
    "flush_table",
    "flush_kept_back",
    "recipe_table",
    "step_rules",
    "feeds_by_order",
    "additives_table",
    "medicine_table",
    "sugar_scale",
    "dose_steps",
    "day_schedule",
    "day_log",
    "supplies_table",
    "visits_table",
    "mouth_table",
    "drain_table",
    "drain_log",
    "vent_table",
)
# What is read out in place of a picture stays short (print reference PI-08).
LONGEST_ALT = 150
# A caption says one thing (print reference PI-03).
LONGEST_CAPTION = 10
SECTION_LEVELS = ("now", "us", "today", "visit")
SLOT = re.compile(r"\{([a-z_]+)\}")


@dataclass(frozen=True)
class Advice:
    """An act of the closed list and the stance on it."""

    act: str
    stance: str


@dataclass(frozen=True)
class Statement:
    """One sentence, block or picture of the handout with all that decides and backs it.

    The text of a block is its name, that of a picture its caption; `alt` is read out in its place.
    `leads_to`: a line of the finder names the sections that tell what to do, of which the first
    that is printed counts. `events`: what a line of a tier tells of, in the library's own names;
    two lines of one event that may meet have one tier.
    """

    id: str
    kind: Kind
    text: str
    child_text: str | None
    when: Condition
    sources: tuple[str, ...]
    advice: tuple[Advice, ...]
    choice: str | None
    line: int
    picture: str | None = None
    alt: str | None = None
    leads_to: tuple[str, ...] = ()
    events: tuple[str, ...] = ()

    def words(self, *, child: bool) -> str:
        """The text for an adult, or for the parent of a child where that differs."""
        return self.child_text if child and self.child_text is not None else self.text


@dataclass(frozen=True)
class Section:
    """A heading with its statements."""

    id: str
    heading: str
    child_heading: str | None
    when: Condition
    choice: str | None
    level: str | None
    statements: tuple[Statement, ...]
    line: int

    def words(self, *, child: bool) -> str:
        """The heading for an adult or for the parent of a child."""
        return self.child_heading if child and self.child_heading is not None else self.heading


@dataclass(frozen=True)
class Heard:
    """What to listen for in a few words, and the statements of which it is the short form."""

    say: str
    of: tuple[str, ...]


@dataclass(frozen=True)
class TeachBack:
    """An open question, what to listen for (statement ids) and another way to explain.

    `listen`: the same statements in few words, for the nurse's line; printed where one of them is.
    """

    id: str
    when: Condition
    ask: str
    child_ask: str | None
    listen_for: tuple[str, ...]
    again: str
    child_again: str | None
    critical: bool
    line: int
    asked_of: AskedOf = EVERYBODY
    listen: tuple[Heard, ...] = ()


@dataclass(frozen=True)
class ShowBack:
    """A skill that is shown: the steps are those of a section of the handout."""

    id: str
    when: Condition
    title: str
    child_title: str | None
    section: str
    critical: bool
    line: int
    asked_of: AskedOf = EVERYBODY


@dataclass(frozen=True)
class Module:
    """One topic, one file."""

    id: str
    file: str
    order: int
    status: str
    title: str
    child_title: str | None
    when: Condition
    sections: tuple[Section, ...]
    teach_back: tuple[TeachBack, ...]
    show_back: tuple[ShowBack, ...]

    def words(self, *, child: bool) -> str:
        """The title for an adult or for the parent of a child."""
        return self.child_title if child and self.child_title is not None else self.title

    def statements(self) -> Iterator[tuple[Section, Statement]]:
        """Every statement with its section, in print order."""
        for section in self.sections:
            for statement in section.statements:
                yield section, statement

    def asked(self) -> tuple[TeachBack | ShowBack, ...]:
        """Every question and skill for the nurse's sheet."""
        return (*self.teach_back, *self.show_back)


@dataclass(frozen=True)
class SafetyRule:
    """A safety rule: when it holds, a finding of its level appears."""

    id: str
    about: str
    when: Condition
    level: str
    says: str
    instead: str
    settled_by: str
    acceptable: bool
    events: tuple[str, ...]
    sources: tuple[str, ...]
    line: int
    file: str


@dataclass(frozen=True)
class Source:
    """A published source, or the record that says there is none."""

    id: str
    title: str
    body: str
    year: str
    link: str | None
    read_on: str | None


@dataclass(frozen=True)
class Claim:
    """One clinical fact: what it says, where it stands, and how far it was checked."""

    id: str
    says: str
    sources: tuple[str, ...]
    at: str | None
    status: str


@dataclass(frozen=True)
class Library:
    """All teaching content of a folder.

    `conditions`: statement id → all that must hold. `files`: file → digest of what it says, also
    of those that only the proof reads.
    """

    folder: Path
    modules: tuple[Module, ...]
    pages: tuple[Page, ...]
    rules: tuple[SafetyRule, ...]
    phrases: Mapping[str, tuple[str, str | None]]
    acts: Mapping[str, str]
    sources: Mapping[str, Source]
    claims: Mapping[str, Claim]
    medicine_words: MedicineLists
    conditions: Mapping[str, Condition]
    files: Mapping[str, str]
    digest: str


@cache
def slots_in(text: str) -> tuple[str, ...]:
    """Names of the slots of a text, in order, each once.

    >>> slots_in("Give {water_each} of water, then {water_each} more.")
    ('water_each',)
    """
    return tuple(dict.fromkeys(SLOT.findall(text)))
