"""Which sections are kept on one page, and that the estimate is near what the renderer makes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import ROOT, library
from laying import laid as laid_html

from plainleaf.compose.word import (
    Run,
    WordedPage,
    WordedPages,
    WordedSection,
    WordedStatement,
    Wording,
    Words,
)
from plainleaf.facts.derived import Typed
from plainleaf.inputs.catalog import Catalog
from plainleaf.printing.fonts import OwnFonts
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.html import Printer
from plainleaf.printing.inspection import read_back
from plainleaf.printing.keep_together import section_lines, stays_whole
from plainleaf.printing.page_format import LEADING, Format

WORDS = Wording(library(), Catalog("en", {}))
FURNITURE = PageFurniture("A title", "DRAFT", "Ann Test, record 1", "Version 1")
SENTENCE = "Wash your hands with soap and water, then look at the skin around the tube each day. "


def words(text: str) -> Words:
    return Words((Run(text),))


def section(name: str, *kinds: str, sentences: int = 1) -> WordedSection:
    statements = tuple(
        WordedStatement(f"{name}.{n}", kind, words(SENTENCE * sentences), None, ())
        for n, kind in enumerate(kinds)
    )
    return WordedSection(name, words(f"What {name} is about"), None, statements)


def packet(*sections: WordedSection) -> WordedPages:
    """Two pages, the second with some sections; neither is on the sheet for the wall."""
    first = replace(section("help", "say"), level="now")
    pages = [("one", "sheet", (first,)), ("two", "daily", sections)]
    made = [WordedPage(m, part, n, words(m), s) for n, (m, part, s) in enumerate(pages, start=3)]
    return WordedPages("en", "ltr", tuple(made))


def laid(*sections: WordedSection, size: int = 18):  # type: ignore[no-untyped-def]
    """The pages of such a packet, with each topic on a page of its own."""
    printer = Printer(ROOT / "templates", format=Format(size=size))
    css = printer.css(
        "print.css", WORDS, FURNITURE, continued={4: [words("two (goes on)")]}, clock_column=25
    )
    more = {
        "cautions": (),
        "pictures": [],
        "emergency": Typed("phone", "911"),
        "section_numbers": {},
        "hospice": False,
        "phones": None,
    }
    html = printer.html("handout.html.j2", css, WORDS, packet(*sections), FURNITURE,
                        phone_links=False, compact=False, about_after="sheet", **more)  # fmt: skip
    return laid_html(html)


@pytest.mark.parametrize("size", [14, 18, 22])
@pytest.mark.parametrize(
    "kinds",
    [("say", "step", "step", "call_now"), ("point", "point", "say"), ("say", "warn", "call_today")],
    ids=lambda kinds: kinds[-1],
)
def test_the_estimate_is_near_the_height_on_paper(
    kinds: tuple[str, ...], size: int, fonts: OwnFonts
) -> None:
    pdf = laid(section("a", *kinds), section("b", "say"), size=size)
    page = read_back(pdf.data).pages[pdf.anchors["a"] - 1]
    tops = [
        max(one.baseline for one in page.inner if name in one.text)
        for name in ("What a is about", "What b is about")
    ]
    lines = (tops[0] - tops[1]) / (LEADING * size)
    assert section_lines(section("a", *kinds), Format(size=size)) == pytest.approx(lines, abs=2)


def test_a_short_section_keeps_its_box_with_its_heading(fonts: OwnFonts) -> None:
    kinds = ("say", "call_now")
    for before in range(6, 13):
        filler = section("filler", *["say"] * before)
        pdf = laid(filler, section("a", *kinds))
        assert {pdf.anchors[name] for name in ("a.0", "a.1")} == {pdf.anchors["a"]}


def test_a_long_section_may_run_over_and_its_boxes_stay_together(
    fonts: OwnFonts,
) -> None:
    long = section("a", *["say"] * 12, "call_now", "call_today")
    assert not stays_whole(long, Format())
    pdf = laid(section("filler", *["say"] * 5), long)
    assert pdf.anchors["a"] < pdf.anchors["a.13"]
    assert pdf.anchors["a.12"] == pdf.anchors["a.13"]


def test_what_is_kept_whole_shrinks_as_print_grows() -> None:
    boxed = section("a", "say", "call_now")
    assert [stays_whole(boxed, Format(size=size)) for size in (14, 18, 28)] == [True, True, False]
    plain = section("a", "say", "say")
    with_box = section("a", "say", "warn")
    assert stays_whole(with_box, Format()) and not stays_whole(plain, Format())
