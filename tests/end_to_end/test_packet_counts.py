"""How much a family gets on paper: pages, words, frames and headings of each given patient.

The table of them is printed by

    pytest -s tests/end_to_end/test_packet_counts.py -k table
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

import pytest
import yaml
from builders import EXAMPLES, ROOT, _words, policy, teaching
from disk_cache import digest_of, folder_digest, from_disk, press
from format_2 import GIVEN, with_codes
from format_2 import NAMES as FORMAT_2
from packets import NAMES, PLACES, settled_text
from pdf_reading import sheets

import plainleaf
from plainleaf.compose.word import WordedPages
from plainleaf.inputs.catalog import languages
from plainleaf.packet.build import lay_out
from plainleaf.printing.page_format import BOTTOM, TOP
from plainleaf.rules.decision import Decision

FOLDERS = (GIVEN / "patients", ROOT / "tests" / "oracles" / "dictated")
ORDER_SETS = {path.stem: path for folder in FOLDERS for path in sorted(folder.glob("*.yaml"))}
TAGS = languages(ROOT / "teaching" / "locales")
# Kinds that stand in a frame: the bands of page one.
FRAMED = ("now", "us", "today", "visit")
# Head and foot of a side, in points: what stands between them is its height of print.
HEAD, FOOT = TOP, BOTTOM
# The part of that height that may stay empty on a side that another one of its part follows.
MOST_EMPTY = 1 / 3


class Paper(NamedTuple):
    """A handout as laid out in English at 18 points: side → label, part and empty part of it."""

    pages: int
    words: int
    frames: int
    headings: int
    never: int
    labels: tuple[str, ...]
    parts: tuple[str, ...]
    empty: tuple[float, ...]
    faults: tuple[str, ...]


def text_of(name: str, language: str = "en") -> str:
    """The patient file of an example or of a given order set, as if everybody read one language."""
    text = settled_text(base=name) if name in NAMES else ORDER_SETS[name].read_text("utf-8")
    data = yaml.load(text, Loader=yaml.BaseLoader)
    for reader in (data["patient"], *data["learners"]):
        reader["language"] = language
    if language != "en":
        data["interpreter"] = {"language": language, "mode": "phone", "id": "INT-1"}
    if data.get("format") == "2":
        data = with_codes(data)
    return yaml.safe_dump(_words(data), allow_unicode=True, sort_keys=False)


def decided(name: str, language: str = "en") -> Decision:
    text = text_of(name, language)
    return plainleaf.decide(text, teaching(), policy(), language=language, name=name)


@cache
def paper(name: str, language: str = "en") -> Paper:
    """The handout of a patient, from disk where the same was laid out before."""
    content = (press(), folder_digest(PLACES.teaching), repr(policy()), text_of(name, language))
    return from_disk(digest_of("counts 1", language, *content), lambda: _laid(name, language))


def _laid(name: str, language: str) -> Paper:
    decision = decided(name, language)
    _, handout = lay_out(decision, PLACES)
    pdf, words = handout.laid.pdf(), handout.manuscript.words
    starts = {handout.laid.anchors[page.id]: page for page in words.pages}
    labels, parts, page, later = [], [], words.pages[0], 0
    for side in range(1, pdf.pages + 1):
        later = 0 if side in starts else later + 1
        page = starts.get(side, page)
        labels.append(f"{page.number}{'abcdefghij'[later] if later else ''}")
        parts.append(page.part)
    sections = [section for page in words.pages for section in page.sections]
    return Paper(
        pdf.pages,
        sum(len(text.split()) for text in _texts(words)),
        sum(section.level in FRAMED for section in words.pages[0].sections),
        len(sections),
        sum(statement.kind == "warn" for s in sections for statement in s.statements),
        tuple(labels),
        tuple(parts),
        tuple(_empty(sheet.letters, sheet.shapes, sheet.height) for sheet in sheets(pdf.data)),
        tuple(handout.faults(pdf)),
    )


def _texts(words: WordedPages) -> Iterator[str]:
    for page in words.pages:
        yield str(page.title)
        for section in page.sections:
            yield str(section.heading)
            for statement in section.statements:
                if statement.words is not None:
                    yield str(statement.words)
                if statement.block is not None:
                    yield from (str(w) for row in statement.block.rows for c in row for w in c)


def _empty(letters: tuple, shapes: tuple, height: float) -> float:  # type: ignore[type-arg]
    """The part of a side below its last print and above its foot."""
    rules = [shape.top for shape in shapes if shape.right - shape.left > 300]
    foot = max((top for top in rules if top > height * 0.75), default=height - FOOT)
    lowest = max((o.bottom for o in letters if o.bottom < foot), default=HEAD)
    return max(0.0, foot - lowest) / (foot - HEAD)


EVERYBODY = (*NAMES, *ORDER_SETS)


@pytest.mark.parametrize("name", EVERYBODY)
def test_every_patient_can_be_printed(name: str, fonts: object) -> None:
    assert paper(name).faults == ()


@pytest.mark.thorough
@pytest.mark.parametrize("language", [tag for tag in TAGS if tag != "en"])
@pytest.mark.parametrize("name", FORMAT_2)
def test_every_order_set_can_be_printed_in_every_language(
    name: str, language: str, fonts: object
) -> None:
    assert paper(name, language).faults == ()


def _torn(name: str) -> list[tuple[str, int]]:
    """Sides that leave more than a third empty while a side of the same part follows."""
    one = paper(name)
    following = (*one.parts[1:], "")
    return [
        (label, round(100 * empty))
        for label, part, after, empty in zip(
            one.labels, one.parts, following, one.empty, strict=True
        )
        if empty > MOST_EMPTY and part == after
    ]


# Sides at 18 points on letter paper that no change may pass. The aims are 14, 13 and 8, one more
# each for a page 1 that runs on, and 18 in other languages.
MOST_PAGES = {"gj-pump-overnight": 15, "g-balloon-syringe": 14, "j-resting": 15}
MOST_IN_OTHERS = {
    "es": {"gj-pump-overnight": 27, "g-balloon-syringe": 23, "j-resting": 19},
    "ar": {"gj-pump-overnight": 24, "g-balloon-syringe": 22, "j-resting": 18},
}


@pytest.mark.parametrize("name", MOST_PAGES)
def test_the_handout_grows_no_longer(name: str, fonts: object) -> None:
    assert paper(name).pages <= MOST_PAGES[name]


@pytest.mark.thorough
@pytest.mark.parametrize("language", MOST_IN_OTHERS)
@pytest.mark.parametrize("name", MOST_PAGES)
def test_no_translation_grows_longer(name: str, language: str, fonts: object) -> None:
    assert paper(name, language).pages <= MOST_IN_OTHERS[language][name]


def test_the_table_can_be_printed(fonts: object) -> None:
    print("\n| patient | sides | words | frames | headings | never | run on | a third empty |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for name in EVERYBODY:
        one = paper(name)
        more = " ".join(label for label in one.labels if not label.isdecimal())
        print(f"| {name} | {' | '.join(map(str, one[:5]))} | {more} | {len(_torn(name))} |")
    assert {name for name in EXAMPLES if name in NAMES} <= set(EVERYBODY)
