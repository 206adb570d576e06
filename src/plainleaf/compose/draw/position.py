"""Head and chest raised while feeding, at the facility's own angle."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import cos, radians, sin

from plainleaf.compose.draw.canvas import HEAVY, THIN, Canvas, Lettering, Point, num
from plainleaf.compose.draw.drawing_shapes import arc, barrel, fluid
from plainleaf.compose.draw.picture_facts import Angle

Labels = Mapping[str, Sequence[str]]

HEIGHT = 170.0
PIVOT: Point = (176.0, 142.0)
_LIMB = 24.0


def drawn_angle(angle: Angle) -> float:
    """Degrees of the back in the picture: the middle of what the facility asks for."""
    return (angle.low + angle.high) / 2


def _along(degrees: float, far: float, up: float) -> Point:
    """A point `far` along the raised back and `up` from it."""
    a = radians(degrees)
    return PIVOT[0] - far * cos(a) + up * sin(a), PIVOT[1] - far * sin(a) - up * cos(a)


def _joined(points: Sequence[Point]) -> str:
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points)


def _bed(canvas: Canvas, degrees: float) -> None:
    """A bed with its head end raised; the mattress is one pipe with a bend."""
    far = _along(degrees, 150, -6)
    canvas.line((40, 160), (350, 160))
    for x in (62, 328):
        canvas.line((x, 160), (x, 168))
    canvas.pipe(_joined([far, (PIVOT[0], PIVOT[1] + 6), (350, PIVOT[1] + 6)]), 9)
    end = _along(degrees, 150, 0)
    canvas.line(PIVOT, end, "back", weight=THIN)


def _person(canvas: Canvas, degrees: float, *, child: bool) -> Point:
    """A person on the bed, drawn as one outline; gives the point of the belly."""
    size = 0.74 if child else 1.0
    limb = _LIMB * size
    up = limb / 2 + 2
    hip = (PIVOT[0] + 4, PIVOT[1] - up)
    shoulder = _along(degrees, 78 * size, up + 2)
    knee = (PIVOT[0] + 62 * size, PIVOT[1] - 44 * size)
    foot = (PIVOT[0] + 112 * size, PIVOT[1] - limb / 2 + 2)
    toe = (foot[0] + 4, foot[1] - 12 * size)
    trunk = _joined([shoulder, hip])
    legs = _joined([hip, knee, foot, toe])
    for extra, color in ((2 * HEAVY, "#000"), (0.0, "#fff")):
        for d, wide in ((trunk, limb + 8), (legs, limb - 4)):
            canvas.stroke(d, wide + extra, color)
    head = _along(degrees, 78 * size + (32 if child else 37), 23)
    canvas.circle(head, 19, "head")
    eye = (head[0] + 7, head[1] - 3)
    canvas.circle(eye, 1.8, weight=0, fill="#000")
    elbow = _along(degrees, 34 * size, up - 1)
    hand = (PIVOT[0] + 30 * size, PIVOT[1] - up - 8)
    canvas.path(_joined([_along(degrees, 70 * size, up + 2), elbow, hand]), weight=THIN)
    return _along(degrees, 30 * size, up + limb / 2 + 5)


def _arm(canvas: Canvas, degrees: float) -> None:
    """The arm that holds an infant: from the shoulder down to the elbow, and along the back."""
    elbow = _along(degrees, 132, -10)
    hand = (PIVOT[0] + 34, PIVOT[1] + 4)
    upper = (elbow[0] - 6, max(elbow[1] - 52, 16.0))
    path = _joined([upper, elbow, (PIVOT[0], PIVOT[1] + 8), hand])
    canvas.stroke(path, 22 + 2 * HEAVY, "#000", "arm")
    canvas.stroke(path, 22, "#fff")
    canvas.line(PIVOT, _along(degrees, 150, 0), "back", weight=THIN)


def _infant(canvas: Canvas, degrees: float) -> Point:
    """An infant on the arm, drawn as one outline; gives the point of the belly."""
    hip, shoulder = _along(degrees, 10, 17), _along(degrees, 62, 17)
    knee = (hip[0] + 30, hip[1] - 20)
    foot = (hip[0] + 44, hip[1] + 6)
    for extra, color in ((2 * HEAVY, "#000"), (0.0, "#fff")):
        canvas.stroke(_joined([shoulder, hip]), 30 + extra, color)
        canvas.stroke(_joined([hip, knee, foot]), 16 + extra, color)
    head = _along(degrees, 97, 20)
    canvas.circle(head, 23, "head")
    canvas.circle((head[0] + 8, head[1] - 3), 1.8, weight=0, fill="#000")
    canvas.path(_joined([_along(degrees, 58, 22), _along(degrees, 34, 36)]), weight=THIN)
    return _along(degrees, 26, 33)


def _source(canvas: Canvas, belly: Point, source: str) -> None:
    """What the feeding comes from: a hanging bag, or a syringe barrel held up."""
    if source == "syringe":
        barrel(canvas, 262, 70, width=22, height=42, filled=24)
        start = (262, 70)
    else:
        canvas.line((262, 2), (262, 10), weight=THIN)
        canvas.rect(244, 10, 36, 44, "bag", r=6, fill="#fff")
        fluid(canvas, 246, 26, 32, 22)
        start = (262, 55)
    x, y = start
    canvas.path(
        f"M{num(x)} {num(y)}C{num(x)} {num(y + 40)} {num(belly[0] + 40)} {num(belly[1] + 4)} "
        f"{num(belly[0])} {num(belly[1])}",
        "tube",
    )
    canvas.circle(belly, 3, weight=0, fill="#000")


def sitting(angle: Angle, labels: Labels, lettering: Lettering) -> Canvas:
    """A person, or an infant on an arm, with head and chest raised, and the angle from flat."""
    canvas = Canvas(HEIGHT, lettering)
    degrees = drawn_angle(angle)
    if angle.infant:
        _arm(canvas, degrees)
        belly = _infant(canvas, degrees)
    else:
        _bed(canvas, degrees)
        belly = _person(canvas, degrees, child=angle.child)
    _source(canvas, belly, angle.source)
    pivot = (PIVOT[0], PIVOT[1] + 6)
    canvas.line(pivot, (pivot[0] - 136, pivot[1]), "flat", weight=THIN, dash="5 4")
    canvas.path(arc(pivot, 92, 270, 270 + degrees), "arc")
    bottom = canvas.block(labels["angle"], 304, 26, 164, bold=1, part="angle")
    canvas.height = max(canvas.height, bottom)
    return canvas
