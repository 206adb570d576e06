"""Limits at which somebody is called, in words: exact, or rounded once.

A weight that a scale shows is compared with these, so that nothing is rounded as far as in other
places.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import Protocol, cast

from plainleaf.compose.word.numbers import NBSP, exact_number, number
from plainleaf.vocabulary.quantities import Quantity

# A scale for people shows tenths; common practice, no source.
_TENTH = Decimal("0.1")
_A_DAY = 1440
_A_YEAR = (365, 366)
# Fewer days are told in hours, and a time of fewer hours in minutes alone.
_DAYS_TO_TELL, _HOURS_TO_TELL = 4, 2


class Says(Protocol):
    """What words phrases, as far as limits need it."""

    def say(self, identity: str, **values: str) -> str: ...

    def count(self, identity: str, many: int) -> str: ...

    def span(self, amount: Quantity) -> str: ...


def weight_exact(words: Says, amount: Quantity) -> str:
    """1 kg (2.2 lb), 68.9 kg (151.8 lb): each unit rounded once, to a tenth."""
    units = ("lb", "kg") if amount.unit == "lb" else ("kg", "lb")
    first, second = (
        words.say(f"weight-{unit}", number=number(_to_tenth(amount.to(unit)))) for unit in units
    )
    return words.say("weight-both", first=first, second=second).replace(" ", NBSP)


def _to_tenth(amount: Quantity) -> Decimal:
    return amount.value.quantize(_TENTH, ROUND_HALF_UP)


def grams(_: Says, amount: Quantity) -> str:
    """15 g: exactly as ordered."""
    return f"{exact_number(amount.value)}{NBSP}g"


def span_told(words: Says, amount: Quantity) -> str:
    """30 minutes, 12 hours, 7 days, 12 months: in the largest unit that divides it.

    From two hours on, minutes beside them: 2 hours 22 minutes.
    """
    minutes = int(amount.to("min").value)
    days, hours, rest = minutes // _A_DAY, minutes // 60, minutes % 60
    if minutes % _A_DAY == 0 and days >= _DAYS_TO_TELL:
        return words.count("span-months", 12) if days in _A_YEAR else words.count("span-days", days)
    if rest == 0:
        return words.count("span-hours", hours)
    if hours < _HOURS_TO_TELL:
        return words.count("span-minutes", minutes)
    told = words.count("span-hours", hours), words.count("span-minutes", rest)
    return words.say("span-both", hours=told[0], minutes=told[1])


def interval(words: Says, amount: Quantity) -> str:
    """2 days, 36 hours: in days where they are whole, so that a date can be counted."""
    minutes = int(amount.to("min").value)
    return words.span(amount) if minutes % _A_DAY else words.count("span-days", minutes // _A_DAY)


def _kind(worded: Callable[[Says, Quantity], str]) -> Callable[[Says, object], str]:
    return lambda words, value: worded(words, cast("Quantity", value))


LIMIT_KINDS: Mapping[str, Callable[[Says, object], str]] = {
    "weight-exact": _kind(weight_exact),
    "grams": _kind(grams),
    "interval": _kind(interval),
}
