"""The tube itself, cut open at the skin: ports by their job outside, what holds it inside.

A long tube lies level, its open ends to the left. A button sits on the skin, and its extension
tube lies below it. Only parts that this tube has are drawn.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plainleaf.compose.draw.canvas import HEAVY, THIN, Canvas, Lettering, num
from plainleaf.compose.draw.drawing_shapes import arrow, clamp, connector, never
from plainleaf.compose.draw.picture_facts import TubeLook

Labels = Mapping[str, Sequence[str]]

_PORT_X = 186.0
_LABEL_WIDTH = 172.0
_SKIN_X, _SKIN_WIDTH = 366.0, 18.0
_INSIDE = _SKIN_X + _SKIN_WIDTH
# Half the outside width of the tube in the picture.
_HALF_TUBE = 7.0
_ROW_GAP = 10.0
# The clamp on a tube of one limb; on each limb of a tube of two, and where these meet.
_CLAMP_X, _LIMB_CLAMP_X = 264.0, 226.0
_MEET, _LIMBS_MEET = 246.0, 286.0


def _skin(canvas: Canvas, y: float, half: float) -> None:
    """The wall of the belly, cut: two upright lines with the hole for the tube, hatched."""
    for x in (_SKIN_X, _INSIDE):
        for top, bottom in ((y - half, y - _HALF_TUBE), (y + _HALF_TUBE, y + half)):
            canvas.line((x, top), (x, bottom), "skin")
    for start, end in ((y - half, y - _HALF_TUBE - 6), (y + _HALF_TUBE + 4, y + half - 6)):
        hatch_x = start + 4
        while hatch_x <= end:
            canvas.line((_SKIN_X, hatch_x + 5), (_INSIDE, hatch_x - 5 + 4), weight=THIN)
            hatch_x += 9


def _held(canvas: Canvas, look: TubeLook, y: float, start: float) -> None:
    """What keeps the tube in, and the tube from `start` to its end inside."""
    x = _INSIDE
    end = x + (78 if look.kind == "gastrojejunostomy" else 46)
    if look.held_by == "balloon":
        canvas.ellipse((x + 22, y), 20, 30, "balloon")
    canvas.pipe(f"M{num(start)} {num(y)}L{num(end)} {num(y)}", 2 * _HALF_TUBE - 5, "shaft")
    if look.held_by == "bumper":
        canvas.path(
            f"M{num(x + 3)} {num(y - 26)}C{num(x + 26)} {num(y - 26)} {num(x + 34)} {num(y - 12)} "
            f"{num(x + 34)} {num(y)}C{num(x + 34)} {num(y + 12)} {num(x + 26)} {num(y + 26)} "
            f"{num(x + 3)} {num(y + 26)}Z",
            "bumper",
            fill="#fff",
        )
    if look.kind == "gastrojejunostomy":
        canvas.circle((x + 50, y), 2.6, "hole", weight=0, fill="#000")
        canvas.circle((x + 58, y), 2.6, weight=0, fill="#000")


def _stitches(canvas: Canvas, y: float) -> None:
    """Thread from the skin, tied round the tube; on one side, so that the mark is free."""
    x = _SKIN_X - 14
    canvas.path(
        f"M{num(_SKIN_X + 6)} {num(y - 20)}C{num(x + 4)} {num(y - 26)} "
        f"{num(x)} {num(y - 18)} {num(x)} {num(y - 7)}",
        "stitches",
    )
    for shift in (-3, 3):
        canvas.line((x + shift, y - 7), (x + shift, y + 7), weight=THIN)


def _rows(canvas: Canvas, look: TubeLook, labels: Labels) -> list[tuple[str, float]]:
    """Ports from top to bottom with the height of their labels; the balloon port comes last."""
    names = [f"port-{port}" for port in look.ports] + (["port-balloon"] if look.balloon else [])
    return [(name, max(canvas.block_height(labels[name], _LABEL_WIDTH, 1), 30.0)) for name in names]


def _port(canvas: Canvas, name: str, x: float, y: float) -> None:
    if name == "port-balloon":
        canvas.rect(x, y - 7, 20, 14, name, r=1)
        canvas.rect(x - 6, y - 10, 7, 20, r=1)
        never(canvas, (x + 54, y + 6))
    else:
        connector(canvas, x, y, name)


def tube_parts(look: TubeLook, labels: Labels, lettering: Lettering) -> Canvas:
    """The tube with its parts; the port labels say what each port is for."""
    canvas = Canvas(200, lettering)
    if look.button:
        _button(canvas, look, labels)
    else:
        _long(canvas, look, labels)
    return canvas


def _above(canvas: Canvas, labels: Labels, places: Sequence[tuple[str, float, float]]) -> float:
    """Labels over the drawing, centred at x in a width, with a common floor; gives the floor."""
    present = [place for place in places if place[0] in labels]
    floor = max((canvas.block_height(labels[n], w) for n, _, w in present), default=0.0)
    for name, x, width in present:
        top = floor - canvas.block_height(labels[name], width)
        # A long word keeps inside the picture.
        x = min(x, canvas.width - canvas.widest(labels[name], width) / 2)
        canvas.block(labels[name], x, top, width, anchor="middle", part=name)
    return floor


def _long(canvas: Canvas, look: TubeLook, labels: Labels) -> None:
    inside = "stitches" if look.held_by == "stitches" else look.held_by
    inside_x = _SKIN_X - 8 if inside == "stitches" else _INSIDE + 34
    clamp_x = _LIMB_CLAMP_X + 14 if len(look.ports) > 1 else _CLAMP_X - 6
    above = [("clamp", clamp_x, 110.0), (inside, inside_x + 14, 88.0)]
    if look.outer_disc:
        above.insert(1, ("disc", 346.0, 64.0))
    floor = _above(canvas, labels, above)
    rows = _rows(canvas, look, labels)
    height = sum(h for _, h in rows) + _ROW_GAP * (len(rows) - 1)
    top = max(0.0, floor + 66 - height / 2) if floor else 0.0
    y = max(top + height / 2, floor + 56)
    if len(look.ports) > 1:
        # The clamp of the upper limb stands clear of its label.
        y = max(y, floor + 36 - rows[0][1] / 2 + height / 2)
    top = y - height / 2
    _shaft(canvas, look, y, floor)
    _branches(canvas, look, labels, rows, (top, y))
    _clamps(canvas, look, rows, (top, y), floor)
    canvas.height = max(top + height, _below(canvas, look, labels, y)) + 2


def _clamps(
    canvas: Canvas,
    look: TubeLook,
    rows: Sequence[tuple[str, float]],
    fork: tuple[float, float],
    floor: float,
) -> None:
    """A clamp on the tube; where two limbs meet, one on each, because each port is closed alone.

    Args:
        at: Top of the first row, and the height of the tube.
    """
    top, y = fork
    if len(look.ports) == 1:
        clamp(canvas, _CLAMP_X, y)
        canvas.leader((_CLAMP_X, floor + 4), (_CLAMP_X, y - 16))
        return
    for number, (_, height) in enumerate(rows[: len(look.ports)]):
        middle = top + height / 2
        clamp(canvas, _LIMB_CLAMP_X, middle)
        if number == 0:
            canvas.leader((_LIMB_CLAMP_X + 6, floor + 4), (_LIMB_CLAMP_X, middle - 16))
        top += height + _ROW_GAP


def _shaft(canvas: Canvas, look: TubeLook, y: float, floor: float) -> None:
    _skin(canvas, y, 50)
    _held(canvas, look, y, (_LIMBS_MEET if len(look.ports) > 1 else _MEET) - 2)
    if look.outer_disc:
        canvas.rect(_SKIN_X - 19, y - 24, 8, 48, "disc", r=3)
        canvas.leader((346, floor + 4), (_SKIN_X - 15, y - 18))
    if look.held_by == "stitches":
        _stitches(canvas, y)
        canvas.leader((_SKIN_X, floor + 4), (_SKIN_X - 9, y - 21))
    else:
        canvas.leader((_INSIDE + 44, floor + 4), (_INSIDE + 24, y - 20))


def _branches(
    canvas: Canvas,
    look: TubeLook,
    labels: Labels,
    rows: Sequence[tuple[str, float]],
    fork: tuple[float, float],
) -> None:
    """One branch of the tube to each port, with the port's label to its left; `at` as above."""
    top, y = fork
    straight, meet = (242.0, _LIMBS_MEET) if len(look.ports) > 1 else (0.0, _MEET)
    ends = []
    for name, height in rows:
        middle = top + height / 2
        ends.append((name, middle))
        canvas.block(labels[name], _PORT_X - 10, top, _LABEL_WIDTH, anchor="end", bold=1, part=name)
        top += height + _ROW_GAP
    paths = []
    for name, middle in ends:
        start = _PORT_X + (22 if name == "port-balloon" else 26)
        inner = 4.0 if name == "port-balloon" else 2 * _HALF_TUBE - 5
        # The branch to the balloon has no clamp, and turns before the sign beside it.
        bend = start if name == "port-balloon" else max(start, straight)
        d = (
            f"M{num(start)} {num(middle)}L{num(bend)} {num(middle)}"
            f"C{num(bend + 20)} {num(middle)} {num(meet - 20)} {num(y)} {num(meet)} {num(y)}"
        )
        paths.append((d, inner))
    for d, inner in paths:
        canvas.stroke(d, inner + 2 * HEAVY, "#000", "branch", cap="butt")
    # White over all of them: the branches open into one tube.
    for d, inner in paths:
        canvas.stroke(f"{d}L{num(meet + 4)} {num(y)}", inner, "#fff", cap="butt")
    for name, middle in ends:
        _port(canvas, name, _PORT_X + (4 if name == "port-balloon" else 0), middle)


