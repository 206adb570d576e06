"""The body from the front with stomach and bowel, and where this tube ends.

The stomach lies on the person's left, which is the right side of the picture; nothing here is
ever mirrored.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plainleaf.compose.draw.canvas import (
    HEAVY,
    THIN,
    Canvas,
    Lettering,
    Point,
    num,
    stacked,
)
from plainleaf.compose.draw.picture_facts import TubeLook

Labels = Mapping[str, Sequence[str]]

HEIGHT = 236.0
_SIDE = 140.0
_LEFT_EDGE, _RIGHT_EDGE = 140.0, 334.0
# Outline of the trunk, right half, from neck to hip; the left half is its mirror about x = 235.
_HALF: tuple[Point, ...] = (
    (254, 2), (254, 20), (262, 26), (282, 32),
    (304, 38), (320, 44), (326, 66),
)  # fmt: skip
STOMACH = (
    "M240 84C241 66 276 60 286 82C293 100 288 132 262 145C247 152 230 151 213 146"
    "L214 134C232 137 244 126 242 106C241 98 240 92 240 84Z"
)
# Middle line of the bowel: the piece past the stomach, then the loops.
_FIRST = "M212 140C194 134 184 142 184 154C184 170 198 174 216 173C238 172 252 170 262 170"
_LOOPS = (
    "C284 170 284 189 262 189C244 189 222 189 204 189C184 189 184 208 204 208"
    "C226 208 244 208 262 208C284 208 284 226 262 226C240 226 222 226 206 226"
)
BOWEL = _FIRST + _LOOPS
BOWEL_WIDTH = 13.0
_INTO_STOMACH: Point = (262, 112)
_INTO_BOWEL: Point = (278, 179.5)
TIPS: dict[str, Point] = {"gastric": (250, 132), "jejunal": (222, 189)}


def _mirrored(points: Sequence[Point]) -> list[Point]:
    return [(470 - x, y) for x, y in points]


def _curve(points: Sequence[Point]) -> str:
    start, *rest = points
    pairs = " ".join(f"{num(x)} {num(y)}" for x, y in rest)
    return f"M{num(start[0])} {num(start[1])}C{pairs}"


def _trunk(canvas: Canvas) -> None:
    for half in (_HALF, _mirrored(_HALF)):
        canvas.path(_curve(half), "trunk")
    for mirrored in (False, True):

        def side(x: float, mirrored: bool = mirrored) -> float:
            return 470 - x if mirrored else x

        arm = f"M{num(side(326))} 66L{num(side(332))} 112"
        flank = (
            f"M{num(side(312))} 118L{num(side(306))} 78C{num(side(304))} 112 {num(side(306))} 140 "
            f"{num(side(304))} 164C{num(side(303))} 190 {num(side(310))} 212 {num(side(312))} 235"
        )
        canvas.path(arm)
        canvas.path(flank)


def _organs(canvas: Canvas) -> None:
    canvas.pipe("M235 4L236 60C236 72 240 76 248 84", 7, "gullet", weight=THIN)
    canvas.pipe(BOWEL, BOWEL_WIDTH, "bowel", weight=THIN)
    canvas.path(STOMACH, "stomach", fill="#fff")


def _inside(canvas: Canvas, look: TubeLook) -> None:
    """The part of the tube within: a heavy line to each place where it ends."""
    gx, gy = _INTO_STOMACH
    if "gastric" in look.ports:
        canvas.line((gx, gy), TIPS["gastric"], "inner")
    if look.kind == "gastrojejunostomy":
        canvas.path(
            f"M{num(gx)} {num(gy)}C258 134 240 144 212 140"
            + _FIRST.removeprefix("M212 140")
            + "C284 170 284 189 262 189L222 189",
            "inner",
        )
    elif look.kind == "jejunostomy":
        x, y = _INTO_BOWEL
        canvas.path(f"M{num(x)} {num(y)}C276 188 270 189 262 189L222 189", "inner")
    for port in look.ports:
        canvas.circle(TIPS[port], 5, f"tip-{port}", weight=0, fill="#000")


def _outside(canvas: Canvas, look: TubeLook) -> None:
    x, y = _INTO_BOWEL if look.kind == "jejunostomy" else _INTO_STOMACH
    if not look.button:
        canvas.pipe(f"M{num(x)} {num(y)}C{num(x + 40)} {num(y)} 326 176 322 214", 5, "tube")
        canvas.rect(315, 212, 14, 18, "connector", r=2)
    canvas.circle((x, y), 8, "opening", weight=HEAVY)
    canvas.circle((x, y), 2.5, weight=0, fill="#000")


def body_tube(look: TubeLook, labels: Labels, lettering: Lettering) -> Canvas:
    """Stomach, small bowel, the opening and where each path of the tube ends."""
    canvas = Canvas(HEIGHT, lettering)
    _trunk(canvas)
    _organs(canvas)
    _inside(canvas, look)
    _outside(canvas, look)
    opening = _INTO_BOWEL if look.kind == "jejunostomy" else _INTO_STOMACH
    left_labels: list[tuple[str, Point]] = []
    right: list[tuple[str, Point]] = [("stomach", (274, 84)), ("opening", opening)]
    if "gastric" in look.ports:
        left_labels.append(("tip-gastric", TIPS["gastric"]))
    if "jejunal" in look.ports:
        left_labels.append(("tip-jejunal", TIPS["jejunal"]))
    left_labels.append(("bowel", (190, 199)))
    bottom = max(
        _column(canvas, labels, left_labels, "left"),
        _column(canvas, labels, right, "right"),
        HEIGHT,
    )
    canvas.height = bottom
    return canvas


def _column(
    canvas: Canvas, labels: Labels, wanted: Sequence[tuple[str, Point]], side: str
) -> float:
    """Labels along one side of the picture with a line to what each names; gives the bottom."""
    width = _SIDE - 14 if side == "left" else canvas.width - _RIGHT_EDGE - 14
    heights = [canvas.block_height(labels[name], width) for name, _ in wanted]
    tops = stacked([(point[1], h) for (_, point), h in zip(wanted, heights, strict=True)], 0)
    bottom = 0.0
    for (name, point), top in zip(wanted, tops, strict=True):
        if side == "left":
            x, start, anchor = _LEFT_EDGE - 14, _LEFT_EDGE - 8, "end"
        else:
            x, start, anchor = _RIGHT_EDGE + 14, _RIGHT_EDGE + 8, "start"
        canvas.leader((start, top + canvas.lettering.middle), point)
        bottom = max(bottom, canvas.block(labels[name], x, top, width, anchor=anchor, part=name))
    return bottom
