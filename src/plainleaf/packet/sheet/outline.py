"""What a teach-back sheet asks, of whom and in which words: kept in `packet.json`.

The filled sheet is read back with it, and the follow-up papers take their words from it, so that
nothing is worded a second time and no patient file is needed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Protocol

from plainleaf.compose.word import WordedPacket, WordedStatement, Words
from plainleaf.inputs.content import SECTION_LEVELS, TIERS
from plainleaf.vocabulary.asked_of import AskedOf

TELL, SHOW = "tell", "show"
# Levels of page one that do not wait for a visit.
CALLED = SECTION_LEVELS[:-1]
# The sheet's form: 1 had five fields for each try, 2 has one code with the letter of its session.
FORM = 2
# Lines for sessions that every sheet has.
LETTERS = ("a", "b", "c", "d")


@dataclass(frozen=True)
class OutlineLearner:
    """Someone who is taught; `handout` is the language of the handout that this person reads.

    `duties`: what this person may do; None in a packet of format 1, which knows only `hands_on`.
    """

    name: str
    relation: str
    language: str
    handout: str
    hands_on: bool
    phone: str | None
    duties: tuple[str, ...] | None = None

    def is_asked(self, item: OutlineItem) -> bool:
        """Whether an item is asked of this person: of format 1, a skill of who gives care."""
        if self.duties is None:
            return self.hands_on or item.kind == TELL
        return item.asked_of.asks(self.duties)


@dataclass(frozen=True)
class OutlineItem:
    """One thing to check: a question to `tell` or a skill to `show`.

    `points`: statement ids to listen for, or the steps of the skill, in print order.
    `duty`, `topic`: whose it is and where it is taught, as in `AskedOf`. `page`: the number of the
    handout's first page that says it; "" in a packet of an earlier program.
    """

    id: str
    module: str
    kind: str
    critical: bool
    points: tuple[str, ...]
    duty: tuple[str, ...] = ()
    topic: str = ""
    page: str = ""

    @property
    def ticked(self) -> tuple[int, ...]:
        """Numbers of the steps that are ticked one by one: those of a critical skill, which is met
        only when every step was shown. No step of another skill decides anything.
        """
        if self.kind != SHOW or not self.critical:
            return ()
        return tuple(range(1, len(self.points) + 1))

    @property
    def asked_of(self) -> AskedOf:
        """Whose it is, and where it is taught."""
        return AskedOf(self.duty, self.topic)


@dataclass(frozen=True)
class Signer:
    """Who signs, and the key of the fields."""

    key: str
    who: str


@dataclass(frozen=True)
class Speech:
    """The words of the sheet in one language, with what stands around each page.

    `titles` by module, `asks` and `again` by item, `statements` by id (those the items and the
    danger signs name).
    """

    language: str
    direction: str
    marks: str
    identity: str
    version: str
    staff_mark: str
    titles: Mapping[str, Words]
    asks: Mapping[str, Words]
    again: Mapping[str, Words]
    statements: Mapping[str, WordedStatement]


@dataclass(frozen=True)
class Outline:
    """One sheet. `danger`: level of call (`CALLED`) → statement ids of page one.

    `tries`: boxes for tries on the sheet, after which a plan is due. `letters`: of the lines for
    sessions. `form`: the number of the sheet's form, by which its fields are read. `phones`:
    `clinic`, `after_hours` and `emergency`, and `hospice` where it is called before that.
    `made`: when the packet was made, to the minute.
    `print_size`: of the family's pages, in points.
    """

    version: str
    made: datetime
    staff: str
    print_size: int
    tries: int
    interpreter_needed: bool
    learners: tuple[OutlineLearner, ...]
    items: tuple[OutlineItem, ...]
    needs: tuple[str, ...]
    signers: tuple[Signer, ...]
    danger: Mapping[str, tuple[str, ...]]
    phones: Mapping[str, str]
    speeches: Mapping[str, Speech]
    letters: tuple[str, ...] = LETTERS
    form: int = FORM

    def row(self, item: OutlineItem) -> int:
        """The number of an item's row on the sheet."""
        return self.items.index(item) + 1

    def label(self, item: OutlineItem) -> str:
        """An item in the staff's language: its row on the sheet, and what was asked in words."""
        asked = self.speeches[self.staff].asks[item.id].plain.removesuffix(".")
        return f"row {self.row(item)}, {asked}"

    def takers(self, item: OutlineItem) -> tuple[tuple[int, OutlineLearner], ...]:
        """Learners with their numbers of whom an item is asked."""
        return tuple(
            (number, learner)
            for number, learner in enumerate(self.learners)
            if learner.is_asked(item)
        )


