"""The teaching of the sheet in print order: in the planned sessions, then what is in none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plainleaf.compose.word import (
    WordedModule,
    WordedPacket,
    WordedPrompt,
    WordedSkill,
    Wording,
    Words,
)
from plainleaf.facts.derived import Typed
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import Session
from plainleaf.packet.sheet.outline import TELL, Outline, OutlineItem, OutlineLearner
from plainleaf.packet.sheet.sheet_person import words_of

Takers = tuple[tuple[int, OutlineLearner], ...]


@dataclass(frozen=True)
class AskedItem:
    """A question or a skill with those of whom it is asked here; `number`: of the question."""

    item: OutlineItem
    worded: WordedPrompt | WordedSkill
    number: int
    takers: Takers


@dataclass(frozen=True)
class SheetTopic:
    """A topic with its questions and skills; `first`: it is not yet named further up."""

    module: WordedModule
    prompts: tuple[AskedItem, ...]
    skills: tuple[AskedItem, ...]
    first: bool


@dataclass(frozen=True)
class SheetPart:
    """A session, or all that is asked outside the sessions; `heading` None: there are none."""

    heading: Words | None
    lines: tuple[Words, ...]
    topics: tuple[SheetTopic, ...]


def sheet_parts(
    outline: Outline, packet: WordedPacket, patient: Patient, wording: Wording
) -> list[SheetPart]:
    """Every item of the outline, each asked of each of its learners once."""
    left = {(item.id, who) for item in outline.items for who, _ in outline.takers(item)}
    seen: set[str] = set()
    parts: list[SheetPart] = []
    for number, session in enumerate(patient.sessions, 1):
        topics = _topics(outline, packet, session, left, seen)
        heading, lines = session_words(number, session, patient, wording)
        parts.append(SheetPart(heading, lines, topics))
    if left or not parts:
        rest = _topics(outline, packet, None, left, seen)
        outside = wording.phrase("sheet-no-session") if parts else None
        parts.append(SheetPart(outside, (), rest))
    return parts


def _topics(
    outline: Outline,
    packet: WordedPacket,
    session: Session | None,
    left: set[tuple[str, int]],
    seen: set[str],
) -> tuple[SheetTopic, ...]:
    """The topics of a session, or without one those of all that is left; they leave `left`."""
    topics = []
    for module in packet.modules:
        asked = list(_asked(outline, module, session, left))
        if not asked:
            continue
        prompts = tuple(one for one in asked if one.item.kind == TELL)
        skills = tuple(one for one in asked if one.item.kind != TELL)
        topics.append(SheetTopic(module, prompts, skills, module.id not in seen))
        seen.add(module.id)
    return tuple(topics)


def _asked(
    outline: Outline, module: WordedModule, session: Session | None, left: set[tuple[str, int]]
) -> Iterator[AskedItem]:
    both: tuple[WordedPrompt | WordedSkill, ...] = (*module.prompts, *module.skills)
    worded = {one.id: one for one in both}
    items = [item for item in outline.items if item.module == module.id]
    tells = [item.id for item in items if item.kind == TELL]
    for item in items:
        if session is not None and not item.asked_of.belongs_to(session.topics):
            continue
        takers = tuple(
            (who, learner)
            for who, learner in outline.takers(item)
            if (item.id, who) in left and (session is None or learner.name in session.who)
        )
        if takers:
            left -= {(item.id, who) for who, _ in takers}
            number = tells.index(item.id) + 1 if item.id in tells else 0
            yield AskedItem(item, worded[item.id], number, takers)


def session_words(
    number: int, session: Session, patient: Patient, wording: Wording
) -> tuple[Words, tuple[Words, ...]]:
    """Which session: when and how long, with whom, about what; held, where that was decided."""
    heading = wording.phrase(
        "sheet-session", number=str(number), at=Typed("moment", session.at),
        long=Typed("span", session.lasts),
    )  # fmt: skip
    who, topics = _listed(session.who, wording), words_of("duty", session.topics, wording)
    lines = [wording.phrase("sheet-session-who", who=who, topics=topics)]
    held = (o for o in patient.outcomes if o.finding == "session-past" and str(number) in o.about)
    lines += [wording.phrase("sheet-session-held", on=Typed("date", session.at.date()))
              for _ in held]  # fmt: skip
    return heading, tuple(lines)


def _listed(names: Sequence[str], wording: Wording) -> str:
    return wording.listed(list(names))
