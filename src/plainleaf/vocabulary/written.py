"""Records of what a file says, whose text form does not change when a later format adds a field.

A packet's version is a digest of that text, so a file of an earlier format keeps its version.
"""

from __future__ import annotations

from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from dataclasses import MISSING, fields, is_dataclass
from decimal import Decimal

from plainleaf.vocabulary.quantities import Quantity

# Metadata of a field that a later format added: its default is not part of the text form.
LATER = {"later": True}


class Written:
    """A frozen record that shows its fields but for later ones that hold their default."""

    def __repr__(self) -> str:
        shown = []
        for part in fields(self):  # type: ignore[arg-type]
            value = getattr(self, part.name)
            default = None if part.default is MISSING else part.default
            if part.compare and (not part.metadata.get("later") or value != default):
                shown.append(f"{part.name}={value!r}")
        return f"{type(self).__qualname__}({', '.join(shown)})"


def same_text(value: object) -> str:
    """A value as text that is the same for the same value, however it was written.

    >>> same_text(Quantity(Decimal("60.0"), "mL")), same_text(frozenset({"b", "a"}))
    ('60 mL', '{a, b}')
    """
    if isinstance(value, str):
        return value
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    if isinstance(value, Quantity):
        return f"{same_text(value.value)} {value.unit}"
    if isinstance(value, AbstractSet):
        return "{" + ", ".join(sorted(map(same_text, value))) + "}"
    if isinstance(value, Mapping):
        return same_text([f"{key}: {same_text(inner)}" for key, inner in sorted(value.items())])
    if isinstance(value, tuple | list):
        return "[" + ", ".join(map(same_text, value)) + "]"
    if is_dataclass(value) and not isinstance(value, type):
        compared = (part.name for part in fields(value) if part.compare)
        return same_text({name: getattr(value, name) for name in compared})
    return "" if value is None else str(value)
