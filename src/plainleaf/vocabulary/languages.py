"""What CLDR, the locale data of Unicode, knows of a language: plural forms, direction, name.

Numbers, dates and units are never taken from there: they print one way in every language.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

# Plural categories in the order of gettext forms.
_PLURAL_TAGS = ("zero", "one", "two", "few", "many", "other")


@dataclass(frozen=True)
class Plurals:
    """Plural forms of a language: CLDR categories in gettext order, and the gettext expression."""

    categories: tuple[str, ...]
    expression: str
    rule: Callable[[int | Decimal], str]

    def form(self, count: int | Decimal) -> int:
        """Which form a number takes, from 0."""
        return self.categories.index(self.rule(count))


def _locale(tag: str) -> Any:
    """What CLDR knows of a language; a private part (`-x-…`) of the tag is passed over.

    Raises:
        UnknownLocaleError, ValueError: CLDR does not know the language, or it is no tag.
    """
    from babel import Locale

    return Locale.parse(tag.split("-x-")[0], sep="-")


@cache
def plurals_of(tag: str) -> Plurals:
    """Plural forms of a language by CLDR; one form for a language that CLDR does not know."""
    from babel import UnknownLocaleError
    from babel.plural import to_gettext

    try:
        rule = _locale(tag).plural_form
    except (UnknownLocaleError, ValueError):
        return Plurals(("other",), "0", lambda _: "other")
    order = tuple(name for name in _PLURAL_TAGS if name in rule.tags or name == "other")
    # `e` is a power of ten that is not written out; our numbers are.
    expression = re.sub(r"\be\b", "0", to_gettext(rule).partition("plural=")[2].rstrip("; "))
    return Plurals(order, expression, rule)


def locale_name(tag: str) -> str:
    """The English name of a language; the tag itself where CLDR has none."""
    from babel import UnknownLocaleError

    try:
        return str(_locale(tag).english_name or tag)
    except (UnknownLocaleError, ValueError):
        return tag


def own_name(tag: str) -> str:
    """What a language calls itself; the tag itself where CLDR does not know it.

    >>> own_name("es"), own_name("hmn")
    ('español', 'hmn')
    """
    from babel import UnknownLocaleError

    try:
        return str(_locale(tag).display_name or tag)
    except (UnknownLocaleError, ValueError):
        return tag


@cache
def direction_of(tag: str) -> str:
    """`ltr` or `rtl`, by CLDR."""
    from babel import UnknownLocaleError

    try:
        return str(_locale(tag).text_direction)
    except (UnknownLocaleError, ValueError):
        return "ltr"
