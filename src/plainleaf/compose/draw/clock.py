"""Time: how long a feeding may hang as a clock, and the day as a strip."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plainleaf.compose.draw.canvas import GREY, THIN, Canvas, Lettering, Point, num
from plainleaf.compose.draw.drawing_shapes import arc, drop, head, polar
from plainleaf.compose.draw.picture_facts import Day, Hang

Labels = Mapping[str, Sequence[str]]

_R = 50.0
_HALF_DAY = 720
_DAY = 1440


def turns(minutes: int) -> tuple[int, int]:
    """Whole turns of the hour hand and the minutes of the turn that is left.

    >>> turns(480), turns(720), turns(1440)
    ((0, 480), (1, 0), (2, 0))
    """
    return divmod(minutes, _HALF_DAY)


def _face(canvas: Canvas, center: Point, minutes: int) -> None:
    """A clock face whose time is marked from twelve on."""
    canvas.circle(center, _R, "face")
    for hour in range(12):
        far = polar(center, _R - 3, hour * 30)
        near = polar(center, _R - (10 if hour % 3 == 0 else 7), hour * 30)
        canvas.line(near, far, weight=THIN)
    whole, rest = turns(minutes)
    sweep = 360 if whole else rest / 2
    _sector(canvas, center, sweep)
    canvas.line(center, polar(center, _R - 14, 0), "hand")
    canvas.line(center, polar(center, _R - 14, sweep), "hand")
    canvas.circle(center, 4, weight=0, fill="#000")
    for turn in range(whole + (1 if rest else 0)):
        end = 350.0 if turn < whole else rest / 2
        r = _R + 8 + 9 * turn
        canvas.path(arc(center, r, 0, end - 8), "sweep")
        head(canvas, polar(center, r, end), end + 86, 11)


def _sector(canvas: Canvas, center: Point, sweep: float) -> None:
    """The time on the face in grey, from twelve on."""
    if sweep == 360:
        canvas.circle(center, _R - 13, "time", weight=0, fill=GREY)
        return
    a, b = polar(center, _R - 13, 0), polar(center, _R - 13, sweep)
    large = 1 if sweep > 180 else 0
    r = num(_R - 13)
    d = (
        f"M{num(center[0])} {num(center[1])}L{num(a[0])} {num(a[1])}"
        f"A{r} {r} 0 {large} 1 {num(b[0])} {num(b[1])}Z"
    )
    canvas.path(d, "time", weight=0, fill=GREY)


def hang_clock(facts: Hang, labels: Labels, lettering: Lettering) -> Canvas:
    """For each kind of feeding a clock that shows how long it may hang."""
    canvas = Canvas(0, lettering)
    count = len(facts.minutes)
    rings = max(-(-minutes // _HALF_DAY) for minutes in facts.minutes)
    y = _R + 6 + 9 * rings
    bottom = 2 * y
    if count == 1:
        center = (150.0, y)
        _face(canvas, center, facts.minutes[0])
        lines = labels["hang-0"]
        high = canvas.block_height(lines, 230, 1)
        bottom = max(bottom, canvas.block(lines, 236, max(0.0, y - high / 2), 230, bold=1,
                                          part="hang-0"))  # fmt: skip
    for number in range(count if count > 1 else 0):
        column = canvas.width / count
        x = column * (number + 0.5)
        _face(canvas, (x, y), facts.minutes[number])
        bottom = max(
            bottom,
            canvas.block(
                labels[f"hang-{number}"],
                x,
                2 * y + 4,
                column - 10,
                anchor="middle",
                bold=1,
                part=f"hang-{number}",
            ),
        )
    canvas.height = bottom
    return canvas


# --- the day ------------------------------------------------------------------------------------

_LANE = 30.0
# Room at both ends, so that a shape at the first minute stays inside.
_EDGE = 11.0


def _x(minute: int, facts: Day, left_edge: float, width: float) -> float:
    return left_edge + (minute - facts.starts) / _DAY * width


def _pill(canvas: Canvas, x: float, y: float) -> None:
    d = f"M{num(x)} {num(y - 9)}L{num(x + 9)} {num(y + 7)}L{num(x - 9)} {num(y + 7)}Z"
    canvas.path(d, "medicine", weight=THIN, fill="#fff")


def _hours(
    canvas: Canvas, facts: Day, labels: Labels, left_edge: float, width: float, y: float
) -> None:
    """Thin upright lines at six, noon, six and midnight with their names under the strip."""
    row, end = 0, 0.0
    for hour in range(facts.starts // 60, facts.starts // 60 + 25):
        if hour % 6:
            continue
        x = _x(hour * 60, facts, left_edge, width)
        canvas.line((x, 2), (x, y), "hour", weight=THIN, dash="2 4")
        name = labels[f"hour-{hour % 24}"][0]
        half = canvas.text_width(name) / 2
        x = min(x, canvas.width - half)
        # Where two names would touch, every second one stands a line lower.
        row = row + 1 if x - half < end and row == 0 else 0
        end = x + half
        below = y + canvas.lettering.rise + 3 + row * canvas.lettering.leading
        canvas.text(name, x, below, anchor="middle", part="hour-name")
        canvas.height = max(canvas.height, below + canvas.lettering.size / 3)


def day_strip(facts: Day, labels: Labels, lettering: Lettering) -> Canvas:
    """What happens when: a bar or square for feeding, a drop for water, a triangle for medicine,
    an empty bar for draining."""
    lanes = [name for name in ("feeds", "drains", "water", "medicines") if name in labels]
    lane = max(_LANE, 2 * lettering.key_radius + 4 if lettering.keyed else lettering.leading + 8)
    canvas = Canvas(lane * len(lanes), lettering)
    wide = [canvas.widest(labels[name][:1], canvas.width) for name in lanes]
    left_edge = max(wide) * 1.08 + 8 + _EDGE
    width = canvas.width - left_edge - _EDGE - 2
    bottom = lane * len(lanes) + 2
    for number in range(len(lanes) + 1):
        y = 2 + lane * number
        canvas.line((left_edge - _EDGE, y), (left_edge + width + _EDGE, y), weight=THIN)
    _hours(canvas, facts, labels, left_edge, width, bottom)
    for number, name in enumerate(lanes):
        y = 2 + lane * (number + 0.5)
        label = labels[name][:1]
        top = y - canvas.block_height(label, canvas.width) / 2
        canvas.block(label, left_edge - _EDGE - 7, top, canvas.width, anchor="end", part=name)
        _lane(canvas, facts, name, left_edge, width, y)
    return canvas


def _lane(canvas: Canvas, facts: Day, name: str, left_edge: float, width: float, y: float) -> None:
    if name == "feeds":
        for start, end in facts.runs:
            a, b = _x(start, facts, left_edge, width), _x(end, facts, left_edge, width)
            canvas.rect(a, y - 8, b - a, 16, "run", weight=0, fill="#000")
        for minute in facts.feeds:
            x = _x(minute, facts, left_edge, width)
            canvas.rect(x - 8, y - 8, 16, 16, "feed", weight=0, fill="#000")
    elif name == "drains":
        for start, end in facts.drains:
            a, b = _x(start, facts, left_edge, width), _x(end, facts, left_edge, width)
            canvas.rect(a, y - 8, b - a, 16, "drain", weight=THIN, fill="#fff")
    elif name == "water":
        for minute in facts.water:
            drop(canvas, (_x(minute, facts, left_edge, width), y), 10, "water")
    else:
        for minute in facts.medicines:
            _pill(canvas, _x(minute, facts, left_edge, width), y)
