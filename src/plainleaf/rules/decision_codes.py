"""Codes that bind a decision to the values that its findings looked at."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from hashlib import sha256

from plainleaf.facts.notebook import Looks

_ITEM = re.compile(r"([a-z_]+)\[([0-9]+)\]")
# An item of a list at the beginning of a place.
_LEADING = re.compile(r"([a-z_]+)\[[0-9]+\]")


def looks_apart(looks: Looks, apart: Sequence[str], beside: Sequence[str] = ()) -> Looks:
    """What was looked at for one thing of a list: nothing of other things of that list.

    Where it stands in the list does not count, so that another line before it changes nothing.

    Args:
        looks: All that was looked at.
        apart: Keys of the thing, such as `medicines[2]`; empty where it is about the whole file.
        beside: Keys of other things that it was held against.
    """
    items = [match for key in (*apart, *beside) if (match := _ITEM.match(key)) is not None]
    kept = {match[0]: f"{match[1]}.{place}" for place, match in enumerate(items)}
    lists = {match[1] for match in items}
    return {
        _renamed(place, kept): value
        for place, value in looks.items()
        if _of_list(place) not in lists or _item(place) in kept
    }


def _item(place: str) -> str:
    match = _LEADING.match(place)
    return "" if match is None else match[0]


def _of_list(place: str) -> str:
    """The list that a place is in, or that it is as a whole."""
    match = _LEADING.match(place)
    return place if match is None else match[1]


def _renamed(place: str, kept: Mapping[str, str]) -> str:
    item = _item(place)
    return kept[item] + place.removeprefix(item) if item in kept else place


def code_of(identity: str, looked_at: Sequence[Looks]) -> str:
    """The code of a decision about findings of one id.

    Args:
        looked_at: What each of them looked at, in file order.

    >>> code_of("size-unusual", [{"tube.size": "9 Fr"}])
    'cbd5533'
    """
    text = json.dumps([identity, [sorted(looks.items()) for looks in looked_at]])
    return f"c{sha256(text.encode()).hexdigest()[:6]}"