def _below(canvas: Canvas, look: TubeLook, labels: Labels, y: float) -> float:
    """The mark with its number, the skin, and where the tube goes on to."""
    bottom = y + 50
    top = y + 60
    if look.mark is not None and "mark" in labels:
        canvas.line((_SKIN_X - 5, y - 6), (_SKIN_X - 5, y + 6), "mark-line")
        # Between the disc and the skin.
        canvas.leader((352, top), (_SKIN_X - 5, y + 7))
        bottom = max(bottom, canvas.block(labels["mark"], 322, top, 92, anchor="middle",
                                          part="mark"))  # fmt: skip
    canvas.leader((_SKIN_X + 26, top), (_SKIN_X + 9, y + 40))
    bottom = max(bottom, canvas.block(labels["skin"], 420, top, 92, anchor="middle", part="skin"))
    return bottom


def _button(canvas: Canvas, look: TubeLook, labels: Labels) -> None:
    rows = _rows(canvas, look, labels)
    floor = _above(canvas, labels, [(look.held_by, 424.0, 92.0)])
    height = sum(h for _, h in rows) + _ROW_GAP * (len(rows) - 1)
    y = max(floor + 44, height / 2)
    _skin(canvas, y, 42)
    _held(canvas, look, y, _SKIN_X - 4)
    canvas.leader((_INSIDE + 44, floor + 4), (_INSIDE + 24, y - 20))
    _button_ports(canvas, labels, rows, y, height)
    below = max(y + height / 2, y + 44) + 14
    canvas.height = _extension(canvas, labels, below)


