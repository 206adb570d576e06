"""Shapes that several pictures share: arrows, signs, connector, syringe barrel, drops."""

from __future__ import annotations

from math import cos, radians, sin

from plainleaf.compose.draw.canvas import GREY, HEAVY, THIN, Canvas, Point, num


def polar(center: Point, r: float, degrees: float) -> Point:
    """The point at an angle counted clockwise from twelve o'clock.

    >>> x, y = polar((0, 0), 10, 90)
    >>> round(x), round(y)
    (10, 0)
    """
    return center[0] + r * sin(radians(degrees)), center[1] - r * cos(radians(degrees))


def arc(center: Point, r: float, start: float, end: float) -> str:
    """Path of a clockwise arc between two angles from twelve o'clock (counter if end < start)."""
    a, b = polar(center, r, start), polar(center, r, end)
    large = 1 if abs(end - start) > 180 else 0
    sweep = 1 if end > start else 0
    return f"M{num(a[0])} {num(a[1])}A{num(r)} {num(r)} 0 {large} {sweep} {num(b[0])} {num(b[1])}"


def head(canvas: Canvas, tip: Point, degrees: float, size: float = 11.0, part: str = "") -> None:
    """A filled arrow head; the angle is where it points, clockwise from up."""
    left_tip, right = polar(tip, size, degrees + 153), polar(tip, size, degrees - 153)
    d = (
        f"M{num(tip[0])} {num(tip[1])}L{num(left_tip[0])} {num(left_tip[1])}"
        f"L{num(right[0])} {num(right[1])}Z"
    )
    canvas.path(d, part, weight=0, fill="#000")


def arrow(canvas: Canvas, start: Point, end: Point, part: str = "arrow") -> None:
    """A straight heavy arrow; only level or upright."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    degrees = 90 if dx > 0 else 270 if dx < 0 else 180 if dy > 0 else 0
    back = polar(end, 8, degrees + 180)
    canvas.line(start, back, part)
    head(canvas, end, degrees)


def never(canvas: Canvas, center: Point, r: float = 13.0) -> None:
    """The shape for never: a ring with a bar, drawn anew after the open convention."""
    canvas.circle(center, r, "never")
    a, b = polar(center, r, 315), polar(center, r, 135)
    canvas.line(a, b)


def drop(
    canvas: Canvas, center: Point, size: float, part: str = "drop", fill: str = "#fff"
) -> None:
    """A drop with its round end down; `at` is its middle."""
    x, y = center
    s = size
    d = (
        f"M{num(x)} {num(y - s)}C{num(x + 0.25 * s)} {num(y - 0.45 * s)} {num(x + 0.62 * s)} "
        f"{num(y - 0.1 * s)} {num(x + 0.62 * s)} {num(y + 0.35 * s)}"
        f"A{num(0.62 * s)} {num(0.62 * s)} 0 1 1 {num(x - 0.62 * s)} {num(y + 0.35 * s)}"
        f"C{num(x - 0.62 * s)} {num(y - 0.1 * s)} {num(x - 0.25 * s)} {num(y - 0.45 * s)} "
        f"{num(x)} {num(y - s)}Z"
    )
    canvas.path(d, part, weight=THIN, fill=fill)


def fluid(canvas: Canvas, x: float, y: float, w: float, h: float, part: str = "fluid") -> None:
    """A box of fluid: one light grey, which stays apart from white in grey and in one bit."""
    canvas.rect(x, y, w, h, part, weight=0, fill=GREY)


def barrel(
    canvas: Canvas, x: float, bottom: float, *, width: float = 34.0, height: float = 74.0,
    filled: float = 0.0, part: str = "barrel",
) -> None:  # fmt: skip
    """An upright syringe barrel without its plunger, tip down, its tip ending at `bottom`.

    Args:
        x: Middle of the barrel.
        filled: Height of the fluid in it, from its floor.
    """
    floor = bottom - 16
    top = floor - height
    left_edge = x - width / 2
    canvas.rect(x - 5, floor - 1, 10, 17, weight=HEAVY)
    canvas.rect(left_edge, top, width, height, part, r=3)
    if filled:
        fluid(canvas, left_edge + 1, floor - filled, width - 2, filled - 1)
        canvas.line(
            (left_edge, floor - filled), (left_edge + width, floor - filled), "level", weight=THIN
        )
    canvas.line((left_edge - 8, top), (left_edge + width + 8, top))


def connector(canvas: Canvas, x: float, y: float, part: str) -> None:
    """The open end of a tube, lying level, its opening to the left at `x`."""
    canvas.rect(x, y - 11, 26, 22, part, r=3)
    for rib_x in (x + 7, x + 13, x + 19):
        canvas.line((rib_x, y - 7), (rib_x, y + 7), weight=THIN)


def clamp(canvas: Canvas, x: float, y: float) -> None:
    """A slide clamp on a level tube."""
    canvas.rect(x - 7, y - 19, 14, 38, "clamp", r=5)
    canvas.line((x, y - 11), (x, y + 11), weight=THIN)
