"""The finished print is read back: each kind of difference is caught, and a sound one is not.

The pages are written by hand here, so that what is wrong in them is known.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from builders import ROOT

from plainleaf.check import check_handout, check_sheet, first_page_complete, read_back, squeezed
from plainleaf.render import PageFurniture
from plainleaf.typeset import Pdf, Sheet, lay
from plainleaf.word import (
    Run,
    WordedBlock,
    WordedModule,
    WordedPacket,
    WordedSection,
    WordedStatement,
    Words,
)

FURNITURE = PageFurniture("Your tube", "DRAFT mark", "Ann Test, record 1", "Version abc, en")
TEMPLATES = ROOT / "templates"


@pytest.fixture(autouse=True)
def _ready(fonts: Mapping[str, Path]) -> None:
    """Every page here is drawn in the packet's font."""


def words(text: str) -> Words:
    return Words((Run(text),))


def statement(identity: str, text: str) -> WordedStatement:
    return WordedStatement(identity, "say", words(text), None, ())


def module(identity: str, *statements: WordedStatement) -> WordedModule:
    section = WordedSection(f"{identity}.s", words("Heading"), None, statements)
    return WordedModule(identity, "draft", words("Title"), (section,), (), ())


TABLE = WordedBlock(
    "t", "table", (words("Time"), words("Amount")), (((words("8 am"),), (words("60 mL (2 oz)"),)),)
)
PACKET = WordedPacket(
    "en",
    "ltr",
    (
        module("help", statement("help.a", "Call us now. The number is 911.")),
        module(
            "water",
            statement("water.a", "Flush the tube with 60 mL of water."),
            WordedStatement("water.t", "block", None, TABLE, ()),
        ),
    ),
)

FIRST = '<p id="help.a">Call us now. The number is 911.</p>'
SECOND = (
    '<p id="water.a">Flush the tube with 60 mL of water.</p>'
    "<table><tr><th scope='col'>8 am</th><td>60 mL (2 oz)</td></tr></table>"
)
STYLE = """
@page { size: letter; margin: 1in; }
html { font-family: "Source Sans 3"; font-size: 18pt; }
.page { break-after: page; } .page:last-child { break-after: auto; }
"""


@cache
def made(pages: tuple[str, ...] = (FIRST, SECOND), style: str = "", language: str = "en",
         head: str = FURNITURE.marks, title: str = FURNITURE.title) -> Pdf:  # fmt: skip
    """A PDF of some pages, each with head and foot."""
    foot = f"<p>{FURNITURE.identity}</p><p>{FURNITURE.version}</p>"
    ids = ("help", "water", "more", "last")
    body = "".join(
        f'<div class="page" id="{ids[n]}"><p>{head}</p>{page}{foot}</div>'
        for n, page in enumerate(pages)
    )
    html = (
        f'<!DOCTYPE html><html lang="{language}"><head><title>{title}</title>'
        f'<meta name="description" content="x"><style>{STYLE}{style}</style></head>'
        f"<body>{body}</body></html>"
    )
    return lay(Sheet(html, TEMPLATES)).pdf()


def test_a_sound_handout_has_no_fault() -> None:
    assert check_handout(made(), PACKET, FURNITURE) == []
    assert check_sheet(made(), FURNITURE) == []