def _button_ports(
    canvas: Canvas, labels: Labels, rows: Sequence[tuple[str, float]], y: float, height: float
) -> None:
    """The button on the skin; each port is a short stub with a line to its label."""
    x = _SKIN_X - 18
    step = 26.0
    canvas.rect(x, y - 32, 17, 64, "button", r=6)
    top = y - height / 2
    for number, (name, h) in enumerate(rows):
        port_y = y + (number - (len(rows) - 1) / 2) * step
        canvas.block(labels[name], _LABEL_WIDTH, top, _LABEL_WIDTH, anchor="end", bold=1, part=name)
        if name == "port-balloon":
            canvas.rect(x - 12, port_y - 4, 12, 8, name, r=1)
            canvas.leader((_LABEL_WIDTH + 38, top + h / 2), (x - 14, port_y))
            never(canvas, (_LABEL_WIDTH + 23, top + h / 2))
        else:
            canvas.rect(x - 12, port_y - 9, 12, 18, name, r=2)
            canvas.leader((_LABEL_WIDTH + 8, top + h / 2), (x - 14, port_y))
        top += h + _ROW_GAP


def _extension(canvas: Canvas, labels: Labels, top: float) -> float:
    """The extension tube on its own, with its clamp, and an arrow up to the button."""
    y = top + 26
    canvas.pipe(f"M226 {num(y)}L332 {num(y)}", 2 * _HALF_TUBE - 5, "extension", cap="butt")
    connector(canvas, 202, y, "extension-end")
    clamp(canvas, 276, y)
    canvas.rect(330, y - 12, 12, 24, "lock", r=2)
    canvas.rect(342, y - 7, 9, 14, r=1)
    arrow(canvas, (346, y - 16), (346, top - 16))
    start = y - canvas.lettering.middle
    bottom = canvas.block(labels["extension"], _LABEL_WIDTH, start, _LABEL_WIDTH, anchor="end",
                          part="extension")  # fmt: skip
    bottom = max(bottom, canvas.block(labels["clamp"], 276, y + 22, 190, anchor="middle",
                                      part="clamp"))  # fmt: skip
    return bottom + 2
