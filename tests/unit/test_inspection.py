"""The finished print is read back: each kind of difference is caught, and a sound one is not.

The pages are written by hand here, so that what is wrong in them is known.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from builders import ROOT
from laying import fonts_ready, laid

from plainleaf.compose.word import (
    Run,
    WordedBlock,
    WordedPage,
    WordedPages,
    WordedSection,
    WordedStatement,
    Words,
)
from plainleaf.printing.fonts import OwnFonts
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.inspection import (
    Untidy,
    emergencies_on_first_side,
    inspect_handout,
    inspect_sheet,
    read_back,
)
from plainleaf.printing.inspection.text_match import squeezed
from plainleaf.printing.renderer.engine import font_configuration
from plainleaf.printing.renderer.layout import Pdf
from plainleaf.printing.renderer.repairs import finish

FURNITURE = PageFurniture("Your tube", "DRAFT mark", "Ann Test, record 1", "Version abc, en")
TEMPLATES = ROOT / "templates"


@pytest.fixture(autouse=True)
def _ready(fonts: OwnFonts) -> None:
    """Every page here is drawn in the packet's font."""


def words(text: str, **kinds: str) -> Words:
    """Words with values: `{phone}` in the text stands for a run of that kind."""
    runs = []
    for part in re.split(r"(\{[a-z_]+\})", text):
        name = part.strip("{}")
        runs.append(Run(kinds[name], name.replace("_", "-")) if part[:1] == "{" else Run(part))
    return Words(tuple(run for run in runs if run.text))


def statement(identity: str, text: str, kind: str = "say", **kinds: str) -> WordedStatement:
    return WordedStatement(identity, kind, words(text, **kinds), None, ())


def page(identity: str, number: int, *statements: WordedStatement) -> WordedPage:
    section = WordedSection(f"{identity}.s", words(f"What {identity} is"), None, statements)
    return WordedPage(identity, "daily", number, words(f"About {identity}"), (section,))


TABLE = WordedBlock(
    "t", "card", (words("Time"), words("Amount")), (((words("8 am"),), (words("60 mL (2 oz)"),)),)
)
PACKET = WordedPages(
    "en",
    "ltr",
    (
        page("help", 1, statement("help.a", "Call us: {phone}. At night 911.", phone="555 0142")),
        page(
            "water",
            2,
            statement("water.a", "Flush with {dose} at {clock}.", "step", dose="60 mL",
                      clock="6 in the evening"),
            statement("water.b", "From {date} on, read the label of the bottle each time."
                      " Throw out what is left in it.", date="Wednesday, March\u00a04, 2026"),
            WordedStatement("water.t", "block", None, TABLE, ()),
        ),
    ),
)  # fmt: skip
CAUTIONS = (words("It is made for one person."),)

FIRST = (
    "<h1>About help</h1><h2>What help is</h2><p id='help.a'>Call us: 555 0142. At night 911.</p>"
)
FRONT = "<p>It is made for one person.</p><p>Read it together.</p><p>Ask us.</p>"
HEADS = "<h1>About water</h1><h2>What water is</h2>"
STEP = "<ol><li id='water.a'>Flush with 60 mL at 6 in the evening.</li></ol>"
SAY = (
    "<p id='water.b'>From Wednesday, March 4, 2026 on, read the label of the bottle each time."
    " Throw out what is left in it.</p>"
)
CELLS = "<table><tr><th scope='row'>8 am</th><td>60 mL (2 oz)</td></tr></table>"
SECOND = HEADS + STEP + SAY + CELLS
PAGES = (FIRST, FRONT, SECOND)
STYLE = """
@page { size: letter; margin: 1in;
  @top-left { content: element(head); width: 100% }
  @bottom-left { content: element(foot); width: 100%; vertical-align: top } }
.foot { line-height: 1.1 }
html { font-family: "Source Sans 3"; font-size: 18pt; }
.head { position: running(head) } .foot { position: running(foot) } .foot p { margin: 0 }
.page { break-after: page; } .page:last-child { break-after: auto; }
h1, h2 { font-size: 20pt } li { break-inside: avoid }
"""


