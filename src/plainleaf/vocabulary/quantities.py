"""Amounts with units: exact arithmetic, strict reading.

Pint holds the units and converts; numbers and unit words are read here, and nothing is rounded
here. Print rules live in `word.py`.

The registry is our own and small, so that no letter means something else (in a general registry
`Fr` is an electric charge and `oz` a mass). Factors: the US fluid ounce 29.5735295625 mL, the
pound 0.45359237 kg and the inch 2.54 cm are exact by definition (NIST); 1 Fr is one third of a
millimetre (row `fr-def`). A month is that of UCUM, 30.4375 days. Glucose weighs 180.156 g/mol
(arithmetic on standard atomic weights), so 1 mmol/L is 18.0156 mg/dL.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import total_ordering

import pint

from plainleaf.vocabulary.errors import UnitError

_DEFINITIONS = """
millilitre = [volume] = mL
litre = 1000 * millilitre = L
us_fluid_ounce = 29.5735295625 * millilitre = fl_oz
minute = [time] = min
hour = 60 * minute = h
day = 24 * hour = d
kilogram = [mass] = kg
gram = kilogram / 1000 = g
pound = 0.45359237 * kilogram = lb
french = [length] = Fr
millimetre = 3 * french = mm
centimetre = 10 * millimetre = cm
inch = 2.54 * centimetre = in
kilocalorie = [energy] = kcal
degree_Celsius = [temperature] = degC
percent = [share] = pct
week = 7 * day = wk
month = 30.4375 * day = mo
glucose_by_mass = [blood_sugar] = sugar_mg
glucose_by_amount = 18.0156 * glucose_by_mass = sugar_mmol
"""

_units: pint.UnitRegistry[Decimal] = pint.UnitRegistry(None, non_int_type=Decimal)
_units.load_definitions(_DEFINITIONS.strip().splitlines())

# Unit as it is written → (kind, the registry's expression).
UNITS: dict[str, tuple[str, str]] = {
    "mL": ("volume", "mL"),
    "L": ("volume", "L"),
    "fl oz": ("volume", "fl_oz"),
    "mL/h": ("rate", "mL/h"),
    "kcal/mL": ("energy density", "kcal/mL"),
    "kcal": ("energy", "kcal"),
    "Fr": ("tube size", "Fr"),
    "mm": ("length", "mm"),
    "cm": ("length", "cm"),
    "in": ("length", "in"),
    "kg": ("weight", "kg"),
    "g": ("weight", "g"),
    "lb": ("weight", "lb"),
    "h": ("time span", "h"),
    "min": ("time span", "min"),
    "d": ("time span", "d"),
    "%": ("share", "pct"),
    "°C": ("temperature", "degC"),
    "°F": ("temperature", ""),
    "wk": ("time span", "wk"),
    "mo": ("time span", "mo"),
    "kcal/fl oz": ("energy density", "kcal/fl_oz"),
    "mg/dL": ("blood sugar", "sugar_mg"),
    "mmol/L": ("blood sugar", "sugar_mmol"),
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
        return UNITS[self.unit][0]

    def to(self, unit: str) -> Quantity:
        """The same amount in another unit of its kind, exact; temperatures by their own rule.

        Raises:
            UnitError: The unit measures something else.
        """
        if unit == self.unit:
            return self
        if self.kind == "temperature":
            return Quantity(_temperature(self.value, self.unit, unit), unit)
        if (self.unit, unit) == ("Fr", "mm"):  # one third has no exact decimal factor
            return Quantity(_plain(self.value / 3), unit)
        try:
            converted = self._pint().to(UNITS[unit][1])
        except (pint.DimensionalityError, KeyError) as error:
            raise UnitError(f"{self} cannot be given in {unit}.", "") from error
        return Quantity(_plain(converted.magnitude), unit)

    def _pint(self) -> pint.Quantity[Decimal]:
        return _units.Quantity(self.value, UNITS[self.unit][1])

    def __add__(self, other: Quantity) -> Quantity:
        return Quantity(self.value + other.to(self.unit).value, self.unit)

    def __sub__(self, other: Quantity) -> Quantity:
        return Quantity(self.value - other.to(self.unit).value, self.unit)

    def __mul__(self, other: Quantity | Decimal | int) -> Quantity:
        if isinstance(other, Quantity):
            return _from_pint(self._pint() * other._pint())
        return Quantity(_plain(self.value * Decimal(other)), self.unit)

    def __truediv__(self, other: Quantity) -> Quantity:
        return _from_pint(self._pint() / other._pint())

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


_BASE = {kind: unit for unit, (kind, _) in reversed(UNITS.items())}
_RESULTS = ("mL", "h", "kcal", "mL/h", "kg", "cm", "kcal/mL", "pct")


def _from_pint(result: pint.Quantity[Decimal]) -> Quantity:
    for unit in _RESULTS:
        if result.is_compatible_with(unit):
            name = "%" if unit == "pct" else unit
            return Quantity(_plain(result.to(unit).magnitude), name)
    raise UnitError(f"{result} is not an amount that plainleaf knows.", "")


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
    if re.fullmatch(NUMBER, text):
        return Decimal(text.replace(",", ""))
    if re.fullmatch(r"\.[0-9]+", text):
        raise UnitError(f"'{text}' has no digit before the point.", f"Write 0{text}.")
    if re.fullmatch(r"[0-9]+,[0-9]{1,2}", text):
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
    if usual and UNITS[unit][0] == kind:
        return Quantity(value, unit)
    if usual:
        raise UnitError(f"'{text}' is a {UNITS[unit][0]}, not {wanted}.", example)
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
