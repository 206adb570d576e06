"""The family's handout: large print, and the same words for the phone."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plainleaf.case import Case
from plainleaf.check import check_handout, first_page_complete
from plainleaf.fill import FilledPacket
from plainleaf.papers.desk import Desk, Paper, furniture, is_draft
from plainleaf.press import Pressed
from plainleaf.render import PageFurniture
from plainleaf.typeset import Laid
from plainleaf.word import WordedPacket, Wording, Words, word

# Classes that give page one more room where its words do not fit: wider, then also tighter.
_ROOM = (" wide", " wide tight")


@dataclass(frozen=True)
class Handout:
    """One language's handout: its words, its pages and the same for the phone."""

    words: WordedPacket
    laid: Laid | Pressed
    html: str
    furniture: PageFurniture
    wording: Wording
    cautions: tuple[Words, ...]

    def paper(self, file: str) -> Paper:
        """The handout as a paper of the packet."""
        return Paper(file, self.laid, lambda pdf: check_handout(pdf, self.words, self.furniture))


def handout_title(case: Case, wording: Wording) -> Words:
    """The title on the first page: for the person, or for the parent of a child."""
    child = case.facts.answers["child"] == "true"
    return wording.phrase("handout-title-child" if child else "handout-title")


def cautions_of(case: Case, wording: Wording) -> list[Words]:
    """What stands after page 1: when to call, whom the packet is for, that it is a draft."""
    emergency = case.facts.values["emergency_phone"]
    lines = [
        wording.phrase("caution-emergency", phone=emergency),
        wording.phrase("caution-care-team"),
        wording.phrase("caution-orders"),
        wording.phrase("caution-made-for"),
    ]
    if is_draft(case):
        lines.append(wording.phrase("caution-draft"))
    return lines


def lay_handout(
    case: Case, desk: Desk, filled: FilledPacket, language: str, version: str
) -> Handout:
    """The handout in one language, laid out.

    Raises:
        RenderError, LocaleError: The pages cannot be made.
    """
    wording = Wording(case.library, case.catalog(language))
    packet = word(filled, wording)
    around = furniture(case, wording, handout_title(case, wording), version)
    told = cautions_of(case, wording)

    def page(
        css: str, *, phone_links: bool = False, room: str = "", shown: WordedPacket = packet
    ) -> str:
        style = desk.printer.css(css, wording, around)
        return desk.printer.html(
            "handout.html.j2",
            style,
            wording,
            shown,
            around,
            cautions=told,
            phone_links=phone_links,
            room=room,
        )

    laid = desk.lay_handout(page("print.css"))
    if not first_page_complete(laid, packet):
        first = replace(packet, modules=packet.modules[:1])
        wide = desk.lay_handout(page("print.css", room=_ROOM[0], shown=first))
        room = _ROOM[0] if first_page_complete(wide, packet) else _ROOM[1]
        laid = desk.lay_handout(page("print.css", room=room))
    html = page("screen.css", phone_links=True)
    return Handout(packet, laid, html, around, wording, tuple(told))