def html_of(pages: tuple[str, ...], style: str, language: str, head: str, title: str) -> str:
    """Some pages with their head and foot."""
    ids = ("help", "about", "water", "more", "last")
    body = "".join(f'<div class="page" id="{ids[n]}">{page}</div>' for n, page in enumerate(pages))
    return (
        f'<!DOCTYPE html><html lang="{language}"><head><title>{title}</title>'
        f'<meta name="description" content="x"/><style>{STYLE}{style}</style></head><body>'
        f'<div class="head">{head}</div><div class="foot"><p>{FURNITURE.identity}</p>'
        f"<p>{FURNITURE.version}</p></div>{body}</body></html>"
    )


@cache
def made(pages: tuple[str, ...] = PAGES, style: str = "", language: str = "en",
         head: str = FURNITURE.marks, title: str = FURNITURE.title) -> Pdf:  # fmt: skip
    """A PDF of some pages."""
    return laid(html_of(pages, style, language, head, title))


def faults_of(pdf: Pdf, **more: Any) -> list[str]:
    return inspect_handout(pdf, PACKET, FURNITURE, cautions=CAUTIONS, **more)


def with_second(text: str) -> dict[str, object]:
    """How the third page is made of another text."""
    return {"pages": (FIRST, FRONT, text)}


def test_a_sound_handout_has_no_fault() -> None:
    assert faults_of(made()) == []
    texts = [(s.id, s.words) for s in PACKET.statements().values() if s.words is not None]
    assert inspect_sheet(made(), FURNITURE, texts) == []


