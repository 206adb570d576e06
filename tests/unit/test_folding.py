"""A folded test asks every case, and names each that breaks the rule."""

from __future__ import annotations

import pytest
from folding import each


def test_every_case_is_asked_and_each_that_is_wrong_is_named() -> None:
    asked = []

    @each({"small": (1, 2), "equal": (2, 2), "large": (3, 2), "odd": ("a", 2)})
    def below(a: int, b: int) -> None:
        """The first is below the second."""
        asked.append(a)
        assert a < b

    assert below.__name__ == "below" and below.__doc__ == "The first is below the second."
    with pytest.raises(AssertionError) as error:
        below()
    assert asked == [1, 2, 3, "a"]
    head, *lines = [line for line in str(error.value).splitlines() if ":" in line]
    assert head.startswith("3 of 4 cases:")
    assert [line.split(": ")[:2] for line in lines[:3]] == [
        ["equal", "AssertionError"], ["large", "AssertionError"], ["odd", "TypeError"],
    ]  # fmt: skip


def test_a_rule_that_holds_passes() -> None:
    each({"one": (1,)})(lambda number: None)()


def test_no_cases_are_a_fault() -> None:
    with pytest.raises(AssertionError):
        each({})
