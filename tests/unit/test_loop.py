"""The teach-back loop refuses what the sheet does not have."""

from __future__ import annotations

import pytest

from plainleaf.packet.sheet.loop import CODES, PLANS, Loop, State


@pytest.mark.parametrize("code", [0, 5, -1])
def test_a_code_that_the_sheet_does_not_have_is_refused(code: int) -> None:
    with pytest.raises(ValueError, match="no result code"):
        Loop(critical=True).tried(code)


def test_explaining_does_not_undo_what_was_met() -> None:
    assert Loop(critical=True).tried(1).explained().closed


def test_a_skill_that_was_met_with_steps_left_names_them() -> None:
    loop = Loop(critical=True, steps_left=2).tried(1)
    assert loop.state is State.MET
    assert loop.still_to_do(3) == ("steps-not-marked",)
    assert Loop(critical=False, steps_left=2).tried(1).closed


def test_codes_and_plans_are_those_of_the_sheet() -> None:
    assert CODES == (1, 2, 3, 4)
    assert list(PLANS) == ["A", "B", "C", "D", "E"]
