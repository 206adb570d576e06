"""Scales by blood sugar: every value of a meter has one line, or it is named."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

from folding import each
from hypothesis import given
from hypothesis import strategies as st

from plainleaf.facts.sugar_scale import (
    STEPS,
    called_by,
    doses_of,
    low_limit,
    scale_gaps,
    scale_overlaps,
)
from plainleaf.vocabulary.quantities import Quantity, read_number

MG = ("below 70 mg/dL", "70 to 159 mg/dL", "160 mg/dL or more")
MMOL = ("below 4 mmol/L", "4.0 to 8.9 mmol/L", "9 mmol/L or more")
CASES = {
    "whole mg/dL": (MG, [], []),
    "tenths of mmol/L": (MMOL, [], []),
    "one value missing": ((*MG[:2], "161 mg/dL or more"), ["160 mg/dL"], []),
    "a tenth missing": ((*MMOL[:2], "9.1 mmol/L or more"), ["9.0 mmol/L"], []),
    "no lower end": (MG[1:], ["0 to 69 mg/dL", "it does not begin with a line of 'below'"], []),
    "no upper end": (MG[:2], ["160 mg/dL or more"], []),
    "one value twice": (("below 71 mg/dL", *MG[1:]), [], ["70 mg/dL"]),
    "two upper ends": ((*MG, "300 mg/dL or more"), [], ["300 mg/dL or more"]),
    "a line inside another": ((*MG, "80 to 90 mg/dL"), [], ["80 to 90 mg/dL"]),
    "a line that begins with the larger": (
        (*MG, "220 to 200 mg/dL"), ["no value falls under '220 to 200 mg/dL'"], []),
    "two units": ((MG[0], *MMOL[1:]),
                  ["70 mg/dL or more", "0.0 to 3.9 mmol/L"], []),
    "the same twice in other words": ((*MG, "70.0 to 159 mg/dL"), [], ["70 to 159 mg/dL"]),
}  # fmt: skip


@each(CASES)
def test_scale(lines: tuple[str, ...], missing: list[str], twice: list[str]) -> None:
    assert scale_gaps(lines) == missing
    assert scale_overlaps(lines) == twice


def holds(line: str, value: Decimal) -> bool:
    """Whether a value falls under a line, read in another way than the program does."""
    words = line.removesuffix(" mg/dL or more").removesuffix(" mmol/L or more")
    if words != line:
        return value >= read_number(words)
    numbers = line.rsplit(" ", 1)[0]
    if numbers.startswith("below "):
        return value < read_number(numbers.removeprefix("below "))
    low, _, high = numbers.partition(" to ")
    return read_number(low) <= value <= read_number(high)


@st.composite
def scales(draw: st.DrawFn) -> tuple[str, list[str]]:
    """A unit with lines that may leave gaps and overlap, beginning with below."""
    unit = draw(st.sampled_from(sorted(STEPS)))
    step = STEPS[unit]
    ends = sorted(draw(st.lists(st.integers(1, 40), min_size=1, max_size=5, unique=True)))
    slip = st.integers(-1, 1)
    lines = [f"below {ends[0] * step} {unit}"]
    for low, high in pairwise(ends):
        first, last = low + draw(slip), high - 1 + draw(slip)
        if 0 <= first <= last:
            lines.append(f"{first * step} to {last * step} {unit}")
    lines.append(f"{(ends[-1] + draw(slip)) * step} {unit} or more")
    return unit, list(dict.fromkeys(lines))


@given(scales())
def test_no_gap_and_no_overlap_is_exactly_one_line_for_each_value(
    scale: tuple[str, list[str]],
) -> None:
    unit, lines = scale
    counts = [sum(holds(line, n * STEPS[unit]) for line in lines) for n in range(60)]
    assert bool(scale_gaps(lines)) is (0 in counts)
    assert bool(scale_overlaps(lines)) is any(count > 1 for count in counts)


def test_what_a_scale_names() -> None:
    scale = {"below 70 mg/dL": "low-sugar plan", "70 to 99 mg/dL": "no dose",
             "100 to 199 mg/dL": "half tablet", "200 to 299 mg/dL": "call clinic before giving",
             "300 mg/dL or more": "9 units, then call after_hours"}  # fmt: skip
    assert low_limit(scale) == Quantity(Decimal(70), "mg/dL")
    assert low_limit({"0 to 69 mg/dL": "no dose"}) is None
    assert called_by(scale) == ("clinic", "after_hours")
    assert doses_of(scale) == ("half tablet", "9 units")
