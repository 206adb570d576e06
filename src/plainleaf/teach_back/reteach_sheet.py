"""The family's sheet: in large print, in the language they read, only what is still open.

It has two pages at most. What does not fit in full stands with its page of the handout.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from plainleaf.compose.word import Wording, Words
from plainleaf.facts.derived import Typed
from plainleaf.packet.sheet.outline import OutlineItem, Speech
from plainleaf.printing.furniture import PageFurniture
from plainleaf.teach_back.follow_up_paper import FollowUpMaking, around
from plainleaf.teach_back.verdict import Verdict

# How many items are gone over in full, where more than two pages would be needed for all.
_FULL = (8, 6, 5, 4, 3, 2, 1, 0)
# A page of the handout, and what stands on it: a name of `asks` or of `titles`.
_Pointer = tuple[str, str, str]


@dataclass(frozen=True)
class Topic:
    """A topic of the family's sheet with its open items."""

    title: Words
    entries: tuple[OutlineItem, ...]


@dataclass(frozen=True)
class Family:
    """The family's pages in one language; `size` of print in points.

    `topics`: what is gone over in full; `more`: the rest in a line each, with its page.
    """

    tag: str
    size: int
    speech: Speech
    furniture: PageFurniture
    intro: tuple[Words, ...]
    know: Words
    do: Words
    again: Words
    topics: tuple[Topic, ...]
    look: Words
    more: tuple[Words, ...]


def families(making: FollowUpMaking, verdicts: Sequence[Verdict]) -> Iterator[tuple[Family, ...]]:
    """One part for each language in which something is open, in the order of the learners; with
    fewer and fewer items in full, the most urgent kept, and last with topics alone.
    """
    outline = making.outline
    for tag in dict.fromkeys(verdict.learner.handout for verdict in verdicts):
        readers = [verdict for verdict in verdicts if verdict.learner.handout == tag]
        still = {standing.item.id for verdict in readers for standing in verdict.open}
        items = [item for item in outline.items if item.id in still]
        if items:
            counts = dict.fromkeys(min(count, len(items)) for count in (len(items), *_FULL))
            parts = [_family(making, tag, items[:n], _asked(items[n:])) for n in counts]
            yield (*parts, _family(making, tag, (), _by_topic(items)))


def _asked(items: Sequence[OutlineItem]) -> list[_Pointer]:
    return [(item.page, "asks", item.id) for item in items]


def _by_topic(items: Sequence[OutlineItem]) -> list[_Pointer]:
    """Each topic with the page of its first item."""
    pages = {item.module: item.page for item in reversed(items)}
    return [(pages[name], "titles", name) for name in dict.fromkeys(i.module for i in items)]


def _family(
    making: FollowUpMaking, tag: str, items: Sequence[OutlineItem], more: Sequence[_Pointer]
) -> Family:
    outline = making.outline
    speech, words = outline.speeches[tag], making.wording(tag)
    phone = {name: Typed("phone", number) for name, number in outline.phones.items()}
    topics = [
        Topic(speech.titles[module], tuple(item for item in items if item.module == module))
        for module in dict.fromkeys(item.module for item in items)
    ]
    named: Mapping[str, Mapping[str, Words]] = {"asks": speech.asks, "titles": speech.titles}
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
        words.phrase("reteach-look"),
        tuple(_line(words, page, named[kind][name]) for page, kind, name in more),
    )


def _line(words: Wording, page: str, what: Words) -> Words:
    """What to look at again, behind its page; a packet of an earlier program names none."""
    return words.phrase("reteach-page", page=page, what=what) if page else what


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
    yield from (str(words) for words in family.more)