SMALL = "#water p { font-size: 12pt }"
ON_BOX = '<p style="background: %s">Throw it out.</p>'
LINE = '<div style="border-top: 3pt solid %s; height: 4pt"></div>'
OVER_ALL = "position: absolute; top: 0; left: 0; width: 5in; height: 2in; background: %s"
COVER = f'<div style="{OVER_ALL}"></div>'
AT_EDGE = '<div style="background: #000; height: 9pt; margin-left: -66pt"></div>'
CELL = "<p>60 mL (2 oz)</p><p>Write it down.</p>"
TWO_LINES = "<p>Wash your hands first,<br/>then begin.</p>"
CUT = (
    "<p>From Wednesday, March 4, 2026 on, read the label of the bottle each time. Throw</p>",
    "<p>out what is left in it.</p>",
)
# name → (how the pages are made, part of the fault that is found)
CASES: dict[str, tuple[dict[str, object], str]] = {
    # LP-01: 18 points on every run; LP-02: the effective size.
    "small print": ({"style": SMALL}, "page 3 holds print of 12 points; 18 is the least"),
    "print made small by scale": (
        {"style": "#water p { transform: scale(0.6); transform-origin: top left }"},
        "page 3 holds print of 10.8 points; 18 is the least",
    ),
    # PA-03, PA-04
    "another title": ({"title": "My tube"}, "the document's title is not the one that was meant"),
    "another language": ({"language": "es"}, "the document's language is 'es', not 'en'"),
    "a missing statement": (
        with_second(SECOND.replace("60 mL at", "30 mL at")),
        "the statement 'water.a' is not in the print as it was worded",
    ),
    "a missing table line": (
        with_second(SECOND.replace("(2 oz)", "(20 oz)")),
        "the table 'water.t' lacks row 1, column 2, as it was worded",
    ),
    "a missing title": (
        with_second(SECOND.replace("About water", "About milk")),
        "the title of 'water' is not in the print as it was worded",
    ),
    "a missing heading": (
        with_second(SECOND.replace("What water is", "What milk is")),
        "the heading of 'water.s' is not in the print as it was worded",
    ),
    "a missing caution": (
        {"pages": (FIRST, FRONT.replace("one person", "everybody"), SECOND)},
        "caution 1 is not in the print as it was worded",
    ),
    "a statement hidden on the page": (
        {"style": "#water ol { visibility: hidden }"},
        "the statement 'water.a' is not in the print as it was worded",
    ),
    "an empty page": ({"pages": (*PAGES, "")}, "page 4 is nearly empty"),
    "a page with a few letters": ({"pages": (*PAGES, "<p>10 mL</p>")}, "page 4 is nearly"),
    "a page of two lines": (
        {"pages": (*PAGES, TWO_LINES, "<p>The last page.</p>")},
        "page 4 is nearly empty",
    ),
    "no head": ({"head": "another mark"}, "lacks its head or foot"),
    # LP-07: number and unit, phone, time and date on one line.
    "an amount on two lines": (
        with_second(SECOND.replace("60 mL at", "60<br/>mL at")),
        "page 3: a value of the kind 'dose' in the statement 'water.a' is broken over two lines",
    ),
    "a time on two lines": (
        with_second(SECOND.replace("the evening", "the<br/>evening")),
        "page 3: a value of the kind 'clock' in the statement 'water.a' is broken over two lines",
    ),
    "a phone on two lines": (
        {"pages": (FIRST.replace("555 0142", "555<br/>0142"), FRONT, SECOND)},
        "page 1: a value of the kind 'phone' in the statement 'help.a' is broken over two lines",
    ),
    "a month without its day": (
        with_second(SECOND.replace("March 4", "March<br/>4")),
        "page 3: a value of the kind 'date' in the statement 'water.b' is broken over two lines",
    ),
    # LP-14: headings, steps, lonely lines.
    "a heading at the foot": (
        {"pages": (FIRST, FRONT, HEADS, STEP + SAY + CELLS)},
        "page 3: the heading of 'water.s' stands alone at the foot",
    ),
    "a title at the foot": (
        {"pages": (FIRST, FRONT, HEADS[:20], HEADS[20:] + STEP + SAY + CELLS)},
        "page 3: the title of 'water' stands alone at the foot",
    ),
    "a step on two pages": (
        {"pages": (FIRST, FRONT, HEADS + "<p id='water.a'>Flush with 60 mL</p>",
                   "<p>at 6 in the evening.</p>" + SAY + CELLS)},
        "pages 3 and 4: the statement 'water.a' is split",
    ),
    "a line left alone": (
        {"pages": (FIRST, FRONT, HEADS + STEP + CUT[0], CUT[1] + CELLS)},
        "page 4: one line of the statement 'water.b' stands alone",
    ),
    "a row on two pages": (
        {"pages": (FIRST, FRONT, HEADS + STEP + SAY + "<p>8 am</p>", CELL)},
        "page 3: row 1 of the table 'water.t' is split",
    ),
    # LP-17: 7 for print. Ratios from the table of that section: #5A5A5A 6.8969, #777777 4.4781.
    "grey print": (
        {"style": "#water p { color: #5a5a5a }"},
        "page 3 holds print with a contrast of 6.90 against the paper; 7 is the least",
    ),
    "print that lets the paper through": (
        {"style": "#water p { color: rgba(0, 0, 0, 0.5) }"},
        "page 3 holds print with a contrast of 4.00 against the paper",
    ),
    "white print": (
        {"style": "#water p { color: #fff }"},
        "page 3 holds print with a contrast of 1.00 against the paper",
    ),
    "print on a dark box": (
        with_second(SECOND + ON_BOX % "#777777"),
        "page 3 holds print with a contrast of 4.69 against what is behind it; 7 is the least",
    ),
    "print under a box": (
        with_second(SECOND + COVER % "#fff"),
        "page 3 holds print that something is painted over",
    ),
    # LP-18: 3 for what is no print: #959595 2.9953.
    "a line that is too light": (
        with_second(SECOND + LINE % "#959595"),
        "page 3 holds a line or shape with a contrast of 3.00; 3 is the least",
    ),
    # LP-20: a tint is a fifth darker than paper.
    "a tint that is too light": (
        with_second(SECOND + '<div style="background: #eeeeee; height: 20pt"></div>'),
        "page 3 holds a line or shape with a contrast of 1.16; 3 is the least",
    ),
    # PR-03: a quarter of an inch.
    "print at the edge": (
        {"style": "#water ol { position: absolute; right: -60pt; top: 400pt }"},
        "page 3 holds print 13 points from the edge of the paper",
    ),
    "a box at the edge": (
        with_second(SECOND + AT_EDGE),
        "page 3 holds a line or shape that no printer can reach",
    ),
    "one line over another": (
        {"style": "#water p { line-height: 0.4 }"},
        "page 3 holds print over other print",
    ),
}  # fmt: skip


