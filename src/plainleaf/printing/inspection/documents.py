"""Each document of a packet against what was meant; an empty list when it may go out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Protocol

from plainleaf.compose.word import Run, WordedPages, WordedPicture, Words
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.html import has_log
from plainleaf.printing.inspection.contrast import contrast_faults
from plainleaf.printing.inspection.find_texts import TextPlaces, missing_texts
from plainleaf.printing.inspection.find_texts_rtl import loose, loose_faults, missing_words
from plainleaf.printing.inspection.pages import (
    document_faults,
    edge_faults,
    lonely_headings,
    page_faults,
)
from plainleaf.printing.inspection.read_pdf import PageText, Reading, read_back
from plainleaf.printing.inspection.text_match import InAnyOrder, found_in
from plainleaf.printing.inspection.weights import heading_faults
from plainleaf.printing.renderer.layout import Pdf
from plainleaf.vocabulary.languages import direction_of

# Large print: at least 18 points on every run (rows LP-01 of the print reference; ACB, UKAAF).
LARGE_PRINT = 18.0
# The nurse's sheet: nothing below 10 points.
STAFF_PRINT = 10.0
# What is read out in place of a picture stays short (row PI-08).
LONGEST_ALT = 150


class Paged(Protocol):
    """Anything that knows on which page its anchors stand."""

    @property
    def anchors(self) -> Mapping[str, int]: ...


def emergencies_on_first_side(pdf: Paged, packet: WordedPages) -> bool:
    """Whether every emergency of page one stands on its first side, and whom to call too."""
    return all(pdf.anchors.get(name) == 1 for name in _on_first_side(packet))


def _on_first_side(packet: WordedPages) -> Iterator[str]:
    """The last line of the highest tier on the first page, and the last row of the phones."""
    for section in packet.pages[0].sections:
        if section.level == "now":
            yield section.statements[-1].id
        yield from (f"{st.id}-{len(st.block.rows)}" for st in section.statements
                    if st.block is not None and st.block.look == "contacts")  # fmt: skip


def _picture_faults(
    identity: str, picture: WordedPicture, pages: Sequence[PageText], direction: str
) -> Iterator[str]:
    """Every word of its labels is printed, and what is read out in its place is short.

    A label may be wrapped, so each word is looked for on its own.
    """
    if len(picture.alt.plain) > LONGEST_ALT:
        yield f"'{identity}': what is read out has more than {LONGEST_ALT} letters"
    text = "".join(page.text for page in pages)
    printed = loose(pages) if direction == "rtl" else found_in(text, direction)
    for role, lines in picture.labels:
        if not all(printed.holds(word) for line in lines for word in str(line).split()):
            yield f"the picture '{identity}' lacks its label '{role}'"


def _pictures_faults(
    pdf: Pdf, packet: WordedPages, reading: Reading, least: float
) -> Iterator[str]:
    # Above 18 points labels are a list below the drawing, which may run over to the next page.
    over = 1 if least > LARGE_PRINT else 0
    for identity, statement in packet.statements().items():
        number = pdf.anchors.get(identity, 0)
        if statement.picture is not None and 1 <= number <= len(reading.pages):
            pages = reading.pages[number - 1 : number + over]
            yield from _picture_faults(identity, statement.picture, pages, packet.direction)


def _ends(pdf: Pdf, packet: WordedPages) -> frozenset[int]:
    """Pages before one that had to begin anew: with a topic, or with a log, which is copied."""
    new = [section.id for m in packet.pages for section in m.sections if has_log(section)]
    new += [module.id for module in packet.pages] + ["about"]
    return frozenset(pdf.anchors[name] - 1 for name in new if name in pdf.anchors)


def inspect_pages(
    data: bytes,
    furniture: PageFurniture,
    *,
    language: str = "en",
    least: float = LARGE_PRINT,
    texts: Sequence[tuple[str, Words]] = (),
    may_end: frozenset[int] = frozenset(),
) -> list[str]:
    """Everything that is not as meant in any document.

    Args:
        least: Least effective size of print in points.
        texts: What must stand in it: what each is, for the message, with its words.
        may_end: Pages that may be short because a new page had to begin after them.
    """
    return _faults(read_back(data), data, furniture, language, least, may_end, texts)


def _faults(
    reading: Reading,
    data: bytes,
    furniture: PageFurniture,
    language: str,
    least: float,
    may_end: frozenset[int],
    texts: Sequence[tuple[str, Words]],
    *,
    titled: bool = True,
) -> list[str]:
    direction = direction_of(language)
    missing = missing_words if direction == "rtl" else missing_texts
    return [
        *document_faults(reading, language, furniture),
        *page_faults(reading.pages, furniture, direction, least, may_end, titled=titled),
        *edge_faults(data, reading.pages),
        *contrast_faults(data, reading.pages),
        *missing(texts, reading.pages),
    ]


def inspect_handout(
    pdf: Pdf,
    packet: WordedPages,
    furniture: PageFurniture,
    *,
    least: float = LARGE_PRINT,
    cautions: Sequence[Words] = (),
) -> list[str]:
    """Everything that is not as meant in a handout.

    Args:
        least: Least effective print size in points: the size that was asked for.
        cautions: What stands at its end.
    """
    reading = read_back(pdf.data)
    texts = [(f"caution {number}", words) for number, words in enumerate(cautions, start=1)]
    may_end = _ends(pdf, packet)
    return [
        *_faults(
            reading, pdf.data, furniture, packet.language, least, may_end, texts, titled=False
        ),
        *(
            loose_faults(packet, reading.pages, pdf.anchors)
            if packet.direction == "rtl"
            else TextPlaces(packet, reading.pages, pdf.anchors).faults()
        ),
        *heading_faults(packet, reading.pages, pdf.anchors),
        *_pictures_faults(pdf, packet, reading, least),
    ]


class Said(Protocol):
    """A paper that can say every line that must stand in its print."""

    @property
    def language(self) -> str: ...

    def lines(self) -> Iterator[str]: ...


def inspect_words(
    pdf: Pdf,
    said: Said,
    furniture: PageFurniture,
    *,
    least: float = LARGE_PRINT,
    most_pages: int = 1,
) -> list[str]:
    """Everything that is not as meant in a short paper, such as the sheet to teach again."""
    texts = [
        (f"line {number}", Words((Run(line),))) for number, line in enumerate(said.lines(), start=1)
    ]
    faults = inspect_pages(pdf.data, furniture, language=said.language, least=least, texts=texts)
    return [*faults, *([f"more than {most_pages} pages"] if pdf.pages > most_pages else [])]


def inspect_sheet(
    pdf: Pdf,
    furniture: PageFurniture,
    texts: Sequence[tuple[str, Words]] = (),
    turned: Sequence[tuple[str, Words]] = (),
) -> list[str]:
    """Everything that is not as meant in a teach-back sheet.

    Args:
        texts: What must stand in it, as in `inspect_pages`: its questions and what to listen for.
        turned: The same in languages from right to left, whose words are looked for one by one.
    """
    reading = read_back(pdf.data)
    printed = InAnyOrder("\n".join(page.text for page in reading.pages)) if turned else None
    # Each question is kept on one page with its table, whatever room that leaves before it.
    may_end = frozenset(range(1, pdf.pages + 1))
    return [
        *_faults(reading, pdf.data, furniture, "en", STAFF_PRINT, may_end, texts),
        *lonely_headings(reading.pages),
        *(
            f"{name} lacks in the print: {', '.join(lacking)}"
            for name, words in turned
            if printed is not None and (lacking := printed.lacking(words.plain))
        ),
    ]
