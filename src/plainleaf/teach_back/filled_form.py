"""A form as it came back, whatever it was read with."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Filled:
    """A form as it came back.

    `values`: full field name → text; a tick box gives the name of its state. `printed`: packet
    versions that stand in the print of its pages, looked for only where the field for it is gone.
    """

    values: dict[str, str]
    printed: frozenset[str]
