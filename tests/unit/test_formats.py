"""How pages are set: margins, room for head and foot."""

from __future__ import annotations

import pytest
from laying import TEMPLATES, laid
from pdf_reading import sheets
from test_render import WORDS

from plainleaf.printing.fonts import OwnFonts
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.html import Printer
from plainleaf.printing.page_format import Format

INCH = 72.0
# Row PR-01 of the print rules: letter 612 by 792 points, A4 595.28 by 841.89.
PAPERS = {"letter": (612.0, 792.0), "A4": (595.28, 841.89)}


@pytest.mark.parametrize("size", [14, 18, 22, 28])
@pytest.mark.parametrize("paper", PAPERS)
def test_one_sided_pages_are_even_and_two_sided_ones_have_a_binding_edge(
    paper: str, size: int
) -> None:
    left, right = Format(paper, size).margins
    assert left == right
    inner, outer = Format(paper, size, two_sided=True, binding=INCH).margins
    assert inner >= INCH and inner >= outer >= 40


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("two_sided", [False, True])
def test_drawings_fit_between_the_margins(paper: str, two_sided: bool) -> None:
    assert Format(paper, 18, two_sided).text_width >= 470
    assert Format(paper, 28, two_sided).text_width >= 470


# Row LP-05: at most 60 letters a line at 18 points and 70 at 14; half an em is a usual letter.
@pytest.mark.parametrize(("size", "most"), [(14, 70), (18, 60)])
def test_lines_are_not_too_long(size: int, most: int) -> None:
    assert Format("letter", size).text_width / (size * 0.46) <= most


@pytest.mark.parametrize("size", [14, 18, 22, 28])
def test_long_names_make_room_at_the_foot(size: int) -> None:
    set_ = Format("letter", size)
    short, long = (set_.foot_lines("n" * count, "Version 1") for count in (10, 200))
    assert long > short
    assert set_.head_lines("n" * 120) > set_.head_lines("n" * 10)


# How each paper for staff says what stands around its pages; the sheet has no head.
_FOOT = '<div class="foot"><p>{0.identity}</p><p><i class="page-number"></i> {0.version}</p></div>'
_HEAD = '<div class="mark">{0.head}</div>'
_RUN = (
    '<div class="foot"><p><b class="mark">{0.marks}</b> {0.identity} '
    '<i class="page-number"></i> {0.version}</p></div>'
)
_AROUND = {"teach-back.css": _RUN, "staff-copy.css": _HEAD + _FOOT, "follow-up.css": _HEAD + _FOOT}


@pytest.mark.parametrize("times", [1, 2, 5])
@pytest.mark.parametrize("paper", ["letter", "A4"])
@pytest.mark.parametrize("style", _AROUND)
def test_head_and_foot_of_staff_stand_where_a_printer_reaches(
    style: str, paper: str, times: int, fonts: OwnFonts
) -> None:
    """However long marks and names are; a line has room for each word of them."""
    marks = "DRAFT: not reviewed by a clinician. Example settings. " * times
    name = "Wilhelmina Montgomery-Wandsworth, DEMO-0233 " * times
    around = PageFurniture("Sheet", marks.strip(), name.strip(), "2c3618ae42, en, March 14, 2026")
    css = Printer(TEMPLATES, format=Format(paper)).css(style, WORDS, around)
    lines = "<p>Line of the page</p>" * 200
    data = laid(
        f'<html lang="en"><head><title>Sheet</title><style>{css}</style></head>'
        f"<body>{_AROUND[style].format(around)}<main>{lines}</main></body></html>"
    ).data
    for sheet in sheets(data):
        top, foot = min(c.top for c in sheet.letters), max(c.bottom for c in sheet.letters)
        assert top >= 18
        assert foot <= sheet.height - 18
        body = [c for c in sheet.letters if c.tag != "Artifact"]
        around_it = [c for c in sheet.letters if c.tag == "Artifact"]
        middle = sheet.height / 2
        assert max(c.bottom for c in body) <= 2 + min(c.top for c in around_it if c.top > middle)
        heads = [c.bottom for c in around_it if c.top < middle]
        assert not heads or max(heads) <= min(c.top for c in body) + 2
