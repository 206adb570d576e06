"""Amounts: strict reading, exact arithmetic, one kind never mistaken for another."""

from __future__ import annotations

from decimal import Decimal

import pytest

from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.quantities import (
    UNITS,
    Quantity,
    mL,
    read_number,
    read_quantity,
    total,
)

READ = [
    ("60 mL", "volume", "60", "mL"),
    ("60mL", "volume", "60", "mL"),
    ("  1,200   mL ", "volume", "1200", "mL"),
    ("0.5 mL", "volume", "0.5", "mL"),
    ("2 L", "volume", "2", "L"),
    ("8 fl oz", "volume", "8", "fl oz"),
    ("75 mL/h", "rate", "75", "mL/h"),
    ("1.5 kcal/mL", "energy density", "1.5", "kcal/mL"),
    ("18 Fr", "tube size", "18", "Fr"),
    ("3.5 cm", "length", "3.5", "cm"),
    ("150 lb", "weight", "150", "lb"),
    ("30 min", "time span", "30", "min"),
    ("76 %", "share", "76", "%"),
    ("100.4 °F", "temperature", "100.4", "°F"),
]


@pytest.mark.parametrize(("text", "kind", "value", "unit"), READ, ids=[row[0] for row in READ])
def test_amounts_are_read(text: str, kind: str, value: str, unit: str) -> None:
    amount = read_quantity(text, kind)
    assert (amount.value, amount.unit, amount.kind) == (Decimal(value), unit, kind)


# text, kind, part of what is wrong, part of what to write. Refused spellings: the contract
# (README, "The patient file") and the list of error-prone abbreviations (ISMP, from memory).
REFUSED = [
    ("60", "volume", "has no unit", "60 mL"),
    ("mL", "volume", "is not an amount", "60 mL"),
    ("-60 mL", "volume", "is not an amount", "60 mL"),
    ("about 60 mL", "volume", "is not an amount", "60 mL"),
    ("60 cc", "volume", "'cc' is refused", "Write mL."),
    ("60 ml", "volume", "'ml' is refused", "capital L"),
    ("60 ML", "volume", "'ML' is refused", "million litres"),
    ("2 oz", "volume", "'oz' is refused", "fl oz"),
    ("1 tsp", "volume", "'tsp' is refused", "household spoons"),
    ("1 tbsp", "volume", "'tbsp' is refused", "household spoons"),
    ("60 µL", "volume", "is not known", "60 mL"),
    ("60 mL/h", "volume", "is a rate, not a volume", "60 mL"),
    ("75 mL", "rate", "is a volume, not a rate", "75 mL/h"),
    ("75 mL/hr", "rate", "is refused", "Write mL/h."),
    ("1.5 cal/mL", "energy density", "is refused", "kcal/mL"),
    ("18 F", "tube size", "is refused", "Write Fr."),
    ("18 mm", "tube size", "is a length, not a tube size", "18 Fr"),
    ("61 lbs", "weight", "is refused", "Write lb."),
    ("12 hours", "time span", "is refused", "Write h."),
    ("38,5 °C", "temperature", "comma for a decimal point", "Write 38.5."),
    (".5 mL", "volume", "no digit before the point", "Write 0.5."),
    ("1,20 mL", "volume", "comma for a decimal point", "Write 1.20."),
    ("1,2345 mL", "volume", "is not a number", "digits"),
    ("1.2.3 mL", "volume", "is not a number", "digits"),
    ("6e1 mL", "volume", "is not known", "60 mL"),
    ("٦٠ mL", "volume", "is not an amount", "60 mL"),
    ("60 mL or more", "volume", "is not known", "60 mL"),
    ("9999999999999 mL", "volume", "too many digits", "Check the number."),
]


@pytest.mark.parametrize(
    ("text", "kind", "wrong", "instead"), REFUSED, ids=[f"{row[0]} as {row[1]}" for row in REFUSED]
)
def test_an_amount_that_could_mislead_is_refused(
    text: str, kind: str, wrong: str, instead: str
) -> None:
    with pytest.raises(UnitError) as error:
        read_quantity(text, kind)
    assert wrong in error.value.wrong
    assert instead in error.value.instead


@pytest.mark.parametrize(
    ("text", "is_"), [("60", "60"), ("1,200", "1200"), ("1,234,567.5", "1234567.5"), ("007", "7")]
)
def test_numbers(text: str, is_: str) -> None:
    assert read_number(text) == Decimal(is_)


def test_amounts_of_one_kind_add_compare_and_sort_across_units() -> None:
    assert mL(500) + Quantity(Decimal(1), "L") == mL(1500)
    assert Quantity(Decimal(1), "L") - mL(1) == mL(999)
    assert max(mL(999), Quantity(Decimal(1), "L")) == mL(1000)
    assert Quantity(Decimal(90), "min") < Quantity(Decimal(2), "h")


def test_equal_amounts_hash_alike() -> None:
    assert {mL(1000), Quantity(Decimal(1), "L"), Quantity(Decimal("1.0"), "L")} == {mL(1000)}
    assert hash(Quantity(Decimal("100.4"), "°F")) == hash(Quantity(Decimal(38), "°C"))


@pytest.mark.parametrize("other", ["75 mL/h", "61 kg", "12 h"])
def test_amounts_of_two_kinds_never_mix(other: str) -> None:
    kind = UNITS[other.split()[1]].kind
    amount = read_quantity(other, kind)
    assert mL(60) != amount
    for mix in (mL(60).__add__, mL(60).__sub__, mL(60).__lt__):
        with pytest.raises(UnitError):
            mix(amount)


def test_an_unknown_target_unit_is_refused() -> None:
    with pytest.raises(UnitError, match="cannot be given in"):
        mL(60).to("kg")
    with pytest.raises(UnitError, match="cannot be given in"):
        Quantity(Decimal(38), "°C").to("mL")


# Products and quotients by dimension: volume = rate × time, energy = density × volume.
@pytest.mark.parametrize(
    ("first", "op", "second", "is_"),
    [
        (("75", "mL/h"), "*", ("12", "h"), "900 mL"),
        (("75", "mL/h"), "*", ("20", "min"), "25 mL"),
        (("1.5", "kcal/mL"), "*", ("237", "mL"), "355.5 kcal"),
        (("1000", "mL"), "/", ("40", "mL/h"), "25 h"),
        (("0.9", "L"), "/", ("12", "h"), "75 mL/h"),
    ],
    ids=str,
)
def test_products(first: tuple[str, str], op: str, second: tuple[str, str], is_: str) -> None:
    one, two = (Quantity(Decimal(value), unit) for value, unit in (first, second))
    assert str(one * two if op == "*" else one / two) == is_


def test_a_product_that_means_nothing_is_refused() -> None:
    with pytest.raises(UnitError, match="not an amount"):
        mL(2) * mL(2)


def test_no_number_is_ever_shown_with_an_exponent() -> None:
    assert str(mL("1E+3")) == "1000 mL"
    assert str(mL("0.50")) == "0.5 mL"
    assert repr(mL(60) * Decimal(10)) == "Quantity('600 mL')"


def test_a_sum_is_in_millilitres_and_zero_for_nothing() -> None:
    assert total([]) == mL(0)
    assert str(total([Quantity(Decimal(1), "L"), mL("0.5")])) == "1000.5 mL"
