"""Much and long content on both papers: nothing overflows, overlaps, is cut or torn.

Long names, 15 medicines, 12 feedings, several clinics, and a pseudo-language 40 percent longer
than English. Places are read by pdfplumber, which knows nothing of the project's own check.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pdfplumber
import pytest
import stretching
from builders import policy_with
from disk_cache import digest_of, from_disk, libraries
from packets import Packet, Printout, context_of, decision_from, printout, settled_text
from pdf_reading import squeezed, tag_text, tag_tree
from stretching import stretched
from test_packet_print import titles_above

from plainleaf.packet.papers.handout import HANDOUT, PRINTED, manuscript
from plainleaf.rules.decision import Decision, decide

# Names as long as real ones are; all invented.
MUCH: dict[str, Any] = {
    "patient.name": "Maximiliana Konstantinopoulou-Featherstonehaugh",
    "patient.record_number": "DEMO-2026-000417-B",
    "contacts.clinic": {
        "name": "Lakeside and Northern Counties Children's Feeding and Nutrition Clinic",
        "phone": "+1 555 010 0142, ext 12345",
        "hours": "Monday to Friday 8 am to 5 pm, Saturday 9 am to noon",
    },
    "contacts.after_hours": {
        "name": "Lakeside and Northern Counties nurse advice line", "phone": "+1 555 010 0199",
    },
    "contacts.supplies": {
        "name": "Harbor Home Medical and Nutrition Supply Company", "phone": "+1 555 010 0117",
    },
    "contacts.others": [
        {"name": "Thistlemarsh Rehabilitation House, feeding clinic", "phone": "+1 555 010 0121"},
        {"name": "Dr. Konstantinopoulou, family doctor", "phone": "+1 555 010 0122, ext 7"},
        {"name": "Visiting nurse", "phone": "+1 555 010 0123"},
    ],
    "feeding": [
        {
            "method": "syringe", "through": "gastric", "amount": "75 mL",
            "formula": {
                "name": "Peptide-based high-protein formula with fiber, vanilla",
                "energy": "1 kcal/mL", "water": "84 %", "container": "237 mL", "system": "open",
            },
            "times": [f"{hour:02}:15" for hour in range(0, 24, 2)],
        }
    ],
    "medicines": [
        {
            "name": f"{name} oral solution", "form": "liquid", "dose": "2.5 mL",
            "times": ["08:00", "20:00"], "through": "gastric", "for": "blood pressure and heart",
        }
        for name in (
            "hydrochlorothiazide", "acetylsalicylate", "dexamethasone", "levetiracetam",
            "methylphenidate", "metoclopramide", "nitrofurantoin", "oxcarbazepine",
            "phenobarbital", "spironolactone", "sulfamethoxazole", "trimethoprim",
            "cholecalciferol", "propranolol", "furosemide",
        )
    ],
    "visits": [
        {"what": f"Check number {n} by the feeding team", "when": f"2026-04-0{n} 09:30",
         "where": "Lakeside and Northern Counties Feeding Clinic, desk 2"}
        for n in range(1, 7)
    ],
}  # fmt: skip
CASES = ("much letter", "much a4", "stretched letter", "stretched a4", "much stretched")
# Edges of lines and letters may differ by rounding.
NEAR = 0.6


def text_of(name: str) -> str:
    changes, base = (MUCH, "g-balloon-syringe") if "much" in name else ({}, "gj-pump-overnight")
    return settled_text(changes, base)


def decision_of(name: str) -> Decision:
    decision = decision_from(text_of(name))
    decision = stretched(decision) if "stretched" in name else decision
    return decide(
        replace(decision.inputs, policy=policy_with(paper="A4" if "a4" in name else "letter"))
    )


@cache
def made(name: str) -> Printout:
    words = Path(stretching.__file__).read_text(encoding="utf-8") if "stretched" in name else ""
    return printout(decision_of(name), text_of(name), words)


class Line(NamedTuple):
    """One line of print in one place: its words and box in points from the top left."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


class Page(NamedTuple):
    """One page: its size and least print in points, boxes of upright rules, lines of print."""

    width: float
    height: float
    least: float
    upright: tuple[tuple[float, float, float, float], ...]
    lines: tuple[Line, ...]


@cache
def pages_of(data: bytes) -> tuple[Page, ...]:
    """Every page with its lines of print; cells stand apart."""
    key = digest_of("lines", data, Path(__file__).read_bytes(), libraries())
    return from_disk(key, lambda: tuple(_pages(data)))


