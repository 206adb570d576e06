"""The closed list of pictures that a statement may show; `compose/draw` draws each."""

from __future__ import annotations

PICTURES: tuple[str, ...] = (
    "body-tube",
    "tube-parts",
    "sitting",
    "syringe-height",
    "flush-mark",
    "hang-clock",
    "twist-lock",
    "call",
    "day-strip",
    "skin-look",
    "mark-check",
    "vent",
)
