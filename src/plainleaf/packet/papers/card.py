"""The tube card: one page for the wallet, the school or the night nurse.

Everything on it is the handout's own: statements marked `card` in the modules, the patient's tube,
ports, day and phones. Print never shrinks to make it fit. What does not fit is left out in a fixed
order, the least urgent first, and the card says on which page of the handout it stands.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial

from plainleaf.compose.fill import (
    SlotSource,
    card_calls,
    card_day,
    card_facts,
    card_ports,
    low_sugar_box,
)
from plainleaf.compose.word import (
    WordedBlock,
    WordedPacket,
    WordedSection,
    Wording,
    Words,
    word_block,
)
from plainleaf.packet.papers.handout import HANDOUT
from plainleaf.packet.papers.paper import LanguageWords, Paper
from plainleaf.packet.papers.paper_context import Kind, PaperContext
from plainleaf.packet.papers.paper_kind import MadeIn, PaperKind, Shown
from plainleaf.printing.inspection import inspect_words
from plainleaf.printing.workers import Printing
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.errors import RenderError


@dataclass(frozen=True)
class CardHolds:
    """How much stands on a card: of the day (`fill.tables_card.DAYS`), ports and nevers.

    `grouped`: times with the same doings share a row.
    """

    day: str = "all"
    grouped: bool = False
    ports: bool = True
    nevers: bool = True


# Tried in turn until all fits. Equal times share a row before anything is left out; then medicine
# names go, then all but feedings, then the day. What went is named with its page (`_more`).
STAGES = (
    CardHolds(),
    CardHolds(grouped=True),
    CardHolds("no-medicine-names"),
    CardHolds("no-medicine-names", grouped=True),
    CardHolds("feedings", grouped=True),
    CardHolds("none"),
    CardHolds("none", ports=False),
    CardHolds("none", ports=False, nevers=False),
)


@dataclass(frozen=True)
class CardWords:
    """A card in words; `more` says where in the handout the rest stands."""

    language: str
    direction: str
    title: Words
    calls: WordedBlock
    sugar: WordedBlock | None
    emergencies: tuple[WordedSection, ...]
    facts: WordedBlock
    ports: WordedBlock | None
    nevers: tuple[Words, ...]
    day: WordedBlock
    more: tuple[Words, ...]

    def lines(self) -> Iterator[str]:
        """Everything that must stand in the print."""
        yield from (str(words) for words in (self.title, *self.nevers, *self.more))
        for section in self.emergencies:
            yield str(section.heading)
            yield from (str(s.words) for s in section.statements if s.words is not None)
        for block in (self.calls, self.sugar, self.facts, self.ports, self.day):
            for row in block.rows if block is not None else ():
                yield from (str(line) for cell in row for line in cell)


def _carded(packet: WordedPacket) -> Iterator[WordedSection]:
    """Sections with the statements that are marked for the card, where there are any."""
    for module in packet.modules:
        for section in module.sections:
            marked = tuple(s for s in section.statements if s.card)
            if marked:
                yield replace(section, statements=marked)


def _sugar(source: SlotSource, wording: Wording) -> WordedBlock | None:
    """The plan for low sugar, where there is one."""
    if source.patient.low_sugar is None:
        return None
    return word_block(wording, low_sugar_box(source))


def _page(packet: WordedPacket, anchors: Mapping[str, int], block: str) -> str | None:
    """The page of the handout with a table, if it has that table."""
    for identity, statement in packet.statements().items():
        if statement.block is not None and statement.block.name == block:
            return str(anchors[identity])
    return None


_LEFT_OUT = {"no-medicine-names": "day", "feedings": "feedings", "none": "day"}


def _more(
    words: LanguageWords, anchors: Mapping[str, int], carded: list[WordedSection], holds: CardHolds
) -> Iterator[Words]:
    """Where the handout says more: always for the short parts, and for what was left out."""
    packet, wording = words.packet, words.wording
    pages: dict[str, str | None] = {
        "out": next((str(anchors[section.id]) for section in carded if section.level), None),
        "medicines": _page(packet, anchors, "medicine_table"),
    }
    if holds.day != "all":
        # The page of the medicines always stands there: names alone need no word of their own.
        pages[_LEFT_OUT[holds.day]] = _page(packet, anchors, "day_schedule")
    if not holds.ports:
        pages["ports"] = _page(packet, anchors, "port_table")
    for name, page in pages.items():
        if page is not None:
            yield wording.phrase(f"card-paper-more-{name}", page=page)
    nevers = sorted({anchors[section.id] for section in carded if not section.level})
    if nevers and not holds.nevers:
        yield wording.phrase(
            "card-paper-more-never", pages=wording.listed([str(n) for n in nevers])
        )


def card_words(
    decision: Decision, words: LanguageWords, anchors: Mapping[str, int], holds: CardHolds
) -> CardWords:
    """The card in the language of a handout, with the handout's pages."""
    source = SlotSource(decision.patient, decision.facts)
    packet, wording = words.packet, words.wording
    carded = list(_carded(packet))
    return CardWords(
        packet.language,
        packet.direction,
        wording.phrase("card-paper-title"),
        word_block(wording, card_calls(source)),
        _sugar(source, wording),
        tuple(section for section in carded if section.level),
        word_block(wording, card_facts(source)),
        word_block(wording, card_ports(source)) if holds.ports else None,
        tuple(
            statement.words
            for section in carded
            for statement in section.statements
            if holds.nevers and not section.level and statement.words is not None
        ),
        word_block(wording, card_day(source, holds.day, grouped=holds.grouped)),
        tuple(_more(words, anchors, carded, holds)),
    )


