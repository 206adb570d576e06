"""One picture as shapes and labels: two line weights, black on white, print as large as asked.

One unit is one point on paper. Every visible part carries `data-part`, so that tests and proofs
can ask what a picture shows. Only elements and attributes are used that the renderer and browsers
agree on: path, line, circle, ellipse, rect; no style sheet, no clip, no pattern. Labels are kept
apart from the shapes: on paper they are set as text over the drawing, so that every script joins
and reads back whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape

from plainleaf.compose.draw.labels import KEY, Label, Lettering, num
from plainleaf.compose.draw.letters import PRINT, text_width, wrap

HEAVY = 2.5
THIN = 1.25
# The only tint: fluid and time that has passed; never under print.
GREY = "#c4c4c4"
# The text column is 489 points on letter paper and 473 on A4.
WIDTH = 470.0

Point = tuple[float, float]


@dataclass
class Canvas:
    """A picture in the making; `lettering` is that of its labels, shapes are never mirrored."""

    height: float
    lettering: Lettering = field(default_factory=Lettering)
    width: float = WIDTH
    _parts: list[str | Label] = field(default_factory=list)

    @property
    def labels(self) -> list[Label]:
        """All print, in the order in which it was set."""
        return [part for part in self._parts if isinstance(part, Label)]

    def _add(self, tag: str, part: str, attributes: dict[str, str | float]) -> None:
        written = {
            key.replace("_", "-"): num(v) if isinstance(v, int | float) else v
            for key, v in attributes.items()
        }
        named = f' data-part="{part}"' if part else ""
        inside = "".join(f' {key}="{escape(value)}"' for key, value in written.items())
        self._parts.append(f"<{tag}{named}{inside}/>")

    def path(
        self, d: str, part: str = "", *, weight: float = HEAVY, fill: str = "none", dash: str = ""
    ) -> None:
        """A path of any shape; `dash` is a list of lengths."""
        attributes: dict[str, str | float] = {"d": d, "fill": fill}
        if weight:
            attributes |= {"stroke": "#000", "stroke-width": weight}
            attributes |= {"stroke-linecap": "round", "stroke-linejoin": "round"}
        if dash:
            attributes["stroke-dasharray"] = dash
        self._add("path", part, attributes)

    def line(
        self, a: Point, b: Point, part: str = "", *, weight: float = HEAVY, dash: str = ""
    ) -> None:
        """A straight line."""
        self.path(f"M{num(a[0])} {num(a[1])}L{num(b[0])} {num(b[1])}", part, weight=weight,
                  dash=dash)  # fmt: skip

    def circle(
        self, center: Point, r: float, part: str = "", *, weight: float = HEAVY, fill: str = "#fff"
    ) -> None:
        """A circle; white inside unless said otherwise."""
        attributes: dict[str, str | float] = {
            "cx": center[0],
            "cy": center[1],
            "r": r,
            "fill": fill,
        }
        if weight:
            attributes |= {"stroke": "#000", "stroke-width": weight}
        self._add("circle", part, attributes)

    def ellipse(
        self, center: Point, rx: float, ry: float, part: str = "", *, weight: float = HEAVY,
        fill: str = "#fff", dash: str = "",
    ) -> None:  # fmt: skip
        """An upright ellipse."""
        attributes: dict[str, str | float] = {"cx": center[0], "cy": center[1], "rx": rx, "ry": ry}
        attributes |= {"fill": fill, "stroke": "#000", "stroke-width": weight}
        if dash:
            attributes["stroke-dasharray"] = dash
        self._add("ellipse", part, attributes)

    def rect(
        self, x: float, y: float, w: float, h: float, part: str = "", *, r: float = 0.0,
        weight: float = HEAVY, fill: str = "#fff",
    ) -> None:  # fmt: skip
        """A rectangle, with round corners if `r` is given."""
        attributes: dict[str, str | float] = {"x": x, "y": y, "width": w, "height": h, "rx": r}
        attributes["fill"] = fill
        if weight:
            attributes |= {"stroke": "#000", "stroke-width": weight}
        self._add("rect", part, attributes)

    def pipe(
        self, d: str, inner: float, part: str = "", *, weight: float = HEAVY, cap: str = "round"
    ) -> None:
        """A path as a pipe: two outlines `inner` points apart, white between."""
        self.stroke(d, inner + 2 * weight, "#000", part, cap=cap)
        self.stroke(d, inner, "#fff", cap=cap)

    def stroke(
        self, d: str, width: float, color: str, part: str = "", *, cap: str = "round"
    ) -> None:
        """One wide stroke, black or white: half of a pipe, for outlines that run together."""
        attributes: dict[str, str | float] = {"d": d, "fill": "none", "stroke": color}
        attributes |= {"stroke-width": width, "stroke-linecap": cap, "stroke-linejoin": "round"}
        self._add("path", part, attributes)

    def text_width(self, text: str, *, bold: bool = False, room: float = 1.1) -> float:
        """Width of a line of print in points, with room for another font."""
        return text_width(text, bold=bold, size=self.lettering.size, room=room)

    def text(
        self, line: str, x: float, y: float, *, anchor: str = "start", bold: bool = False,
        part: str = "",
    ) -> None:  # fmt: skip
        """One line of print with its baseline at `y`; `anchor` is a side of the paper."""
        top = y - self.lettering.rise
        self._parts.append(Label(part, ((line, bold),), x, top, anchor, self.lettering))

    def _wrapped(
        self, lines: Sequence[str], width: float, bold: int
    ) -> tuple[tuple[str, bool], ...]:
        # A label that is set larger than the drawings were made for wraps as if it were narrower.
        narrow = width * PRINT / self.lettering.size
        return tuple(
            (piece, number < bold)
            for number, line in enumerate(lines)
            for piece in wrap(line, narrow, bold=number < bold)
        )

    def block_height(self, lines: Sequence[str], width: float, bold: int = 0) -> float:
        """Height of `block` for the same lines."""
        if self.lettering.keyed:
            return 2 * self.lettering.key_radius
        return self.lettering.leading * len(self._wrapped(lines, width, bold))

    def widest(self, lines: Sequence[str], width: float, bold: int = 0) -> float:
        """Width of the widest line of `block` for the same lines."""
        if self.lettering.keyed:
            return 2 * self.lettering.key_radius
        pieces = self._wrapped(lines, width, bold)
        return max(self.text_width(piece, bold=b, room=1.02) for piece, b in pieces)

    def block(
        self, lines: Sequence[str], x: float, y: float, width: float, *, anchor: str = "start",
        bold: int = 0, part: str = "",
    ) -> float:  # fmt: skip
        """Lines of print wrapped to a width, from the top at `y`; gives the bottom.

        The first `bold` lines of the label are bold. In a keyed picture the label is a number in a
        ring, which stands for its words below the picture.
        """
        if self.lettering.keyed:
            return self._key(lines[0], x, y, anchor, part)
        pieces = self._wrapped(lines, width, bold)
        if pieces:
            self._parts.append(Label(part, pieces, x, y, anchor, self.lettering))
        return y + self.lettering.leading * len(pieces)

    def _key(self, number: str, x: float, y: float, anchor: str, part: str) -> float:
        r = self.lettering.key_radius
        center = x + {"start": r, "middle": 0.0, "end": -r}[anchor]
        self.circle((center, y + r), r - THIN, KEY, weight=THIN)
        baseline = y + r + self.lettering.size * 0.34
        self.text(number, center, baseline, anchor="middle", bold=True, part=part)
        return y + 2 * r

    def leader(self, a: Point, b: Point) -> None:
        """A thin line from a label to what it names, with a dot where it points."""
        self.line(a, b, "leader", weight=THIN)
        self.circle(b, 2.2, weight=0, fill="#000")

    def svg(self, title: str, *, with_labels: bool = True) -> str:
        """The whole picture; the first child is what is read out in its place.

        Args:
            with_labels: False where the labels are set over it.
        """
        w, h = num(self.width), num(self.height)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{w}pt" height="{h}pt" '
            f'viewBox="0 0 {w} {h}"><title>{escape(title, quote=False)}</title>'
            + "".join(
                part if isinstance(part, str) else part.svg()
                for part in self._parts
                if with_labels or isinstance(part, str)
            )
            + "</svg>"
        )


def stacked(wanted: Sequence[tuple[float, float]], top: float, gap: float = 8.0) -> list[float]:
    """Tops of labels that stand above each other, each near its wish, none over another.

    Args:
        wanted: Wished middle and height of each label, from top to bottom.
        top: The least top of the first.
    """
    tops: list[float] = []
    least = top
    for middle, height in wanted:
        place = max(least, middle - height / 2)
        tops.append(place)
        least = place + height + gap
    return tops


__all__ = [
    "GREY", "HEAVY", "THIN", "WIDTH", "Canvas", "Lettering", "Point", "num", "stacked",
]  # fmt: skip
