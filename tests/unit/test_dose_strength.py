"""Brackets beside a dose against the strength on the label."""

from __future__ import annotations

from decimal import Decimal

from folding import each
from hypothesis import given
from hypothesis import strategies as st

from plainleaf.facts.dose_strength import MOST_APART, strength_fault
from plainleaf.vocabulary.doses import read_dose_and_equal

# Dose, strength, what is said. Arithmetic: volume over volume times the label's amount.
CASES = [
    ("10 mL (100 mg)", "50 mg/5 mL", None),
    ("10 mL (50 mg)", "50 mg/5 mL", "hold 100 mg, and the dose says 50 mg"),
    ("10 mL (102 mg)", "50 mg/5 mL", None),
    ("10 mL (102.1 mg)", "50 mg/5 mL", "hold 100 mg"),
    ("10 mL (97.9 mg)", "50 mg/5 mL", "hold 100 mg"),
    ("0.6 mL (6 mg)", "10 mg/mL", None),
    ("1 mL (500 mcg)", "0.5 mg/mL", None),
    ("1 mL (5 mg)", "500 mcg/mL", "hold 0.5 mg, and the dose says 5 mg"),
    ("1 mL (50 mcg)", "500 mcg/mL", "hold 500 mcg, and the dose says 50 mcg"),
    ("2 tablets (1 g)", "500 mg", None),
    ("2 tablets (1 g)", "500 mg/tablet", None),
    ("half tablet (250 mg)", "500 mg", None),
    ("half tablet (500 mg)", "500 mg", "hold 250 mg"),
    ("100 mg (10 mL)", "50 mg/5 mL", None),
    ("15 mL (20 mEq)", "20 mEq/15 mL", None),
    ("15 mL (20 mg)", "20 mEq/15 mL", "hold 20 mEq, and the dose says 20 mg"),
    ("16 units (0.16 mL)", "100 units/mL", None),
    ("10 mL (100 mg)", "100 mg", "does not say what 10 mL hold"),
    ("10 mL", "50 mg/5 mL", None),
    ("1 spray (5 mg)", "5 mg/spray", None),
]


@each({f"{dose} of {strength}": (dose, strength, says) for dose, strength, says in CASES})
def test_strength(dose: str, strength: str, says: str | None) -> None:
    fault = strength_fault(read_dose_and_equal(dose), strength)
    assert (fault is None) if says is None else (fault is not None and says in fault)


NUMBERS = st.integers(1, 4000)


@given(NUMBERS, NUMBERS, NUMBERS, st.integers(1, 300))
def test_only_what_is_within_the_tolerance_fits(
    label: int, per: int, volume: int, percent: int
) -> None:
    exact = Decimal(label * volume) / per
    bracket = (exact * percent / 100).quantize(Decimal("0.0001"))
    if bracket <= 0:
        return
    dose = read_dose_and_equal(f"{volume} mL ({bracket:f} mg)")
    fits = abs(bracket - exact) <= MOST_APART * exact
    assert (strength_fault(dose, f"{label} mg/{per} mL") is None) is fits