def _pages(data: bytes) -> Iterator[Page]:
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        for page in pdf.pages:
            words = page.extract_words(x_tolerance=6, y_tolerance=2, keep_blank_chars=True)
            lines = tuple(Line(w["text"], w["x0"], w["top"], w["x1"], w["bottom"]) for w in words)
            upright = tuple(
                (r["x0"], r["x1"], r["top"], r["bottom"])
                for r in (*page.rects, *page.lines, *page.curves)
                if r["x1"] - r["x0"] < 4 and r["bottom"] - r["top"] > 12
            )
            least = min(char["size"] for char in page.chars)
            yield Page(page.width, page.height, least, upright, lines)


@pytest.fixture(scope="module", params=CASES)
def layout(request: pytest.FixtureRequest) -> Printout:
    """Each of the crowded handouts."""
    return made(request.param)


@pytest.fixture(autouse=True)
def _ready(fonts: object) -> None:
    """Every page here is drawn in the packet's fonts."""


def test_the_check_finds_nothing(layout: Printout) -> None:
    assert layout.faults == []


def test_side_one_has_emergencies_and_phones_at_18_points(layout: Printout) -> None:
    """Only in the language that is 40 percent longer may a sign run on."""
    (now,) = (s for s in layout.words.pages[0].sections if s.level == "now")
    first = pages_of(layout.data)[0]
    if layout in (made("much letter"), made("much a4")):
        assert layout.anchors[now.statements[-1].id] == 1
    assert first.least >= 18 - 0.01
    assert sum("+1 555 010 01" in line.text for line in first.lines) >= 2


def test_no_letter_leaves_the_text_area(layout: Printout) -> None:
    """The binding edge is an inch wide and changes sides (rows PR-04, LP-13)."""
    for number, (width, height, *_, lines) in enumerate(pages_of(layout.data), 1):
        inner, outer = 72 - NEAR, 50 - NEAR
        left, right = (inner, outer) if number % 2 else (outer, inner)
        if number < layout.anchors["day"]:  # the sheet hangs on a wall and is not bound
            left = right = 40 - NEAR
        for line in lines:
            assert line.left >= left and line.right <= width - right, (number, line)
            assert line.top >= 18 - NEAR and line.bottom <= height - 18 + NEAR, (number, line)


def test_no_two_lines_overlap(layout: Printout) -> None:
    for number, (*_, lines) in enumerate(pages_of(layout.data), 1):
        for at, one in enumerate(lines):
            for other in lines[at + 1 :]:
                wide = min(one.right, other.right) - max(one.left, other.left)
                # Boxes are as high as the font: lines set close share some of it.
                high = min(one.bottom, other.bottom) - max(one.top, other.top)
                assert wide < 2 or high < 0.5 * (one.bottom - one.top), (number, one, other)


def test_print_stays_inside_its_cell_and_box(layout: Printout) -> None:
    """No line of print crosses an upright rule of a table or box."""
    for number, (*_, upright, lines) in enumerate(pages_of(layout.data), 1):
        for line in lines:
            if re.fullmatch("[0-9.]+", line.text):
                continue  # a number on a drawing, on white over the tube that it belongs to
            middle = (line.top + line.bottom) / 2
            for left, right, top, bottom in upright:
                if top < middle < bottom:
                    crossed = line.left < left - 1 and line.right > right + 1
                    assert not crossed, (number, line, left)


def _cells(html: str) -> Iterator[str]:
    """The text of every table that is kept on one page."""
    for table in re.findall(r'<table class="[^"]*\bkept\b[^"]*".*?</table>', html, re.S):
        yield squeezed(re.sub(r"<[^>]+>", "", table)).replace("&#39;", "'").replace("&amp;", "&")


def test_low_tables_and_lists_are_not_torn(packet: Packet) -> None:
    """A table or list that runs over a page comes out as one tag a page (row WP-06)."""
    html = manuscript(context_of(packet.decision), "en", *PRINTED).html(HANDOUT.style)
    tags = list(tag_tree(packet.handout).every())
    tables = [tag_text(packet.handout, tag) for tag in tags if tag.kind == "/Table"]
    for cells in _cells(html):
        assert cells in tables
    lists = len(re.findall("<[ou]l[ >]", html)) - html.count('class="keys"')
    keyed = sum(
        tag.kind == "/L" and tag_text(packet.handout, tag).startswith("1.") and not tag.marks
        for tag in tags if tag.kind == "/Figure"
    )  # fmt: skip
    # A list may run on to the next side.
    running_on = sum(bool(above) for above in titles_above(packet))
    assert 0 <= sum(tag.kind == "/L" for tag in tags) - keyed - lists <= running_on
