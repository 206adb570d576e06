"""Text that runs from left to right inside text that runs from right to left.

Without isolates an Arabic line prints `mL 60`, and turns the groups of a phone number round (rows
TR-30 to TR-33 of the print reference). The renderer isolates every merged value; inside a value
that is itself Arabic words with a number, the number with its Latin unit is isolated here.
"""

from __future__ import annotations

import re
import unicodedata

# Unicode Standard Annex #9: left-to-right isolate, first strong isolate, and their end.
_LRI, _FSI, _PDI = "\u2066", "\u2068", "\u2069"
# Classes of Annex #9 that raise the level of a text in a line from left to right.
_TURNING = frozenset(
    {"R", "AL", "AN", "RLE", "RLO", "RLI", "LRE", "LRO", "LRI", "FSI", "PDF", "PDI"}
)
_MARKS = re.compile("[\u2066-\u2069]")
# A stretch without right-to-left letters that begins with a digit or a Latin letter, or with what
# opens a number, and ends with one or what closes it.
_OPENS, _INNER, _CLOSES = r"[+(\-]*[0-9A-Za-z]", r"[0-9A-Za-z°.,:/%()+\- \u00a0]*", r"[0-9A-Za-z%)]"
_SPACES = " \u00a0"
_STRETCH = re.compile(f"{_OPENS}(?:{_INNER}{_CLOSES})?")


def first_side(text: str) -> str:
    """`rtl` where the first letter that has a direction runs from right to left, else `ltr`.

    >>> first_side("60 mL"), first_side("12 ساعة")
    ('ltr', 'rtl')
    """
    for letter in _without_isolated(text):
        side = unicodedata.bidirectional(letter)
        if side in ("R", "AL"):
            return "rtl"
        if side == "L":
            return "ltr"
    return "ltr"


def turns(text: str) -> bool:
    """Whether any part of a text runs from right to left, or a mark of direction stands in it.

    In a line from left to right nothing else needs an isolate: levels above its own arise from
    such letters and marks alone (Unicode Standard Annex #9, 3.3).

    >>> turns("+1 555 010 0142"), turns("60 mL (2 oz)"), turns("12 ساعة")
    (False, False, True)
    """
    return any(unicodedata.bidirectional(letter) in _TURNING for letter in text)


def _without_isolated(text: str) -> str:
    return re.sub(f"{_LRI}[^{_PDI}]*{_PDI}", "", text)


def without_isolates(text: str) -> str:
    """The text without marks of direction."""
    return _MARKS.sub("", text)


def isolated(text: str) -> str:
    """The text between marks that keep its own direction from what stands around it."""
    return f"{_FSI}{text}{_PDI}" if text else text


def numbers_isolated(text: str) -> str:
    """Numbers and Latin units of a right-to-left text, each between marks.

    Text without right-to-left letters comes back as it is.

    >>> numbers_isolated("60 mL (2 oz)")
    '60 mL (2 oz)'
    >>> numbers_isolated("10:30 صباحا").encode("unicode-escape").decode()[:18]
    '\\\\u206610:30\\\\u2069 '
    """
    if not any(unicodedata.bidirectional(letter) in ("R", "AL") for letter in text):
        return text
    return _STRETCH.sub(lambda match: _balanced(match[0]), text)


def _balanced(stretch: str) -> str:
    """The stretch between marks; a bracket whose other half is outside stays outside."""
    lone = _lone_bracket(stretch)
    if lone is None:
        inner = stretch.strip(_SPACES)
        return stretch.replace(inner, f"{_LRI}{inner}{_PDI}") if inner else stretch
    return f"{_balanced(stretch[:lone])}{stretch[lone]}{_balanced(stretch[lone + 1 :])}"


def _lone_bracket(stretch: str) -> int | None:
    """Where the first bracket stands that has no other half in the stretch."""
    opened: list[int] = []
    for place, letter in enumerate(stretch):
        if letter == "(":
            opened.append(place)
        elif letter == ")":
            if not opened:
                return place
            opened.pop()
    return opened[0] if opened else None