# What is said and does not keep a packet back.
UNTIDY = (
    "an empty page", "a page with a few letters", "a page of two lines", "a heading at the foot",
    "a title at the foot", "a step on two pages", "a line left alone", "a row on two pages",
)  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_a_difference_is_caught(name: str) -> None:
    how, fault = CASES[name]
    faults = faults_of(made(**how))  # type: ignore[arg-type]
    caught = [found for found in faults if fault in found]
    assert caught, faults
    assert {isinstance(found, Untidy) for found in caught} == {name in UNTIDY}
    # Every page lacks its head; what is torn may make a page short.
    allowed = {"no head": 3, "a title at the foot": 2, "a heading at the foot": 2}
    assert len(faults) <= allowed.get(name, 1), faults


@pytest.mark.parametrize("top", [-700, -100, 600, 900])
def test_print_on_a_box_beside_the_paper_is_a_fault_and_no_crash(top: int) -> None:
    box = f"position: absolute; top: {top}pt; background: #fff; color: #000"
    faults = faults_of(made(**with_second(SECOND + f'<p style="{box}">Off</p>')))  # type: ignore[arg-type]
    assert any("from the edge of the paper" in fault for fault in faults) == (top != 600), faults


SOUND: dict[str, dict[str, object]] = {
    # The values of the contrast table that pass: #595959 7.0047, #949494 3.0335.
    "the lightest print": {"style": "#water p { color: #595959 }"},
    "the lightest line": with_second(SECOND + LINE % "#949494"),
    "print in a frame": {"style": "#water p { border: 3pt solid #000; padding: 5pt }"},
    "white print on black": {"style": "#water p { color: #fff; background: #000 }"},
    "black print on a light box": with_second(SECOND + ON_BOX % "#c4c4c4"),
    "a short last page": {"pages": (*PAGES, "<p>Bring it with you.</p>")},
}


@pytest.mark.parametrize("name", SOUND)
def test_what_may_be_is_let_through(name: str) -> None:
    assert faults_of(made(**SOUND[name])) == []  # type: ignore[arg-type]


def test_a_drawing_may_be_cut_at_its_own_edge() -> None:
    """What is drawn beyond the frame of a picture is not printed, so no edge is touched."""
    svg = (
        '<svg width="60pt" height="60pt" viewBox="0 0 60 60"><title>A tube</title>'
        '<path d="M10 -900V50" stroke="#000" stroke-width="2"/></svg>'
    )
    assert faults_of(made(**with_second(SECOND + svg))) == []  # type: ignore[arg-type]


def test_the_print_size_that_was_asked_for_is_the_least() -> None:
    """LP-03: 14, 18, 22 or 28 points."""
    assert faults_of(made(), least=14.0) == []
    assert "page 1 holds print of 18 points; 22 is the least" in faults_of(made(), least=22.0)


def test_a_letter_that_the_font_lacks_is_caught_in_the_file() -> None:
    """LP-10, PA-11: the text layer of such a file reads right, only the drawing tells."""
    import weasyprint

    text = html_of((FIRST, FRONT, SECOND + "<p>It is 中.</p>"), "", "en", FURNITURE.marks,
                   FURNITURE.title)  # fmt: skip
    fonts = font_configuration(fonts_ready().configuration)
    document = weasyprint.HTML(string=text).render(font_config=fonts, pdf_variant="pdf/ua-1")
    anchors = {name: n for n, page in enumerate(document.pages, 1) for name in page.anchors}
    data = document.write_pdf(finisher=finish, pdf_variant="pdf/ua-1")
    faults = faults_of(Pdf(data, 3, anchors))
    assert faults == ["page 3 holds letters that its font cannot print: U+4E2D"]


@pytest.mark.parametrize("size", ["9.5pt", "10pt"])
def test_the_nurses_sheet_has_its_own_least_size(size: str) -> None:
    faults = inspect_sheet(made(style=f"#water p {{ font-size: {size} }}"), FURNITURE)
    expected = [] if size == "10pt" else ["page 3 holds print of 9.5 points; 10 is the least"]
    assert faults == expected


