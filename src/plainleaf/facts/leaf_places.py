"""The typed key that stands behind a place of a record: records call some keys otherwise."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator

# A part of a place → what the file calls it; several where either may be written.
_CALLED: dict[str, tuple[str, ...]] = {
    "person": ("patient",),
    "feeding_stops": ("if_feeding_stops",),
    "lasts": ("for",),
    "begins": ("from",),
    "ends": ("until",),
    "on": ("date",),
    "mix": ("in",),
    "other": ("with",),
    "mouth": ("by_mouth",),
    "mouth_until": ("by_mouth_until",),
    "reasons": ("for",),
    "as_needed": ("times",),
    "tied": ("times",),
    "cartons": ("amount",),
    "hands_on": ("duties",),
    "conditions_recorded": ("conditions",),
    "extras": ("extra",),
    "extra": ("extra", "extra[0]"),
    "open": ("hours",),
    "through": ("through", "route"),
    "route": ("route", "through"),
    "place": ("place", "where"),
    "day": ("when",),
    "what": ("what", "kind"),
}
_WHOLE = {"prepared_on": "prepared.at", "prepared_by": "prepared.by"}
_PART = re.compile(r"([^.\[\]]+)(\[\d+\])?")
_SIGNED = re.compile(r"(settled\[\d+\])\.decided\[\d+\]\.(by|with|date)")


def typed_behind(place: str, typed: Collection[str]) -> Iterator[str]:
    """The typed keys that a place of a record shows.

    What is read of an entry of the facility, such as a contact, shows the name that points to it.

    >>> list(typed_behind("feeding[0].steps[1].lasts", ["feeding[0].steps[1].for"]))
    ['feeding[0].steps[1].for']
    >>> list(typed_behind("contacts.clinic.phone", ["contacts.clinic"]))
    ['contacts.clinic']
    """
    for key in _keys_of(place):
        while key:
            if key in typed:
                yield key
                break
            key = _holder(key)


def name_in_file(name: str) -> str:
    """What the file calls a key of a record.

    >>> name_in_file("mix"), name_in_file("medicine_least"), name_in_file("dose")
    ('in', 'medicine', 'dose')
    """
    plain = name.removesuffix("_least")
    return _CALLED.get(plain, (plain,))[0]


def _holder(key: str) -> str:
    """The value that a key stands in: a pointer, or a list with numbers of its own."""
    cut = max(key.rfind("."), key.rfind("["))
    return key[:cut] if cut > 0 else ""


def _keys_of(place: str) -> Iterable[str]:
    """What the file may call a place; a word of a list stands in its list."""
    head, _, word = place.partition(" ")
    if head in _WHOLE:
        return [_WHOLE[head]]
    keys = [""]
    for part in head.replace(".fields.", ".").split("."):
        keys = [f"{key}.{called}".lstrip(".") for key in keys for called in _called(part)]
    keys += [f"{match[1]}.{match[2]}" for key in keys if (match := _SIGNED.fullmatch(key))]
    return [*([f"{key} {word}" for key in keys] if word else []), *keys]


def _called(part: str) -> Iterator[str]:
    match = _PART.fullmatch(part)
    if match is None:
        yield part
        return
    name, number = match[1].removesuffix("_least"), match[2] or ""
    for called in _CALLED.get(name, (name,)):
        yield called + number
        if number and name in ("extras", "extra"):
            yield called
