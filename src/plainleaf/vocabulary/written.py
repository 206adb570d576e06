"""Records of what a file says, whose text form does not change when a later format adds a field.

A packet's version is a digest of that text, so a file of an earlier format keeps its version.
"""

from __future__ import annotations

from dataclasses import MISSING, fields

# Metadata of a field that a later format added: its default is not part of the text form.
LATER = {"later": True}


class Written:
    """A frozen record that shows its fields but for later ones that hold their default."""

    def __repr__(self) -> str:
        shown = []
        for part in fields(self):  # type: ignore[arg-type]
            value = getattr(self, part.name)
            default = None if part.default is MISSING else part.default
            if not part.metadata.get("later") or value != default:
                shown.append(f"{part.name}={value!r}")
        return f"{type(self).__qualname__}({', '.join(shown)})"
