"""The family's sheet: in large print, in the language they read, only what is still open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from plainleaf.compose.word import Wording, Words
from plainleaf.facts.derived import Typed
from plainleaf.packet.sheet.outline import OutlineItem, Speech
from plainleaf.printing.furniture import PageFurniture
from plainleaf.teach_back.follow_up_paper import FollowUpMaking, around
from plainleaf.teach_back.verdict import Verdict


@dataclass(frozen=True)
class Topic:
    """A topic of the family's sheet with its open items."""

    title: Words
    entries: tuple[OutlineItem, ...]


@dataclass(frozen=True)
class Family:
    """The family's pages in one language; `size` of print in points."""

    tag: str
    size: int
    speech: Speech
    furniture: PageFurniture
    intro: tuple[Words, ...]
    know: Words
    do: Words
    again: Words
    topics: tuple[Topic, ...]


def families(making: FollowUpMaking, verdicts: Sequence[Verdict]) -> Iterator[Family]:
    """One part for each language in which something is open, in the order of the learners."""
    outline = making.outline
    for tag in dict.fromkeys(verdict.learner.handout for verdict in verdicts):
        readers = [verdict for verdict in verdicts if verdict.learner.handout == tag]
        still = {standing.item.id for verdict in readers for standing in verdict.open}
        items = [item for item in outline.items if item.id in still]
        if items:
            yield _family(making, tag, items)


def _family(making: FollowUpMaking, tag: str, items: Sequence[OutlineItem]) -> Family:
    outline = making.outline
    speech, words = outline.speeches[tag], making.wording(tag)
    phone = {name: Typed("phone", number) for name, number in outline.phones.items()}
    topics = [
        Topic(speech.titles[module], tuple(item for item in items if item.module == module))
        for module in dict.fromkeys(item.module for item in items)
    ]
    return Family(
        tag,
        outline.print_size,
        speech,
        around(speech, str(words.phrase("reteach-title"))),
        (
            words.phrase("reteach-why"),
            first_call_to(words, phone),
            words.phrase("remind-call", clinic=phone["clinic"], after_hours=phone["after_hours"]),
            words.phrase("caution-care-team"),
        ),
        words.phrase("reteach-know"),
        words.phrase("reteach-do"),
        words.phrase("reteach-again"),
        tuple(topics),
    )


def first_call_to(words: Wording, phone: Mapping[str, Typed]) -> Words:
    """Whom to call when there is no time; the hospice stands in the emergency number's place."""
    if "hospice" in phone:
        return words.phrase("caution-hospice", phone=phone["hospice"])
    return words.phrase("caution-emergency", phone=phone["emergency"])


def family_lines(family: Family) -> Iterator[str]:
    """What must stand in its print."""
    speech = family.speech
    yield family.furniture.title
    yield from (str(words) for words in family.intro)
    for topic in family.topics:
        for item in topic.entries:
            for point in item.points:
                statement = speech.statements[point]
                if statement.words is not None:
                    yield str(statement.words)
                if statement.block is not None:
                    for row in statement.block.rows:
                        yield from (str(line) for cell in row for line in cell)
            if item.id in speech.again:
                yield str(speech.again[item.id])
