"""Syringes: held high or low, filled to this patient's flush amounts, open to let air out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from plainleaf.compose.draw.canvas import THIN, Canvas, Lettering, num, stacked
from plainleaf.compose.draw.drawing_shapes import arrow, barrel, fluid, head
from plainleaf.compose.draw.picture_facts import Fills, Raised

Labels = Mapping[str, Sequence[str]]

# The large feeding syringe holds 60 mL (row syr-size); amounts up to 20 mL show its lower part.
FULL = Decimal(60)
LOWER_PART = Decimal(20)
_SCALE_HEIGHT = 114.0
_MOST_COLUMNS = 3


def _belly(canvas: Canvas, x: float, y: float, *, button: bool) -> None:
    """The belly of someone who lies or leans back, with the opening at `x`."""
    canvas.path(
        f"M{num(x - 84)} {num(y + 16)}C{num(x - 44)} {num(y - 4)} {num(x + 44)} {num(y - 4)} "
        f"{num(x + 84)} {num(y + 16)}",
        "belly",
    )
    wide = 13 if button else 16
    canvas.rect(x - wide, y - 7, 2 * wide, 7, "button" if button else "disc", r=3)


def _raised(canvas: Canvas, x: float, belly: float, bottom: float, *, button: bool) -> None:
    """A barrel over the belly on its tube, half full."""
    _belly(canvas, x, belly, button=button)
    middle = (belly + bottom) / 2
    canvas.pipe(
        f"M{num(x)} {num(bottom)}C{num(x)} {num(middle)} {num(x)} {num(middle)} {num(x)} "
        f"{num(belly - 7)}",
        4, "tube", cap="butt",
    )  # fmt: skip
    barrel(canvas, x, bottom, width=34, height=52, filled=34)


def _chevrons(canvas: Canvas, x: float, y: float, count: int) -> None:
    """Arrow heads down, more for faster."""
    for number in range(count):
        low = y + 15 * number
        canvas.path(f"M{num(x - 9)} {num(low)}L{num(x)} {num(low + 9)}L{num(x + 9)} {num(low)}",
                    "speed")  # fmt: skip


def syringe_height(facts: Raised, labels: Labels, lettering: Lettering) -> Canvas:
    """Two barrels over the belly: the higher one runs faster."""
    canvas = Canvas(0, lettering)
    belly = 158.0
    for x, bottom, count in ((120, 86.0, 3), (350, 132.0, 1)):
        _raised(canvas, x, belly, bottom, button=facts.button)
        _chevrons(canvas, x + 40, 40 if count == 3 else 92, count)
    bottom = belly + 18
    low = max(
        canvas.block(labels[name], x, bottom, 220, anchor="middle", bold=1, part=name)
        for x, name in ((120, "higher"), (350, "lower"))
    )
    canvas.height = low
    return canvas


def vent(facts: Raised, labels: Labels, lettering: Lettering) -> Canvas:
    """The open end of the tube over a towel, higher than the belly; air comes out."""
    canvas = Canvas(0, lettering)
    x, belly = 110.0, 156.0
    _belly(canvas, x, belly, button=facts.button)
    end = (x + 92, 62.0)
    canvas.pipe(
        f"M{num(x)} {num(belly - 7)}C{num(x)} 60 {num(x + 20)} 62 {num(end[0])} {num(end[1])}",
        5, "tube", cap="butt",
    )  # fmt: skip
    canvas.rect(end[0] - 4, end[1] - 9, 22, 18, "connector", r=2)
    for rib in (3, 9):
        canvas.line((end[0] + rib, end[1] - 5), (end[0] + rib, end[1] + 5), weight=THIN)
    for dx, y, r in ((27, 55, 3.5), (36, 42, 4.5), (30, 28, 4)):
        canvas.circle((end[0] + dx, y), r, "air", weight=THIN)
    arrow(canvas, (end[0] + 48, 40), (end[0] + 48, 8))
    low, high = end[0] - 14, end[1] + 20
    canvas.path(
        f"M{num(low)} {num(high)}L{num(low + 74)} {num(high)}L{num(low + 74)} {num(high + 34)}"
        f"L{num(low)} {num(high + 34)}Z",
        "towel",
    )
    canvas.path(f"M{num(low)} {num(high + 24)}L{num(low + 74)} {num(high + 24)}", weight=THIN)
    wanted = [
        ("air", (end[0] + 53, 24)),
        ("end", (end[0] + 18, end[1])),
        ("towel", (low + 68, high + 14)),
    ]
    right, width = 296.0, canvas.width - 296.0
    heights = [canvas.block_height(labels[name], width) for name, _ in wanted]
    tops = stacked([(point[1], h) for (_, point), h in zip(wanted, heights, strict=True)], 0)
    bottom = belly + 18
    for (name, point), top in zip(wanted, tops, strict=True):
        canvas.leader((right - 6, top + lettering.middle), point)
        bottom = max(bottom, canvas.block(labels[name], right, top, width, part=name))
    canvas.height = bottom
    return canvas


def scale_of(facts: Fills) -> Decimal:
    """The highest number of the drawn scale, in mL."""
    return LOWER_PART if max(facts.amounts) <= LOWER_PART else FULL


def level_of(amount: Decimal, scale: Decimal) -> float:
    """How high a drawn barrel is filled, in points; a full one for all that is more."""
    return float(min(amount, scale) / scale) * _SCALE_HEIGHT


def _marks(canvas: Canvas, x: float, floor: float, scale: Decimal) -> None:
    """The marks of the syringe with a number at every third or fourth long one."""
    step = 1 if scale == LOWER_PART else 5
    long, numbered = (5, 5) if scale == LOWER_PART else (10, 20)
    for ml in range(step, int(scale) + 1, step):
        y = floor - level_of(Decimal(ml), scale)
        canvas.line((x + 21 - (16 if ml % long == 0 else 9), y), (x + 21, y), weight=THIN)
        if ml % numbered == 0:
            canvas.text(str(ml), x + 27, y + canvas.lettering.sink, part="mark-number")


def _filled(
    canvas: Canvas, x: float, above: float, amount: Decimal, scale: Decimal, *, plunger: bool
) -> float:
    """One syringe, tip down, filled to an amount; gives the floor of its barrel."""
    top, cut = above + 8, scale == LOWER_PART
    floor = top + _SCALE_HEIGHT + 12
    level = level_of(amount, scale)
    canvas.rect(x - 6, floor - 1, 12, 16)
    canvas.rect(x - 21, top, 42, floor - top, "barrel", r=3)
    fluid(canvas, x - 20, floor - level, 40, level - 1)
    _marks(canvas, x, floor, scale)
    if plunger:
        canvas.rect(x - 20, floor - level - 8, 40, 8, "plunger", fill="#000", weight=0)
        canvas.rect(x - 4, top - 4, 8, max(floor - level - 4 - top, 4), weight=THIN)
    canvas.line((x - 21, floor - level), (x + 21, floor - level), "level")
    if cut:
        canvas.rect(x - 24, top - 5, 48, 9, weight=0)
        canvas.path(f"M{num(x - 26)} {num(top + 4)}l13 -5l13 5l13 -5l13 5", weight=THIN)
    else:
        canvas.line((x - 30, top), (x + 30, top))
    return floor


def flush_mark(facts: Fills, labels: Labels, lettering: Lettering) -> Canvas:
    """A syringe for each flush amount of the day, filled to its mark."""
    canvas = Canvas(0, lettering)
    bottom = 0.0
    for first in range(0, len(facts.amounts), _MOST_COLUMNS):
        row = range(first, min(first + _MOST_COLUMNS, len(facts.amounts)))
        bottom = _fill_row(canvas, facts, labels, row, bottom) + 4
    canvas.height = bottom
    return canvas


def _fill_row(
    canvas: Canvas, facts: Fills, labels: Labels, row: Sequence[int], top: float
) -> float:
    """Syringes side by side, each with its amount and what it is for; gives the bottom."""
    scale = scale_of(facts)
    column = canvas.width / len(row)
    bottom = top
    for place, number in enumerate(row):
        amount, lines, name = facts.amounts[number], labels[f"amount-{number}"], f"amount-{number}"
        x = column * (place + 0.5) + 14
        floor = _filled(canvas, x, top, amount, scale, plunger=facts.plunger)
        y = floor - level_of(amount, scale)
        canvas.line((x - 40, y), (x - 32, y), weight=THIN)
        head(canvas, (x - 23, y), 90)
        canvas.block(lines[:1], x - 42, y - canvas.lettering.middle, column, anchor="end", bold=1,
                     part=name)  # fmt: skip
        bottom = max(bottom, floor + 18)
        if not lines[1:]:
            continue
        width = min(column - 8, 240)
        low = canvas.block(lines[1:], x - 14, floor + 20, width, anchor="middle", part=name)
        bottom = max(bottom, low)
    return bottom
