"""The forms that one value of a patient file may have, each with its reader and its pattern.

What a reader takes, its pattern takes too; bounds and the calendar are the reader's alone. A
test holds the two together.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from plainleaf.vocabulary.dates import read_clock, read_date, read_moment
from plainleaf.vocabulary.doses import DOSE_UNITS, HALF_TABLET, read_dose
from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.patient_file.shapes import Scalar
from plainleaf.vocabulary.quantities import (
    ASKED_FOR,
    EXAMPLES,
    NUMBER,
    UNITS,
    Quantity,
    read_quantity,
)

# Finer steps are on no syringe; common practice, no source. Print keeps two decimals as they are.
FINEST_VOLUME = Decimal("0.01")
# Some digit is not zero.
ABOVE_ZERO = r"(?=[0-9.,]*[1-9])"
_DATE = r"(?:19[0-9]{2}|20[0-9]{2}|2100)-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])"
_CLOCK = r"(?:[01][0-9]|2[0-3]):[0-5][0-9]"
_TAG = r"[a-z]{2,3}(?:-[A-Z][a-z]{3})?(?:-[A-Z]{2})?"
_PHONE = r"[^0-9]*(?:[0-9][^0-9]*){3}[\s\S]*"


def units_of(kind: str, more: Sequence[str] = ()) -> tuple[str, ...]:
    """The units that an amount of a kind may be written in; of `ASKED_FOR`, those in `more`."""
    return tuple(
        unit
        for unit, of in UNITS.items()
        if of.kind == kind and (unit not in ASKED_FOR or unit in more)
    )


def listed(words: Sequence[str], last: str = "or") -> str:
    """Words in a row, the last two with a word between.

    >>> listed(("syringe", "gravity", "pump"))
    'syringe, gravity or pump'
    """
    *most, end = words
    return f"{', '.join(most)} {last} {end}" if most else end


def one_of(words: tuple[str, ...]) -> str:
    """A pattern of one of some words; the longer before those that they begin with."""
    return f"(?:{'|'.join(re.escape(word) for word in sorted(words, key=len, reverse=True))})"


def positive_amount(text: str, kind: str, more: Sequence[str] = ()) -> Quantity:
    """An amount above zero, no finer than a syringe or a clock shows.

    Raises:
        UnitError: Not an amount of this kind, zero, or too fine.

    >>> positive_amount("60 mL", "volume")
    Quantity('60 mL')
    """
    quantity = read_quantity(text, kind, more)
    if quantity.unit in ("mL", "L") and quantity.to("mL").value % FINEST_VOLUME:
        wrong = f"{quantity} is finer than any syringe shows."
        raise UnitError(wrong, "Write at most two decimals of a mL.")
    if kind == "time span" and quantity.to("min").value % 1:
        wrong = f"{quantity} is not a number of whole minutes."
        raise UnitError(wrong, "Write minutes, such as 25 min.")
    if quantity.value <= 0:
        raise UnitError("is zero.", "Leave it out if there is none.")
    return quantity


def whole_days(text: str, more: Sequence[str] = ()) -> Quantity:
    """A length after which a day begins: whole days, weeks or months.

    Raises:
        UnitError: Not a length, or of no whole days.
    """
    length = positive_amount(text, "time span", more)
    whole = length.value if length.unit == "mo" else length.to("d").value
    if whole % 1:
        raise UnitError(f"{length} is no number of whole days.", "Write whole days, such as 2 d.")
    return length


def amount(
    kind: str, least: tuple[str, str] = ("", ""), most: tuple[str, str] = ("", "")
) -> Scalar:
    """An amount of one kind.

    Args:
        kind: One of the kinds in `quantities.UNITS`.
        least: The smallest, with what is wrong with a smaller one.
        most: The largest, with what is wrong with a larger one.
    """

    def read(text: str) -> Quantity:
        quantity = positive_amount(text, kind)
        if least[0] and quantity < read_quantity(least[0], kind):
            raise UnitError(f"{quantity} is {least[1]}.", f"Write {least[0]} or more.")
        if most[0] and quantity > read_quantity(most[0], kind):
            raise UnitError(f"{quantity} is {most[1]}.", f"Write {most[0]} or less.")
        return quantity

    units = units_of(kind)
    pattern = rf"{ABOVE_ZERO}{NUMBER}\s*{one_of(units)}"
    return Scalar(kind, read, pattern, EXAMPLES[kind], f"{kind} with {listed(units)}")


def read_share(text: str) -> Quantity:
    """A share of at most all of it."""
    quantity = read_quantity(text, "share")
    if quantity.value > 100:
        raise UnitError(f"'{text}' is more than all of it.", "Write 0 % to 100 %.")
    return quantity


def _read_tag(text: str) -> str:
    if not re.fullmatch(_TAG, text):
        raise UnitError(f"'{text}' is not a language tag.", "Write en, es, ar …")
    return text


def read_phone(text: str) -> str:
    """A number to call, with whatever words belong to it; three digits or more, from 0 to 9."""
    if not all(c.isascii() for c in text if c.isdigit()):
        raise UnitError(f"'{text}' has digits that no phone dials.", "Write the digits 0 to 9.")
    if len(re.findall("[0-9]", text)) < 3:
        raise UnitError(
            f"'{text}' holds no phone number.", 'Write digits, such as "+1 555 010 0142".'
        )
    return text


DATE = Scalar("date", read_date, _DATE, "2026-03-04", "year-month-day")
MOMENT = Scalar(
    "date with time", read_moment, rf"{_DATE}[ T]{_CLOCK}(?::00)?", "2026-03-04 10:30",
    "year-month-day hour:minute",
)  # fmt: skip
CLOCK = Scalar("time of day", read_clock, _CLOCK, '"18:00"', "hour:minute")
VOLUME = amount("volume")
RATE = amount("rate")
ENERGY = amount("energy density")
GAUGE = amount("tube size")
LENGTH = amount("length")
WEIGHT = amount("weight")
SPAN = amount("time span")
SHARE = Scalar(
    "share",
    read_share,
    r"(?:0*100(?:\.0+)?|0*[0-9]{1,2}(?:\.[0-9]+)?)\s*%",
    "76 %",
    "share with %",
)
DOSE = Scalar(
    "dose", read_dose, rf"(?:{ABOVE_ZERO}{NUMBER}\s*{one_of(DOSE_UNITS)}|{HALF_TABLET})",
    "5 mL", "dose with unit",
)  # fmt: skip
# BCP 47: language, perhaps script and region.
TAG = Scalar("language tag", _read_tag, _TAG, "en", "language tag")
# With whatever words belong to it ("then press 2"); three digits or more.
PHONE = Scalar("phone number", read_phone, _PHONE, '"+1 555 010 0142"', "number", digits=True)
