"""Amounts with units: exact arithmetic, strict reading.

Nothing is rounded here. Print rules live in `word.py`.

Factors: the US fluid ounce 29.5735295625 mL, the pound 0.45359237 kg and the inch 2.54 cm are exact
by definition (NIST); 1 Fr is one third of a millimetre (row `fr-def`). A month is that of UCUM,
30.4375 days. Glucose weighs 180.156 g/mol (arithmetic on standard atomic weights), so 1 mmol/L is
18.0156 mg/dL.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import total_ordering
from typing import TypeAlias

from plainleaf.vocabulary.errors import UnitError

_FLUID_OUNCE = Decimal("29.5735295625")


@dataclass(frozen=True)
class _Unit:
    """A unit of a kind of amount: `times` / `per` of that kind's first unit, both exact."""

    kind: str
    times: Decimal
    per: Decimal


def _unit(kind: str, times: Decimal | int | str = 1, per: Decimal | int = 1) -> _Unit:
    return _Unit(kind, Decimal(times), Decimal(per))


UNITS: dict[str, _Unit] = {
    "mL": _unit("volume"),
    "L": _unit("volume", 1000),
    "fl oz": _unit("volume", _FLUID_OUNCE),
    "mL/h": _unit("rate"),
    "kcal/mL": _unit("energy density"),
    "kcal": _unit("energy"),
    "Fr": _unit("tube size"),
    "mm": _unit("length"),
    "cm": _unit("length", 10),
    "in": _unit("length", "25.4"),
    "kg": _unit("weight"),
    "g": _unit("weight", per=1000),
    "lb": _unit("weight", "0.45359237"),
    "h": _unit("time span"),
    "min": _unit("time span", per=60),
    "d": _unit("time span", 24),
    "%": _unit("share"),
    "°C": _unit("temperature"),
    "°F": _unit("temperature"),
    "wk": _unit("time span", 168),
    "mo": _unit("time span", "730.5"),
    "kcal/fl oz": _unit("energy density", per=_FLUID_OUNCE),
    "mg/dL": _unit("blood sugar"),
    "mmol/L": _unit("blood sugar", "18.0156"),
}
# What two amounts give, in the units in which it is worked out.
_Three: TypeAlias = tuple[str, str, str]
_PRODUCTS: dict[tuple[str, str], _Three] = {
    ("rate", "time span"): ("mL/h", "h", "mL"),
    ("energy density", "volume"): ("kcal/mL", "mL", "kcal"),
}
_QUOTIENTS: dict[tuple[str, str], _Three] = {
    ("volume", "rate"): ("mL", "mL/h", "h"),
    ("volume", "time span"): ("mL", "h", "mL/h"),
    ("energy", "volume"): ("kcal", "mL", "kcal/mL"),
}
# Units that are read only where a file may hold them.
ASKED_FOR = ("wk", "mo", "kcal/fl oz")
EXAMPLES = {
    "volume": "60 mL",
    "rate": "75 mL/h",
    "energy density": "1.5 kcal/mL",
    "energy": "1350 kcal",
    "tube size": "18 Fr",
    "length": "4 cm",
    "weight": "61 kg",
    "time span": "12 h",
    "share": "76 %",
    "temperature": "38.0 °C",
    "blood sugar": "70 mg/dL",
}
# Spellings that have caused errors (ISMP error-prone list, from memory) or mean something else.
_REFUSED = {
    "cc": "Write mL.",
    "ml": "Write mL with a capital L.",
    "ML": "ML is a million litres. Write mL.",
    "mls": "Write mL.",
    "tsp": "Write mL; household spoons are not a measure.",
    "tbsp": "Write mL; household spoons are not a measure.",
    "teaspoon": "Write mL; household spoons are not a measure.",
    "tablespoon": "Write mL; household spoons are not a measure.",
    "oz": "oz alone can mean a weight. Write fl oz, or mL.",
    "cup": "Write mL.",
    "hr": "Write h.",
    "hours": "Write h.",
    "lbs": "Write lb.",
    "cal/mL": "Write kcal/mL; a calorie on a label is a kilocalorie.",
    "mL/hr": "Write mL/h.",
    "ml/h": "Write mL/h.",
    "ml/hr": "Write mL/h.",
    "F": "Write Fr.",
    "French": "Write Fr.",
    "pounds": "Write lb.",
    "days": "Write d.",
    "l": "Write L.",
}
NUMBER = r"(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)(?:\.[0-9]+)?"
# No amount of a packet has more digits; a longer one is a slip, and would lose its last digits.
_LONGEST_NUMBER = 12
_NUMBER, _NO_ZERO = re.compile(NUMBER), re.compile(r"\.[0-9]+")
_COMMA = re.compile(r"[0-9]+,[0-9]{1,2}")
_AMOUNT = re.compile(r"([0-9.,]*[0-9])\s*(\S.*)?")