class Furniture(Protocol):
    """What stands around each page."""

    @property
    def marks(self) -> str: ...

    @property
    def identity(self) -> str: ...

    @property
    def version(self) -> str: ...

    @property
    def staff_mark(self) -> str: ...


def items_of(packet: WordedPacket) -> tuple[OutlineItem, ...]:
    """Every question and skill of a packet, in print order."""
    numbers = packet.numbers()
    items: list[OutlineItem] = []
    for module in packet.modules:
        items += [
            OutlineItem(
                prompt.id,
                module.id,
                TELL,
                prompt.critical,
                prompt.listen_for,
                prompt.asked_of.duty,
                prompt.asked_of.topic,
                _first_page(prompt.listen_for, numbers),
            )
            for prompt in module.prompts
        ]
        items += [
            OutlineItem(
                skill.id,
                module.id,
                SHOW,
                skill.critical,
                skill.steps,
                skill.asked_of.duty,
                skill.asked_of.topic,
                _first_page(skill.steps, numbers),
            )
            for skill in module.skills
        ]
    return tuple(items)


def _first_page(points: Sequence[str], numbers: Mapping[str, int]) -> str:
    """The first page of some statements; pages on request have the highest numbers."""
    return str(min(numbers[point] for point in points)) if points else ""


def items_asked(
    packet: WordedPacket, learners: Sequence[OutlineLearner]
) -> tuple[OutlineItem, ...]:
    """Every item that is asked of somebody, by the rows of the sheet: critical questions, skills
    with the critical ones first, other questions. Whose it is only where learners have duties.
    """
    items = sorted(items_of(packet), key=_rank)
    if all(learner.duties is None for learner in learners):
        items = [replace(item, duty=(), topic="") for item in items]
    return tuple(i for i in items if any(one.is_asked(i) for one in learners))


def _rank(item: OutlineItem) -> int:
    if item.kind == SHOW:
        return 1 if item.critical else 2
    return 0 if item.critical else 3


def danger_of(packet: WordedPacket) -> dict[str, tuple[str, ...]]:
    """The call lines of the first topic by level; sections without a level are left out."""
    danger: dict[str, tuple[str, ...]] = {}
    for section in packet.modules[0].sections:
        if section.level in CALLED:
            ids = tuple(st.id for st in section.statements if st.kind in TIERS)
            danger[section.level] = danger.get(section.level, ()) + ids
    return danger


def speech_of(packet: WordedPacket, furniture: Furniture) -> Speech:
    """A packet's words as far as the items and the danger signs need them."""
    every = packet.statements()
    used = [point for item in items_of(packet) for point in item.points]
    used += [point for ids in danger_of(packet).values() for point in ids]
    asks: dict[str, Words] = {}
    again: dict[str, Words] = {}
    for module in packet.modules:
        for prompt in module.prompts:
            asks[prompt.id], again[prompt.id] = prompt.ask, prompt.again
        asks |= {skill.id: skill.title for skill in module.skills}
    return Speech(
        packet.language,
        packet.direction,
        furniture.marks,
        furniture.identity,
        furniture.version,
        furniture.staff_mark,
        {module.id: module.title for module in packet.modules if module.prompts or module.skills},
        asks,
        again,
        {identity: every[identity] for identity in dict.fromkeys(used)},
    )
