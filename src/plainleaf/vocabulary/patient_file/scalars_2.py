"""The forms that one value may have in format 2, each with its reader and its exact pattern.

One space stands between a number and its unit. A range is written `5 to 10 mL`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from functools import partial

from plainleaf.vocabulary.dates import read_clock, read_date, read_moment
from plainleaf.vocabulary.doses import DOSE_UNITS, HALF_TABLET, MORE_UNITS, read_dose_and_equal
from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.opening_hours import HOURS_PATTERN, read_hours
from plainleaf.vocabulary.patient_file.scalars import (
    ABOVE_ZERO,
    one_of,
    positive_amount,
    read_phone,
    read_share,
    units_of,
    whole_days,
)
from plainleaf.vocabulary.patient_file.shapes import Scalar
from plainleaf.vocabulary.quantities import EXAMPLES, NUMBER, Quantity, read_number
from plainleaf.vocabulary.settling import CREDENTIALS, ROLES

SOME = rf"{ABOVE_ZERO}{NUMBER}"
_YEAR = "(?:19[0-9]{2}|20[0-9]{2}|2100)"
_DATE = rf"{_YEAR}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])"
_CLOCK = r"(?:[01][0-9]|2[0-3]):[0-5][0-9]"
_MOMENT = rf"{_DATE}[ T]{_CLOCK}(?::00)?"
CARTONS = ("carton", "cartons", "can", "cans", "bottle", "bottles", "bag", "bags")
SPAN_UNITS = ("wk", "mo")


@dataclass(frozen=True)
class Amounts:
    """From the least to the most of an ordered amount; both are one where no range was ordered."""

    least: Quantity
    most: Quantity


@dataclass(frozen=True)
class Portion:
    """A number of containers of a formula."""

    count: Decimal
    unit: str


@dataclass(frozen=True)
class Mix:
    """What something is mixed in: so much of a liquid, or a soft food by the spoon."""

    liquid: str
    amount: Amounts | None = None


@dataclass(frozen=True)
class Ingredient:
    """So much of something that goes into a recipe; `weight` of what is counted in spoons."""

    count: Decimal
    unit: str
    weight: Quantity | None = None


@dataclass(frozen=True)
class Pointer:
    """A name of the facility's directory or formulary, or of the file's own formulas."""

    name: str


def exact(
    name: str, pattern: str, example: str, blank: str, read: Callable[[str], object] = str
) -> Scalar:
    """A scalar that is written exactly by its pattern, and the same for whoever reads it."""
    return Scalar(name, read, pattern, example, blank, exact=True)


def _amount(kind: str, more: Sequence[str] = (), example: str = "") -> Scalar:
    units = units_of(kind, more)
    return exact(
        kind,
        rf"{SOME} {one_of(units)}",
        example or EXAMPLES[kind],
        f"{kind} with {units[0]}",
        lambda text: positive_amount(text, kind, more),
    )


def _read_amounts(text: str, kind: str) -> Amounts:
    low, to, high = text.partition(" to ")
    most = positive_amount(high if to else low, kind)
    least = positive_amount(f"{low} {most.unit}", kind) if to else most
    if most < least:
        raise UnitError(f"'{text}' begins with the larger.", "Write the smaller first.")
    return Amounts(least, most)


def _amounts(kind: str, units: tuple[str, ...], example: str) -> Scalar:
    pattern = rf"{SOME}(?: to {SOME})? {one_of(units)}"
    blank = f"{kind} with {units[0]}, or a range"
    return exact(kind, pattern, example, blank, lambda text: _read_amounts(text, kind))


def any_kind(*scalars: Scalar) -> Scalar:
    """A value of the first form that fits, in the words of the first where none does."""

    def read(text: str) -> object:
        fitting = (s for s in scalars if re.fullmatch(s.pattern, text))
        return next(fitting, scalars[0]).read(text)

    return exact(
        " or ".join(scalar.name for scalar in scalars),
        f"(?:{'|'.join(scalar.pattern for scalar in scalars)})",
        scalars[0].example,
        scalars[0].blank,
        read,
    )


DATE = exact("date", _DATE, "2026-03-04", "year-month-day", read_date)
MOMENT = exact(
    "date with time", _MOMENT, "2026-03-04 10:30", "year-month-day hour:minute", read_moment
)


def _read_day_or_moment(text: str) -> object:
    return read_moment(text) if ":" in text else read_date(text)


DATE_OR_MOMENT = exact(
    "date, perhaps with time", rf"{_DATE}(?:[ T]{_CLOCK}(?::00)?)?", "2026-03-04 10:30",
    "year-month-day, perhaps hour:minute", _read_day_or_moment,
)  # fmt: skip
CLOCK = exact("time of day", _CLOCK, '"18:00"', "hour:minute", read_clock)
VOLUME = _amount("volume")
VOLUMES = _amounts("volume", units_of("volume"), "5 to 10 mL")
SPANS = _amounts("time span", ("min", "h", "d"), "30 to 40 min")
RATE = _amount("rate")
ENERGY = _amount("energy density", ("kcal/fl oz",), "1.5 kcal/mL")
KCAL = _amount("energy", example="25 kcal")
GAUGE = _amount("tube size")
LENGTH = _amount("length")
WEIGHT = _amount("weight")
SPAN = _amount("time span", SPAN_UNITS, "30 min")

DAYS_LONG = replace(SPAN, read=partial(whole_days, more=SPAN_UNITS), example="2 d")
TEMPERATURE = _amount("temperature")
SUGAR = _amount("blood sugar")
SHARE = exact(
    "share", r"(?:0*100(?:\.0+)?|0*[0-9]{1,2}(?:\.[0-9]+)?) %", "76 %", "share with %", read_share
)
LIMIT = any_kind(SUGAR, WEIGHT, TEMPERATURE, VOLUME)
GAIN = any_kind(WEIGHT, SHARE)
TAG = exact(
    "language tag", r"[a-z]{2,3}(?:-[A-Z][a-z]{3})?(?:-(?:[A-Z]{2}|[0-9]{3}))?", "en",
    "language tag",
)  # fmt: skip
PHONE = Scalar(
    "phone number", read_phone, r"[^\n<>]*[0-9][^\n<>]*[0-9][^\n<>]*[0-9][^\n<>]*",
    '"+1 555 010 0142"', "number", digits=True, exact=True,
)  # fmt: skip
HOURS = exact(
    "days and hours", HOURS_PATTERN, '"Mon-Fri 08:00-16:00"', "days and hours", read_hours
)
SLUG = exact("name", r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*", "tube-clinic", "name-with-hyphens", Pointer)


def _signer(credentials: tuple[str, ...], example: str) -> Scalar:
    pattern = rf"[^,\n<>]{{2,60}}, {one_of(credentials)}"
    return exact("name and credential", pattern, example, "name and credential")


SIGNER = _signer(CREDENTIALS, '"S. Park, RN"')
PRESCRIBER = _signer(ROLES["prescriber"], '"B. Quist, MD"')

# --- doses, strengths, portions ------------------------------------------------------------------

_UNITS = DOSE_UNITS + MORE_UNITS
DOSE_PATTERN = rf"(?:{SOME} {one_of(_UNITS)}|{HALF_TABLET})(?: \({SOME} {one_of(_UNITS)}\))?"
DOSE = exact("dose", DOSE_PATTERN, "10 mL (100 mg)", "dose with unit", read_dose_and_equal)
STRENGTH = exact(
    "strength",
    rf"{SOME} (?:mg|mcg|g|units|mEq|mmol)(?:/(?:{SOME} )?{one_of((*_UNITS, 'h'))})?",
    "50 mg/5 mL",
    "strength as on the label",
)
AT_MOST = exact(
    "most in a time",
    rf"{SOME} (?:doses?|mg|g|mL|units) in {SOME} (?:h|d|wk)",
    "6 doses in 24 h",
    "number doses in 24 h",
)
LOSS = exact("loss of weight", rf"{SOME} % in {SOME} (?:wk|mo)", "15 % in 5 mo", "share in time")


def _read_portion(text: str) -> Quantity | Portion:
    number, _, unit = text.partition(" ")
    if unit in CARTONS:
        return Portion(read_number(number), unit)
    return positive_amount(text, "volume")


PORTION = exact(
    "volume or containers", rf"{SOME} {one_of((*units_of('volume'), *CARTONS))}", "1.5 cartons",
    "amount with mL, or cartons", _read_portion,
)  # fmt: skip
MIX_LIQUIDS = ("water", "apple juice", "orange juice", "milk")


def _read_liquid(text: str) -> Mix:
    amount, unit, liquid = text.partition(" mL ")
    if not unit:
        raise UnitError(f"'{text}' is not an amount of a liquid.", "Write 20 mL water.")
    return Mix(liquid, _read_amounts(f"{amount} mL", "volume"))


LIQUID = exact(
    "amount of a liquid", rf"{SOME}(?: to {SOME})? mL {one_of(MIX_LIQUIDS)}", "20 mL water",
    "amount mL water", _read_liquid,
)  # fmt: skip
_SPOONS = ("scoop", "scoops", "packet", "packets", "tsp", "tbsp")


def _read_ingredient(text: str) -> Ingredient:
    whole, _, inside = text.partition(" (")
    number, _, unit = whole.partition(" ")
    weight = positive_amount(inside.rstrip(")"), "weight") if inside else None
    if unit in _SPOONS and weight is None:
        raise UnitError(f"'{text}' has no grams.", "Write them in brackets: 2.5 tsp (6.5 g).")
    return Ingredient(read_number(number), unit, weight)


INGREDIENT_AMOUNT = exact(
    "amount of an ingredient",
    rf"(?:{SOME} {one_of(('mL', 'g', *CARTONS))}|{SOME} {one_of(_SPOONS)} \({SOME} g\))",
    "120 mL",
    "amount with mL or g",
    _read_ingredient,
)
SUGAR_FOODS = (
    "apple juice", "orange juice", "grape juice", "sugar water", "regular soda", "glucose gel",
    "glucose liquid",
)  # fmt: skip
SUGAR_GIVEN = exact(
    "amount of a sugar food",
    rf"(?:{SOME} mL {one_of(SUGAR_FOODS)}|{SOME} g glucose gel)",
    "120 mL apple juice",
    "amount mL juice",
)
ANGLE = exact(
    "angle",
    r"(?:3[0-9]|4[0-9]|5[0-9]|60)(?: to (?:3[0-9]|4[0-9]|5[0-9]|60))? degrees",
    "30 to 45 degrees",
    "30 to 60 degrees",
)
CODE = exact("code of a decision", "c[0-9a-f]{6}", "c3fa91c", "code as review prints it")
_FULL = ("1/3 full", "1/2 full", "2/3 full")
EMPTY_AT = any_kind(exact("part", one_of(_FULL), "1/2 full", "part full"), VOLUME)

# --- a dose by blood sugar -----------------------------------------------------------------------

CONTACT_KEYS = (
    "clinic", "after_hours", "emergency", "supplies", "hospice", "home_nurse", "dietitian",
    "pharmacy", "diabetes", "oncology",
)  # fmt: skip
_SUGAR_UNIT = one_of(units_of("blood sugar"))
SCALE_RANGE = exact(
    "range of blood sugar",
    rf"(?:below {SOME} {_SUGAR_UNIT}|{NUMBER} to {SOME} {_SUGAR_UNIT}"
    rf"|{SOME} {_SUGAR_UNIT} or more)",
    "below 70 mg/dL",
    "below, from to, or more",
)
SCALE_DOSE = exact(
    "dose, or what to do",
    rf"(?:no dose|low-sugar plan|call {one_of(CONTACT_KEYS)} before giving"
    rf"|{DOSE_PATTERN}(?:, then call {one_of(CONTACT_KEYS)})?)",
    "3 units",
    "dose, or no dose",
)


def moment_of(day: object) -> datetime | None:
    """The moment a day begins, of a date; a moment as it is."""
    if day is None or isinstance(day, datetime):
        return day
    return read_moment(f"{day} 00:00")