SMALL = "#water p { font-size: 12pt }"
# name → (how the pages are made, part of the fault that is found)
CASES: dict[str, tuple[dict[str, object], str]] = {
    "small print": ({"style": SMALL}, "page 2 holds print of 12 points; 18 is the least"),
    "print made small by scale": (
        {"style": "#water { transform: scale(0.5); transform-origin: top left }"},
        "page 2 holds print of 9 points; 18 is the least",
    ),
    "another title": ({"title": "My tube"}, "the document's title is not the one that was meant"),
    "another language": ({"language": "es"}, "the document's language is 'es', not 'en'"),
    "a missing statement": (
        {"pages": (FIRST, SECOND.replace("with 60 mL", "with 30 mL"))},
        "the statement 'water.a' is not in the print as it was worded",
    ),
    "a missing table line": (
        {"pages": (FIRST, SECOND.replace("(2 oz)", "(20 oz)"))},
        "the table 'water.t' lacks: 60 mL (2 oz)",
    ),
    "a statement hidden on the page": (
        {"pages": (FIRST, SECOND), "style": "#water p:nth-child(2) { visibility: hidden }"},
        "the statement 'water.a' is not in the print as it was worded",
    ),
    "an empty page": ({"pages": (FIRST, SECOND, "")}, "page 3 is nearly empty"),
    "a page with a few letters": ({"pages": (FIRST, SECOND, "<p>10 mL</p>")}, "page 3 is nearly"),
    "no head": ({"head": "another mark"}, "page 1 lacks its head or foot"),
    "page one goes on": (
        {"pages": ("<p>Call us first, always.</p>", SECOND + FIRST)},
        "page one does not hold all of 'help'",
    ),
    "page one does not stand alone": (
        {"pages": (FIRST + "<p id='w'></p>", SECOND), "style": ".page { break-after: avoid }"},
        "page one does not stand alone",
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_a_difference_is_caught(name: str) -> None:
    how, fault = CASES[name]
    faults = check_handout(made(**how), PACKET, FURNITURE)  # type: ignore[arg-type]
    assert any(fault in found for found in faults), faults
    allowed = 2 if name == "no head" else 1  # every page lacks it
    assert len(faults) <= allowed, faults


@pytest.mark.parametrize("size", ["9.5pt", "10pt"])
def test_the_nurses_sheet_has_its_own_least_size(size: str) -> None:
    faults = check_sheet(made(style=f"#water p {{ font-size: {size} }}"), FURNITURE)
    expected = [] if size == "10pt" else ["page 2 holds print of 9.5 points; 10 is the least"]
    assert faults == expected


def test_text_may_run_over_a_page_break() -> None:
    pages = (FIRST, '<p id="water.a">Flush the tube', "with 60 mL of water." + SECOND[55:])
    faults = check_handout(made(pages), PACKET, FURNITURE)
    assert not [fault for fault in faults if "'water.a'" in fault]


def foreign_pdf() -> bytes:
    """A PDF written by hand: one line of Helvetica, not embedded, no tags, no language."""
    stream = b"BT /F1 24 Tf 72 700 Td (Flush the tube with water today) Tj ET"
    objects = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R"
        b" /Resources << /Font << /F1 5 0 R >> >> >>",
        b"<< /Length %d >>\nstream\n%s\nendstream" % (len(stream), stream),
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
    ]
    data, places = b"%PDF-1.7\n", []
    for number, content in enumerate(objects, start=1):
        places.append(len(data))
        data += b"%d 0 obj\n%s\nendobj\n" % (number, content)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    trailer = b"trailer << /Size 6 /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % len(data)
    return data + b"xref\n0 6\n0000000000 65535 f \n" + table + trailer


def test_a_document_that_is_not_ours_fails_on_every_count() -> None:
    faults = check_sheet(Pdf(foreign_pdf(), 1, {}), FURNITURE)
    for fault in (
        "the document's language is '', not 'en'",
        "the document has no tags",
        "the document's title is not the one that was meant",
        "the font Helvetica is not ours",
        "the font Helvetica is not embedded",
        "page 1 lacks its head or foot",
    ):
        assert fault in faults


def test_reading_back_gives_what_was_drawn() -> None:
    reading = read_back(made().data)
    assert (reading.language, reading.tagged, reading.title) == ("en", True, "Your tube")
    assert len(reading.pages) == 2
    assert "Call us now." in reading.pages[0].text
    assert reading.pages[1].sizes == frozenset({18.0})
    assert all(embedded for _, embedded in reading.pages[0].fonts)


def test_page_one_is_complete_by_its_last_statement() -> None:
    pdf = made()
    assert first_page_complete(pdf, PACKET)
    assert not first_page_complete(replace(pdf, anchors={"help.a": 2}), PACKET)
    assert not first_page_complete(replace(pdf, anchors={}), PACKET)


@pytest.mark.parametrize(
    ("text", "is_"), [("a b\n c\u00a0d\te", "abcde"), ("", ""), ("100.4 °F", "100.4°F")]
)
def test_squeezed(text: str, is_: str) -> None:
    assert squeezed(text) == is_
