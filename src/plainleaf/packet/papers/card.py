"""The tube card: one page for the wallet, the school or the night nurse.

Everything on it is the handout's own: statements marked `card` in the modules, the patient's tube,
ports, day and phones. Print never shrinks to make it fit. What does not fit is left out in a fixed
order, the least urgent first, and the card says on which page of the handout it stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

from plainleaf.compose.fill import SlotSource, card_day, card_facts, card_ports
from plainleaf.compose.word import (
    WordedBlock,
    WordedPacket,
    WordedSection,
    Wording,
    Words,
    word_block,
)
from plainleaf.packet.papers.handout import Handout
from plainleaf.packet.papers.paper import Paper, PressRoom, furniture
from plainleaf.printing.check import check_words
from plainleaf.printing.html import PageFurniture
from plainleaf.printing.workers import Printing
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.errors import RenderError


@dataclass(frozen=True)
class Shown:
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
    Shown(),
    Shown(grouped=True),
    Shown("no-medicine-names"),
    Shown("no-medicine-names", grouped=True),
    Shown("feedings", grouped=True),
    Shown("none"),
    Shown("none", ports=False),
    Shown("none", ports=False, nevers=False),
)


@dataclass(frozen=True)
class CardWords:
    """A card in words; `more` says where in the handout the rest stands."""

    language: str
    direction: str
    title: Words
    calls: WordedBlock
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
        for block in (self.calls, self.facts, self.ports, self.day):
            for row in block.rows if block is not None else ():
                yield from (str(line) for cell in row for line in cell)


def _carded(packet: WordedPacket) -> Iterator[WordedSection]:
    """Sections with the statements that are marked for the card, where there are any."""
    for module in packet.modules:
        for section in module.sections:
            marked = tuple(s for s in section.statements if s.card)
            if marked:
                yield replace(section, statements=marked)


def _calls(packet: WordedPacket) -> WordedBlock:
    """The phones of page one: whom and which number, without names and hours."""
    block = next(
        s.block
        for s in packet.modules[0].sections[-1].statements
        if s.block is not None and s.block.look == "contacts"
    )
    return replace(block, rows=tuple((row[0][:1], row[1]) for row in block.rows))


def _page(packet: WordedPacket, handout: Handout, block: str) -> str | None:
    """The page of the handout with a table, if it has that table."""
    for identity, statement in packet.statements().items():
        if statement.block is not None and statement.block.name == block:
            return str(handout.laid.anchors[identity])
    return None


_LEFT_OUT = {"no-medicine-names": "day", "feedings": "feedings", "none": "day"}


def _more(
    wording: Wording, handout: Handout, carded: list[WordedSection], shown: Shown
) -> Iterator[Words]:
    """Where the handout says more: always for the short parts, and for what was left out."""
    packet, anchors = handout.words, handout.laid.anchors
    pages: dict[str, str | None] = {
        "out": next((str(anchors[section.id]) for section in carded if section.level), None),
        "medicines": _page(packet, handout, "medicine_table"),
    }
    if shown.day != "all":
        # The page of the medicines always stands there: names alone need no word of their own.
        pages[_LEFT_OUT[shown.day]] = _page(packet, handout, "day_schedule")
    if not shown.ports:
        pages["ports"] = _page(packet, handout, "port_table")
    for name, page in pages.items():
        if page is not None:
            yield wording.phrase(f"card-paper-more-{name}", page=page)
    nevers = sorted({anchors[section.id] for section in carded if not section.level})
    if nevers and not shown.nevers:
        yield wording.phrase(
            "card-paper-more-never", pages=wording.listed([str(n) for n in nevers])
        )


def card_words(decision: Decision, handout: Handout, wording: Wording, shown: Shown) -> CardWords:
    """The card in the language of a handout, with the handout's pages."""
    source = SlotSource(decision.patient, decision.facts)
    packet = handout.words
    carded = list(_carded(packet))
    return CardWords(
        packet.language,
        packet.direction,
        wording.phrase("card-paper-title"),
        _calls(packet),
        tuple(section for section in carded if section.level),
        word_block(wording, card_facts(source)),
        word_block(wording, card_ports(source)) if shown.ports else None,
        tuple(
            statement.words
            for section in carded
            for statement in section.statements
            if shown.nevers and not section.level and statement.words is not None
        ),
        word_block(wording, card_day(source, shown.day, grouped=shown.grouped)),
        tuple(_more(wording, handout, carded, shown)),
    )


def _tells_a_day(decision: Decision, shown: Shown) -> bool:
    """Feedings alone are shown from two times on: one row, such as the new start of a pump that
    runs all day, would look like a whole day."""
    if shown.day != "feedings":
        return True
    return len(card_day(SlotSource(decision.patient, decision.facts), shown.day).rows) > 1


def _lay(room: PressRoom, words: CardWords, wording: Wording, around: PageFurniture) -> Printing:
    css = room.printer.css("card.css", wording, around)
    html = room.printer.html("card.html.j2", css, wording, words, around, phone_links=False)
    return room.lay(html, one_sheet=not room.format.large)


def lay_card(
    decision: Decision, room: PressRoom, handout: Handout, file: str, version: str
) -> Paper:
    """The card that goes with a handout, on one page; in print above 18 points on one sheet.

    Raises:
        RenderError: Even the shortest card does not fit.
    """
    wording = handout.wording
    around = furniture(decision, wording, wording.phrase("card-paper-title"), version)
    stages = [shown for shown in STAGES if _tells_a_day(decision, shown)]
    tried = [(shown, 1) for shown in stages]
    if room.format.large:
        # The back of the sheet comes before a card without the day.
        tried = [(s, 1) for s in stages if s.day != "none"] + [(s, 2) for s in stages]
    for shown, sides in tried:
        words = card_words(decision, handout, wording, shown)
        laid = _lay(room, words, wording, around)
        if laid.pages <= sides:
            check = partial(
                check_words,
                said=words,
                furniture=around,
                least=room.format.size,
                most_pages=sides,
            )
            return Paper(file, laid, check)
    raise RenderError("the tube card does not fit on one page: shorten contacts.others or names")
