"""The skin at the opening: how far redness may reach, and the number on the tube at the skin."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import ROUND_FLOOR, Decimal

from plainleaf.compose.draw.canvas import THIN, Canvas, Lettering, Point, num, stacked
from plainleaf.compose.draw.drawing_shapes import head, polar
from plainleaf.compose.draw.picture_facts import Skin, TubeLook

Labels = Mapping[str, Sequence[str]]

# One centimetre in points; the ring is drawn in its true size as long as it fits.
_CENTIMETRE = 72 / 2.54
_CENTER: Point = (235.0, 92.0)
_MOST_RADIUS = 84.0
_TUBE_RADIUS = 9.0


def limit_radius(limit: Decimal) -> float:
    """Points from the edge of the opening to the limit; true size up to what fits."""
    return min(float(limit) * _CENTIMETRE, _MOST_RADIUS - _TUBE_RADIUS)


def _opening(canvas: Canvas, center: Point) -> None:
    """The tube in its opening, seen from the front."""
    canvas.circle(center, _TUBE_RADIUS, "opening")
    canvas.circle(center, 3.5, "tube", weight=0, fill="#000")


def _redness(canvas: Canvas, center: Point, reach: float) -> None:
    """A small ring of short strokes round the opening, open where the measure lies."""
    for number in range(24):
        if number in (5, 6, 7):
            continue  # room for the measure
        near = polar(center, _TUBE_RADIUS + 4, number * 15)
        far = polar(center, _TUBE_RADIUS + reach, number * 15)
        canvas.line(near, far, "ring", weight=THIN)


# Directions in which skin buttons lie, clear of the measure, the arrows and the labels' lines.
_BUTTON_PLACES = (247.0, 20.0, 140.0, 293.0, 180.0, 340.0, 55.0, 112.0)
_BUTTON_RADIUS = 7.0


def _buttons_off(limit: Decimal) -> float:
    """Points from the middle of the opening to a skin button: clear of the line of the limit."""
    radius = _TUBE_RADIUS + limit_radius(limit)
    return 38.0 if radius > 50 else radius + _BUTTON_RADIUS + 5


def _buttons(canvas: Canvas, center: Point, facts: Skin) -> None:
    """Stitched buttons around the opening, each with its two threads."""
    for degrees in _BUTTON_PLACES[: facts.buttons]:
        x, y = polar(center, _buttons_off(facts.limit), degrees)
        canvas.circle((x, y), _BUTTON_RADIUS, "skin-button", weight=THIN)
        for side in (-2.2, 2.2):
            canvas.circle((x + side, y), 1.2, weight=0, fill="#000")


def skin_look(facts: Skin, labels: Labels, lettering: Lettering) -> Canvas:
    """A small ring at the opening, and the line that redness must not reach."""
    radius = _TUBE_RADIUS + limit_radius(facts.limit)
    half = max(radius, _buttons_off(facts.limit) + _BUTTON_RADIUS if facts.buttons else 0) + 4
    center = (_CENTER[0], half)
    canvas = Canvas(2 * half, lettering)
    canvas.ellipse(center, radius, radius, "limit", dash="7 6")
    _redness(canvas, center, 15)
    _opening(canvas, center)
    for degrees in (225, 315):
        start, end = polar(center, 36, degrees), polar(center, radius - 5, degrees)
        canvas.line(start, polar(end, 8, degrees + 180), "spread", weight=THIN)
        head(canvas, end, degrees, 10)
    _measure(canvas, center, radius)
    _buttons(canvas, center, facts)
    width = 135.0
    bottom = _left_labels(canvas, facts, labels, center, width)
    high = canvas.block_height(labels["limit"], width, 1)
    top = max(0.0, center[1] - high / 2)
    x, y = polar(center, radius, 60)
    canvas.leader((328, top + lettering.middle), (x, y))
    low = canvas.block(labels["limit"], 334, top, width, bold=1, part="limit")
    canvas.height = max(canvas.height, bottom, low)
    return canvas


def _left_labels(canvas: Canvas, facts: Skin, labels: Labels, center: Point, width: float) -> float:
    """The ring, and the skin buttons where there are any; gives the bottom."""
    wanted = [("ring", (center[0] - 22, center[1]))]
    if facts.buttons:
        first = polar(center, _buttons_off(facts.limit), _BUTTON_PLACES[0])
        wanted.append(("buttons", (first[0] - 4, first[1] + 4)))
    heights = [canvas.block_height(labels[name], width) for name, _ in wanted]
    middles = [point[1] for _, point in wanted]
    tops = stacked(list(zip(middles, heights, strict=True)), 0)
    bottom = 0.0
    for (name, point), top, height in zip(wanted, tops, heights, strict=True):
        start = top + (height / 2 if name == "ring" else canvas.lettering.middle)
        canvas.leader((142, start), point)
        bottom = max(bottom, canvas.block(labels[name], 136, top, width, anchor="end", part=name))
    return bottom


def _measure(canvas: Canvas, center: Point, radius: float) -> None:
    """How far the limit lies from the opening."""
    x, y = center
    left_end, right = (x + _TUBE_RADIUS, y), (x + radius, y)
    canvas.line(left_end, right, "measure", weight=THIN)
    head(canvas, (right[0] - 1, y), 90, 9)
    head(canvas, (left_end[0] + 1, y), 270, 9)


# One centimetre of the tube beside the skin, in points; half the width of the tube at least.
_RULER, _LEAST_HALF = 34.0, 24.0
# The disc lies at the skin: its thickness, its reach from the tube, and the space under it.
_DISC, _DISC_REACH, _UNDER_DISC = 11.0, 46.0, 5.0


def mark_check(look: TubeLook, labels: Labels, lettering: Lettering) -> Canvas:
    """The tube where it leaves the skin: the number level with the skin is this patient's mark."""
    assert look.mark is not None
    canvas = Canvas(0, lettering)
    x, skin = 170.0, 112.0
    number = canvas.text_width(f"{look.mark:f}", bold=True, room=1) / 2
    half = max(_LEAST_HALF, number + 10)
    canvas.pipe(f"M{num(x)} -4L{num(x)} {num(skin + 22)}", 2 * half, "tube", cap="butt")
    for side in (-1, 1):
        canvas.line((x + side * (half + 2), skin), (x + side * 150, skin), "skin")
        for place in range(9):
            mark_x = x + side * (half + 14 + place * 13)
            canvas.line((mark_x, skin + 12), (mark_x + 7, skin + 4), weight=THIN)
        # The line of the skin goes on to the number on the tube.
        canvas.line((x + side * half, skin), (x + side * (number + 3), skin), "mark-line")
    _numbers(canvas, look.mark, x, skin, half)
    if look.outer_disc:
        top = skin - _UNDER_DISC - _DISC
        for disc_x in (x + half + 2, x - half - 2 - _DISC_REACH):
            canvas.rect(disc_x, top, _DISC_REACH, _DISC, "disc", r=4)
    height = canvas.block_height(labels["mark"], 128, 1)
    top = max(0.0, skin - 90 - height / 2)
    # From above, clear of the disc, to the number.
    end = (x + number - 2, skin - lettering.size * 0.5 - 4)
    canvas.leader((334, max(skin - 90, lettering.middle)), end)
    bottom = canvas.block(labels["mark"], 340, top, 128, bold=1, part="mark")
    canvas.height = max(skin + 24, bottom)
    return canvas


def _numbers(canvas: Canvas, mark: Decimal, x: float, skin: float, half: float) -> None:
    """A line for every centimetre with its number, and the mark level with the skin.

    A number that would stand on the mark is left out.
    """
    lettering = canvas.lettering
    canvas.text(
        f"{mark:f}", x, skin + lettering.sink, anchor="middle", bold=True, part="mark-number"
    )
    first = int(mark.to_integral_value(ROUND_FLOOR)) + 1
    for number in range(first, first + 4):
        y = skin - float(number - mark) * _RULER
        if y < 14:
            break
        canvas.line((x - half + 2, y), (x - half + 10, y), weight=THIN)
        if skin - y > 1.1 * lettering.leading:
            foot = (x + 5, y + lettering.sink)
            canvas.text(str(number), *foot, anchor="middle", part="number")
