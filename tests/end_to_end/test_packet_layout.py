"""Much and long content on both papers: nothing overflows, overlaps, is cut or torn.

Long names, 15 medicines, 12 feedings, several clinics, and a pseudo-language 40 percent longer
than English. Places are read by pdfplumber, which knows nothing of the project's own check.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import pdfplumber
import pytest
from builders import policy_with
from packets import PLACES, Packet, decision_from, settled_text
from pdf_reading import squeezed, tag_text, tag_tree
from stretching import stretched

from plainleaf.packet.build import lay_out
from plainleaf.packet.papers import Handout
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


@dataclass(frozen=True)
class Made:
    """A handout with its file and its faults."""

    handout: Handout
    data: bytes
    faults: list[str]


def decision_of(name: str) -> Decision:
    changes, base = (MUCH, "g-balloon-syringe") if "much" in name else ({}, "gj-pump-overnight")
    decision = decision_from(settled_text(changes, base))
    decision = stretched(decision) if "stretched" in name else decision
    return decide(
        replace(decision.inputs, policy=policy_with(paper="A4" if "a4" in name else "letter"))
    )


@cache
def made(name: str) -> Made:
    handout = lay_out(decision_of(name), PLACES)
    pdf = handout.laid.pdf()
    return Made(handout, pdf.data, handout.check(pdf))


@dataclass(frozen=True)
class Line:
    """One line of print in one place: its words and box in points from the top left."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


def _lines(page: Any) -> Iterator[Line]:
    """Words of a page joined to lines, a wide gap apart; spaces at their ends are left out."""
    words = page.extract_words(x_tolerance=2, y_tolerance=2)
    line: list[Any] = []
    for word in [*words, None]:
        if line and (
            word is None
            or abs(word["bottom"] - line[-1]["bottom"]) > 1
            or not 0 <= word["x0"] - line[-1]["x1"] < 9
        ):
            yield Line(
                " ".join(w["text"] for w in line), line[0]["x0"], min(w["top"] for w in line),
                line[-1]["x1"], max(w["bottom"] for w in line),
            )  # fmt: skip
            line = []
        if word is not None:
            line.append(word)


@cache
def lines_of(data: bytes) -> tuple[tuple[Any, tuple[Line, ...]], ...]:
    """Every page (width, height, lines, rules) with its lines of print; cells stand apart."""
    found = []
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        for page in pdf.pages:
            words = page.extract_words(x_tolerance=6, y_tolerance=2, keep_blank_chars=True)
            lines = tuple(Line(w["text"], w["x0"], w["top"], w["x1"], w["bottom"]) for w in words)
            upright = [
                (r["x0"], r["x1"], r["top"], r["bottom"])
                for r in (*page.rects, *page.lines, *page.curves)
                if r["x1"] - r["x0"] < 4 and r["bottom"] - r["top"] > 12
            ]
            found.append(((page.width, page.height, upright), lines))
    return tuple(found)


@pytest.fixture(params=CASES)
def layout(request: pytest.FixtureRequest) -> Made:
    """Each of the crowded handouts."""
    return made(request.param)


@pytest.fixture(autouse=True)
def _ready(fonts: object) -> None:
    """Every page here is drawn in the packet's fonts."""


def test_the_check_finds_nothing(layout: Made) -> None:
    assert layout.faults == []


def test_page_one_stands_at_18_points_with_emergencies_and_phones(layout: Made) -> None:
    """Phones may follow on its back only where seven long contacts meet the long language."""
    sections = {s.level: s.statements[-1].id for s in layout.handout.words.modules[0].sections}
    anchors = layout.handout.laid.anchors
    assert anchors[sections["now"]] == 1
    assert anchors[sections[None]] <= (2 if layout is made("much stretched") else 1)
    with pdfplumber.open(io.BytesIO(layout.data)) as pdf:
        assert min(char["size"] for char in pdf.pages[0].chars) >= 18 - 0.01


def test_no_letter_leaves_the_text_area(layout: Made) -> None:
    """The binding edge is an inch wide and changes sides (rows PR-04, LP-13)."""
    for number, ((width, height, _), lines) in enumerate(lines_of(layout.data), 1):
        inner, outer = 72 - NEAR, 50 - NEAR
        left, right = (inner, outer) if number % 2 else (outer, inner)
        if number <= 2:  # page one, also where it runs over, has the narrowest margins
            left = right = 26 - NEAR
        for line in lines:
            assert line.left >= left and line.right <= width - right, (number, line)
            assert line.top >= 18 - NEAR and line.bottom <= height - 18 + NEAR, (number, line)


def test_no_two_lines_overlap(layout: Made) -> None:
    for number, (_, lines) in enumerate(lines_of(layout.data), 1):
        for at, one in enumerate(lines):
            for other in lines[at + 1 :]:
                wide = min(one.right, other.right) - max(one.left, other.left)
                # Boxes are as high as the font: lines set close share some of it.
                high = min(one.bottom, other.bottom) - max(one.top, other.top)
                assert wide < 2 or high < 0.5 * (one.bottom - one.top), (number, one, other)


def test_print_stays_inside_its_cell_and_box(layout: Made) -> None:
    """No line of print crosses an upright rule of a table or box."""
    for number, ((_, _, upright), lines) in enumerate(lines_of(layout.data), 1):
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
    html = packet.files["handout.html"].decode()
    tags = list(tag_tree(packet.handout).every())
    tables = [tag_text(packet.handout, tag) for tag in tags if tag.kind == "/Table"]
    kept = list(_cells(html))
    assert kept
    for cells in kept:
        assert cells in tables
    lists = len(re.findall("<[ou]l[ >]", html)) - html.count('class="keys"')
    keyed = sum(
        tag.kind == "/L" and tag_text(packet.handout, tag).startswith("1.") and not tag.marks
        for tag in tags if tag.kind == "/Figure"
    )  # fmt: skip
    assert sum(tag.kind == "/L" for tag in tags) - keyed == lists