def _tells_a_day(decision: Decision, holds: CardHolds) -> bool:
    """Feedings alone are shown from two times on: one row, such as the new start of a pump that
    runs all day, would look like a whole day."""
    if holds.day != "feedings":
        return True
    return len(card_day(SlotSource(decision.patient, decision.facts), holds.day).rows) > 1


def _lay(context: PaperContext, words: CardWords, wording: Wording, sides: int) -> Printing:
    room, around = context.room, context.furniture(wording, words.title)
    css = room.printer.css(CARD.style, wording, around)
    html = room.printer.html(CARD.template, css, wording, words, around, phone_links=False)
    return room.lay(html, one_sheet=sides == 1 and not room.format.large)


def make_card(context: PaperContext, language: str) -> Paper:
    """The card that goes with a handout, on one page; on one sheet in print above 18 points, or
    where the numbers and a plan for low sugar do not fit.

    Raises:
        RenderError: Even the shortest card does not fit.
    """
    decision, words = context.decision, context.words[language]
    anchors = context.paper(HANDOUT, language).laid.anchors
    for holds, sides in _tries(context):
        card = card_words(decision, words, anchors, holds)
        laid = _lay(context, card, words.wording, sides)
        if laid.pages <= sides:
            faults = partial(
                inspect_words,
                said=card,
                furniture=context.furniture(words.wording, card.title),
                least=context.room.format.size,
                most_pages=sides,
            )
            return Paper(laid, faults)
    raise RenderError("the tube card does not fit on one page: shorten contacts.others or names")


def _tries(context: PaperContext) -> list[tuple[CardHolds, int]]:
    """What is tried in turn, with how many sides it may take."""
    stages = [holds for holds in STAGES if _tells_a_day(context.decision, holds)]
    if context.room.format.large:
        # The back of the sheet comes before a card without the day.
        return [(s, 1) for s in stages if s.day != "none"] + [(s, 2) for s in stages]
    # A plan for low sugar and many numbers never give way: rather the back is used.
    return [(s, 1) for s in stages] + [(s, 2) for s in stages]


CARD: Kind = PaperKind(
    "card{language}.pdf",
    "the wallet, the school, the night nurse",
    "Whom to call, a tube that comes out, the day, the tube, on one page.",
    Shown.PAPER,
    make_card,
    MadeIn.READERS,
    "card.html.j2",
    "card.css",
)