@total_ordering
@dataclass(frozen=True)
class Quantity:
    """An exact amount with its unit, such as 60 mL.

    Amounts of one kind compare, add and convert; a different kind raises UnitError.

    >>> Quantity(Decimal(75), "mL/h") * Quantity(Decimal(12), "h")
    Quantity('900 mL')
    >>> Quantity(Decimal(44), "lb").to("kg").value
    Decimal('19.95806428')
    """

    value: Decimal
    unit: str

    @property
    def kind(self) -> str:
        """The kind of amount: volume, rate, weight …"""
        return UNITS[self.unit].kind

    def to(self, unit: str) -> Quantity:
        """The same amount in another unit of its kind, exact; temperatures by their own rule.

        Raises:
            UnitError: The unit measures something else.
        """
        if unit == self.unit:
            return self
        if self.kind == "temperature":
            return Quantity(_temperature(self.value, self.unit, unit), unit)
        if (self.unit, unit) == ("Fr", "mm"):
            return Quantity(_plain(self.value / 3), unit)
        mine, other = UNITS[self.unit], UNITS.get(unit)
        if other is None or other.kind != mine.kind:
            raise UnitError(f"{self} cannot be given in {unit}.", "")
        value = self.value * (mine.times * other.per) / (mine.per * other.times)
        return Quantity(_plain(value), unit)

    def __add__(self, other: Quantity) -> Quantity:
        return Quantity(self.value + other.to(self.unit).value, self.unit)

    def __sub__(self, other: Quantity) -> Quantity:
        return Quantity(self.value - other.to(self.unit).value, self.unit)

    def __mul__(self, other: Quantity | Decimal | int) -> Quantity:
        if isinstance(other, Quantity):
            return self._combined(other, _PRODUCTS)
        return Quantity(_plain(self.value * Decimal(other)), self.unit)

    def __truediv__(self, other: Quantity) -> Quantity:
        return self._combined(other, _QUOTIENTS)

    def _combined(self, other: Quantity, giving: Mapping[tuple[str, str], _Three]) -> Quantity:
        units = giving.get((self.kind, other.kind))
        if units is None:
            wrong = f"{self} with {other} is not an amount that plainleaf knows."
            raise UnitError(wrong, "")
        first, second = self.to(units[0]).value, other.to(units[1]).value
        return Quantity(_plain(first * second if giving is _PRODUCTS else first / second), units[2])

    def __lt__(self, other: Quantity) -> bool:
        return self.value < other.to(self.unit).value

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Quantity) or other.kind != self.kind:
            return NotImplemented
        return self.value == other.to(self.unit).value

    def __hash__(self) -> int:
        return hash((self.kind, self.to(_BASE[self.kind]).value))

    def __repr__(self) -> str:
        return f"Quantity('{self}')"

    def __str__(self) -> str:
        return f"{_plain(self.value):f} {self.unit}"


_BASE = {of.kind: unit for unit, of in reversed(UNITS.items())}


def _plain(value: Decimal) -> Decimal:
    """The number without an exponent and without zeros after the point."""
    value = Decimal(value)
    return value.to_integral_value() if value == value.to_integral_value() else value.normalize()


def _temperature(value: Decimal, source: str, target: str) -> Decimal:
    """Celsius and Fahrenheit by 9/5 and 32, exact by definition (NIST SP 811)."""
    if (source, target) == ("°C", "°F"):
        return _plain(value * 9 / 5 + 32)
    if (source, target) == ("°F", "°C"):
        return _plain((value - 32) * 5 / 9)
    raise UnitError(f"{value} {source} cannot be given in {target}.", "")


def read_number(text: str) -> Decimal:
    """A number as people write it: 60, 1,200 or 0.5.

    Raises:
        UnitError: A comma as decimal sign, a missing leading zero, too many digits, or no number.

    >>> read_number("1,200")
    Decimal('1200')
    """
    if len(text) > _LONGEST_NUMBER:
        raise UnitError(f"'{text}' has too many digits.", "Check the number.")
    if _NUMBER.fullmatch(text):
        return Decimal(text.replace(",", ""))
    if _NO_ZERO.fullmatch(text):
        raise UnitError(f"'{text}' has no digit before the point.", f"Write 0{text}.")
    if _COMMA.fullmatch(text):
        raise UnitError(
            f"'{text}' has a comma for a decimal point.", f"Write {text.replace(',', '.')}."
        )
    raise UnitError(f"'{text}' is not a number.", "Write digits, such as 60 or 0.5.")


def read_quantity(text: str, kind: str, more: Sequence[str] = ()) -> Quantity:
    """An amount of one kind, written with its unit.

    Args:
        text: As written in a file: `60 mL`, `75 mL/h`, `150 lb`.
        kind: One of the kinds in `UNITS`.
        more: Those of `ASKED_FOR` that may stand here too.
    Raises:
        UnitError: No unit, a unit of another kind, a refused spelling, or no number.

    >>> read_quantity("1.5 kcal/mL", "energy density")
    Quantity('1.5 kcal/mL')
    """
    wanted = f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"
    example = f"Write {wanted} with its unit, such as {EXAMPLES[kind]}."
    text = text.strip()
    match = _AMOUNT.fullmatch(text)
    if match is None:
        raise UnitError(f"'{text}' is not an amount.", example)
    value, unit = read_number(match[1]), match[2]
    if unit is None:
        raise UnitError(f"'{text}' has no unit.", example)
    usual = unit in UNITS and (unit not in ASKED_FOR or unit in more)
    if usual and UNITS[unit].kind == kind:
        return Quantity(value, unit)
    if usual:
        raise UnitError(f"'{text}' is a {UNITS[unit].kind}, not {wanted}.", example)
    if unit in _REFUSED:
        raise UnitError(f"'{text}': the unit '{unit}' is refused.", _REFUSED[unit])
    raise UnitError(f"'{text}': the unit '{unit}' is not known.", example)


def mL(value: int | str | Decimal) -> Quantity:
    """A volume in millilitres.

    >>> mL(60)
    Quantity('60 mL')
    """
    return Quantity(Decimal(value), "mL")


def total(amounts: list[Quantity]) -> Quantity:
    """The exact sum of volumes in mL; 0 mL for an empty list.

    >>> total([mL(60), mL("0.5")])
    Quantity('60.5 mL')
    """
    result = mL(0)
    for amount in amounts:
        result = result + amount.to("mL")
    return Quantity(_plain(result.value), "mL")
