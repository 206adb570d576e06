"""How pages are set: margins, room for head and foot."""

from __future__ import annotations

import pytest

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
