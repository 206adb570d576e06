"""The values that a setting may hold, read from the words of a policy file and bounded."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches

from plainleaf.inputs.strict_yaml import Node, read_clock
from plainleaf.vocabulary.dead_space import read_dead_spaces
from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.quantities import Quantity, read_quantity
from plainleaf.vocabulary.settings import Setting
from plainleaf.vocabulary.time_zones import zone_names


@dataclass(frozen=True)
class Range:
    """From one amount to another, both in one unit."""

    low: Quantity
    high: Quantity


Value = Quantity | Range | str | bool | int | None


def value_text(value: Value) -> str:
    """A setting's value as a policy file holds it."""
    if isinstance(value, Range):
        return f"{value.low} to {value.high}"
    if isinstance(value, bool):
        return str(value).lower()
    return "none" if value is None else str(value)


def read_value(node: Node, setting: Setting) -> Value:
    """A setting's value, within its bounds.

    Raises:
        UnitError: It is none, or outside what is in use.
    """
    if not isinstance(node.value, str):
        raise UnitError("is not one value.", "Write one value.")
    text = node.value
    if setting.kind == "words":
        if text not in setting.words:
            raise UnitError(f"'{text}' is not known.", f"Write one of: {', '.join(setting.words)}.")
        return text
    if setting.kind == "yes-no":
        if text not in ("true", "false"):
            raise UnitError(f"'{text}'.", "Write true or false.")
        return text == "true"
    if setting.kind in _WORDS_OF_KIND:
        return _WORDS_OF_KIND[setting.kind](text)
    if setting.kind == "count":
        return _count(text, setting)
    if setting.kind == "angles":
        return _angles(text, setting)
    if setting.kind.startswith("range "):
        return _range(text, setting)
    return _bounded(read_quantity(text, setting.kind), setting)


def _count(text: str, setting: Setting) -> int:
    if not re.fullmatch("[0-9]{1,4}", text) or not int(setting.low) <= int(text) <= int(
        setting.high
    ):
        raise UnitError(f"'{text}'.", f"Write a number from {setting.low} to {setting.high}.")
    return int(text)


def _zone(text: str) -> str:
    if text not in zone_names():
        close = get_close_matches(text, zone_names(), n=1)
        hint = f"Did you mean '{close[0]}'? " if close else ""
        raise UnitError(
            f"'{text}' is not a place of the time zone list.",
            f"{hint}Write Area/City, as in America/New_York.",
        )
    return text


def _dead_space(text: str) -> str:
    read_dead_spaces(text)
    return text


_WORDS_OF_KIND: dict[str, Callable[[str], str]] = {
    "clock": lambda text: read_clock(text).strftime("%H:%M"),
    "zone": _zone,
    "dead space": _dead_space,
}


def _angles(text: str, setting: Setting) -> str:
    match = re.fullmatch("([0-9]{2}) to ([0-9]{2})", text)
    if match is None or not int(setting.low) <= int(match[1]) <= int(match[2]) <= int(setting.high):
        raise UnitError(f"'{text}'.", f"Write degrees as {setting.low} to {setting.high}.")
    return text


def _range(text: str, setting: Setting) -> Range:
    kind = setting.kind.removeprefix("range ")
    parts = text.split(" to ")
    if len(parts) != 2:
        raise UnitError(f"'{text}' is not a range.", f"Write: {setting.low} to {setting.high}.")
    low = _bounded(read_quantity(parts[0], kind), setting)
    high = _bounded(read_quantity(parts[1], kind), setting)
    if low.unit != high.unit or low > high:
        raise UnitError(f"'{text}': the first must be the smaller, in one unit.", "")
    return Range(low, high)


def _bounded(quantity: Quantity, setting: Setting) -> Quantity:
    kind = quantity.kind
    low, high = read_quantity(setting.low, kind), read_quantity(setting.high, kind)
    if not low.to(quantity.unit).value <= quantity.value <= high.to(quantity.unit).value:
        raise UnitError(f"{quantity} is outside what is in use.", f"Write {low} to {high}.")
    if setting.whole_days and quantity.to("d").value % 1:
        raise UnitError(f"{quantity} is not a number of whole days.", "Write days, such as 28 d.")
    return quantity
