"""How numbers, units and clock times are read out in English (rule F-06 of the print reference).

A number or unit is one word with the syllables of its spoken form: `120` is "one hundred twenty",
`mL` is "milliliters".
"""

from __future__ import annotations

import re
from functools import cache

from plainleaf.authoring.readability.syllables import syllables

_ONES = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
_TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
# Unit as printed → as spoken. `in` is left out: it is far more often the small word.
UNITS = {
    "mL": "milliliters", "L": "liters", "oz": "ounces", "cm": "centimeters", "mm": "millimeters",
    "Fr": "french", "kg": "kilograms", "g": "grams", "mg": "milligrams", "mcg": "micrograms",
    "lb": "pounds", "kcal": "kilocalories", "°F": "degrees fahrenheit", "°C": "degrees celsius",
    "am": "a-em", "pm": "pea-em", "%": "percent", "Dr": "doctor",
}  # fmt: skip
_NUMBER = re.compile(r"\d[\d,]*(?:\.\d+)?$")
_CLOCK = re.compile(r"(\d{1,2}):(\d\d)$")
# A word, a number with its group marks and decimals, a clock time, a degree sign with its letter.
TOKEN = re.compile(r"°[FC]|\d{1,2}:\d\d|\d[\d,]*(?:\.\d+)?|%|[^\W\d_]+(?:['’-][^\W\d_]+)*")


def number_words(number: int) -> str:
    """A whole number below a million as it is spoken.

    >>> number_words(120), number_words(1440), number_words(85)
    ('one hundred twenty', 'one thousand four hundred forty', 'eighty five')
    """
    if number >= 1000:
        rest = number % 1000
        return f"{number_words(number // 1000)} thousand" + (
            f" {number_words(rest)}" if rest else ""
        )
    if number >= 100:
        rest = number % 100
        return f"{_ONES[number // 100]} hundred" + (f" {number_words(rest)}" if rest else "")
    if number < 20:
        return _ONES[number]
    return _TENS[number // 10 - 2] + (f" {_ONES[number % 10]}" if number % 10 else "")


def spoken(token: str) -> str:
    """One token as it is read out; a plain word stays as it is.

    >>> spoken("mL"), spoken("2.5"), spoken("10:30"), spoken("tube")
    ('milliliters', 'two point five', 'ten thirty', 'tube')
    """
    if token in UNITS:
        return UNITS[token]
    clock = _CLOCK.match(token)
    if clock:
        minutes = int(clock[2])
        return number_words(int(clock[1])) + (f" {number_words(minutes)}" if minutes else "")
    if not _NUMBER.match(token):
        return token
    whole, _, part = token.replace(",", "").partition(".")
    if int(whole) >= 1_000_000:
        return " ".join(_ONES[int(digit)] for digit in whole)
    tail = " point " + " ".join(_ONES[int(digit)] for digit in part) if part else ""
    return number_words(int(whole)) + tail


@cache
def spoken_syllables(token: str) -> int:
    """Syllables of a token as it is read out.

    >>> spoken_syllables("120"), spoken_syllables("mL"), spoken_syllables("°F")
    (5, 4, 5)
    """
    return sum(syllables(word) for word in re.split("[ -]", spoken(token)))
