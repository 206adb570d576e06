"""Every picture looks as it did when it was last looked at; and the comparison can fail."""

from __future__ import annotations

import pytest
from looks import COLUMNS, ROWS, differs, kept, looks, looks_the_same
from test_draw import IDS, NAMED
from test_draw_print import printed, worded

from plainleaf.compose.draw.picture_facts import Twist
from plainleaf.printing.fonts import OwnFonts

pytestmark = pytest.mark.thorough


@pytest.mark.parametrize("case", IDS)
def test_a_picture_looks_the_same(case: str, fonts: OwnFonts) -> None:
    name, shown = NAMED[case]
    looks_the_same(f"picture-{case}", printed(worded(name, shown), 18))


def test_a_change_is_seen(fonts: OwnFonts) -> None:
    """Print that is a tenth larger, and the same page again."""
    as_it_is, larger = (printed(worded("twist-lock", Twist()), size) for size in (18, 20))
    assert differs(looks(as_it_is), looks(as_it_is)) == 0
    assert differs(looks(as_it_is), looks(larger)) > 10


def test_a_cell_counts_from_two_steps_on() -> None:
    blank = "\n" * (ROWS - 1)
    assert differs(blank, "1" * COLUMNS + blank) == 0
    assert differs(blank, "2" * COLUMNS + blank) == COLUMNS


def test_nothing_is_kept_of_what_is_gone() -> None:
    pictures = {name for name in kept() if name.startswith("picture-")}
    assert pictures == {f"picture-{case}" for case in IDS}