def test_text_may_run_over_a_page_break() -> None:
    start = "From Wednesday, March 4, 2026 on, read the label of the bottle each time. "
    narrow = f"<p style='width: 3in'>{start}</p>"
    pages = (FIRST, FRONT, HEADS + STEP + narrow,
             "<p style='width: 1.2in'>Throw out what is left in it.</p>" + CELLS)  # fmt: skip
    assert faults_of(made(pages)) == []


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
    faults = inspect_sheet(Pdf(foreign_pdf(), 1, {}), FURNITURE)
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
    assert len(reading.pages) == 3
    assert "Call us: 555 0142." in reading.pages[0].text
    assert reading.pages[1].sizes == frozenset({18.0})
    assert all(embedded for _, embedded in reading.pages[0].fonts)


def _help_page() -> WordedPages:
    """A first page of two tiers, and whom to call."""
    emergency, sign = statement("h.now.a", "Blood"), statement("h.now.b", "Hard to breathe")
    later, box = statement("h.us.a", "A leak"), replace(TABLE, look="contacts")
    phones = WordedStatement("h.phones", "block", None, box, ())
    sections = (
        WordedSection("h.now", words("Now"), "now", (emergency, sign)),
        WordedSection("h.us", words("Call us"), "us", (later,)),
        WordedSection("h.contacts", words("Whom"), None, (phones,)),
    )
    return WordedPages("en", "ltr", (WordedPage("h", "sheet", 1, words("Help"), sections),))


@pytest.mark.parametrize(
    ("anchors", "fits"),
    [
        ({"h.now.a": 1, "h.now.b": 1, "h.phones-1": 1, "h.us.a": 1}, True),
        ({"h.now.a": 1, "h.now.b": 1, "h.phones-1": 1, "h.us.a": 2}, True),
        ({"h.now.a": 1, "h.now.b": 2, "h.phones-1": 1, "h.us.a": 2}, False),
        ({"h.now.a": 1, "h.now.b": 1, "h.phones-1": 2, "h.us.a": 2}, False),
        ({}, False),
    ],
    ids=["all", "a lower tier runs on", "an emergency runs on", "phones run on", "nothing"],
)
def test_emergencies_and_whom_to_call_stand_on_the_first_side(
    anchors: dict[str, int], fits: bool
) -> None:
    assert emergencies_on_first_side(replace(made(), anchors=anchors), _help_page()) is fits


@pytest.mark.parametrize(
    ("text", "is_"), [("a b\n c\u00a0d\te", "abcde"), ("", ""), ("100.4 °F", "100.4°F")]
)
def test_squeezed(text: str, is_: str) -> None:
    assert squeezed(text) == is_


def test_a_phone_that_breaks_in_the_nurses_sheet_is_caught() -> None:
    texts = [("the call", words("Call us: {phone}.", phone="555 0142"))]
    torn = made((FIRST.replace("555 0142", "555<br/>0142"), FRONT, SECOND))
    fault = "page 1: a value of the kind 'phone' in the call is broken over two lines"
    assert fault in inspect_sheet(torn, FURNITURE, texts)
    assert fault not in inspect_sheet(made(), FURNITURE, texts)


def test_a_heading_at_the_foot_of_the_nurses_sheet_is_caught() -> None:
    style = "html { font-size: 12pt } h1, h2 { font-size: 15pt }"
    alone = made((FIRST, FRONT + "<h2>Sign-off</h2>", SECOND), style=style)
    assert inspect_sheet(alone, FURNITURE) == ["page 2: a heading stands alone at the foot"]
    with_field = made((FIRST, FRONT + "<h2>Sign-off</h2><p>Sign here.</p>", SECOND), style=style)
    assert inspect_sheet(with_field, FURNITURE) == []


def test_a_word_from_right_to_left_that_the_nurses_sheet_lacks_is_named() -> None:
    asked = words("أخبرني متى تشطف الأنبوب.")
    with_it = made((FIRST, FRONT + f'<p dir="rtl" lang="ar">{asked}</p>', SECOND))
    assert inspect_sheet(with_it, FURNITURE, (), [("row 1", asked)]) == []
    without = made((FIRST, FRONT + '<p dir="rtl" lang="ar">أخبرني متى تشطف</p>', SECOND))
    (fault,) = inspect_sheet(without, FURNITURE, (), [("row 1", asked)])
    assert fault == "row 1 lacks in the print: الأنبوب"
