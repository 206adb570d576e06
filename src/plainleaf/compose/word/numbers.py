"""Numbers and ounces as they print, the same in every language."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

NBSP = "\u00a0"
# Label ounce of US nutrition facts, 21 CFR 101.9(b)(5)(viii): 30 mL.
_LABEL_OUNCE = Decimal(30)
# Below half an ounce no kitchen measure shows it; a rounded ounce would mislead.
_LEAST_WITH_OUNCES = Decimal(15)


def number(value: Decimal) -> str:
    """A number as a US device shows it.

    At most two decimals are printed as they are; a longer one is rounded once, half up: to one
    decimal below 10, to a whole number from 10.

    >>> number(Decimal("1200")), number(Decimal("0.50")), number(Decimal("1713.625"))
    ('1,200', '0.5', '1,714')
    """
    if value != value.quantize(Decimal("0.01")):
        step = Decimal("0.1") if abs(value) < 10 else Decimal(1)
        value = value.quantize(step, ROUND_HALF_UP)
    return exact_number(value)


def exact_number(value: Decimal) -> str:
    """A number with every digit that counts: a dose is never rounded.

    >>> exact_number(Decimal("0.125")), exact_number(Decimal("2.50")), exact_number(Decimal(12500))
    ('0.125', '2.5', '12,500')
    """
    text = f"{value:,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def ounces(millilitres: Decimal) -> tuple[Decimal, bool] | None:
    """Label ounces (30 mL) for print, and whether they are exact; None below 15 mL.

    Not exact: the nearest quarter below 4 oz, the nearest half below 32 oz, else a whole number.

    >>> ounces(Decimal(60)), ounces(Decimal(237)), ounces(Decimal(10))
    ((Decimal('2'), True), (Decimal('8'), False), None)
    """
    if millilitres < _LEAST_WITH_OUNCES:
        return None
    exact = millilitres / _LABEL_OUNCE
    if exact * 4 == (exact * 4).to_integral_value():
        return exact, True
    parts = Decimal(4) if exact < 4 else Decimal(2) if exact < 32 else Decimal(1)
    return (exact * parts).to_integral_value(ROUND_HALF_UP) / parts, False
