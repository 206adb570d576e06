"""Every single change of nested data: the place of each value, and the data with one changed."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

# As a value of a change: take the key out.
REMOVE = object()


def spots(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The place of every value."""
    pairs = data.items() if isinstance(data, dict) else enumerate(data)
    for key, value in pairs:
        yield (*path, key)
        if isinstance(value, dict | list):
            yield from spots(value, (*path, key))


def changed(data: Any, path: tuple[Any, ...], value: Any) -> Any:
    """The data with one value changed; REMOVE takes it out."""
    new = copy.deepcopy(data)
    holder = new
    for key in path[:-1]:
        holder = holder[key]
    if value is REMOVE:
        del holder[path[-1]]
    else:
        holder[path[-1]] = value
    return new
