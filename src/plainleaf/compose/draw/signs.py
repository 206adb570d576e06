"""Which way a twist connector turns, seen by the person who turns it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plainleaf.compose.draw.canvas import THIN, Canvas, Lettering, Point
from plainleaf.compose.draw.drawing_shapes import arc, head, polar
from plainleaf.compose.draw.picture_facts import Call, Twist

Labels = Mapping[str, Sequence[str]]

_R = 34.0


def _cap(canvas: Canvas, center: Point) -> None:
    """A cap from above with a ribbed edge."""
    canvas.circle(center, _R, "cap")
    for number in range(18):
        canvas.line(
            polar(center, _R - 7, number * 20), polar(center, _R - 1, number * 20), weight=THIN
        )
    canvas.circle(center, _R - 12, weight=THIN)


def twist_lock(facts: Twist, labels: Labels, lettering: Lettering) -> Canvas:
    """Right closes, left opens; the turn is the same in every language."""
    canvas = Canvas(0, lettering)
    y, bottom = _R + 22, 0.0
    for x, name, right in ((118.0, "close", True), (352.0, "open", False)):
        center = (x, y)
        _cap(canvas, center)
        start, end = (-70, 52) if right else (70, -52)
        canvas.path(arc(center, _R + 13, start, end), f"turn-{name}")
        tip = 66 if right else -66
        head(canvas, polar(center, _R + 13, tip), tip + (97 if right else -97), 15, name)
        low = canvas.block(labels[name], x, y + _R + 8, 220, anchor="middle", bold=1, part=name)
        bottom = max(bottom, low)
    canvas.height = bottom
    return canvas


def call(facts: Call, labels: Labels, lettering: Lettering) -> Canvas:
    """A telephone receiver with its sound, no taller than a line of print."""
    canvas = Canvas(20, lettering, width=30)
    canvas.path(
        "M3 3C1 10 9 19 17 18L20 14L15 10L12 12C10 11 9 9 8.5 7.5L11 5.5L8 1Z",
        "receiver", weight=0, fill="#000",
    )  # fmt: skip
    canvas.path(arc((13, 8), 7, 40, 120), "sound", weight=THIN)
    canvas.path(arc((13, 8), 12, 45, 115), "sound", weight=THIN)
    return canvas
