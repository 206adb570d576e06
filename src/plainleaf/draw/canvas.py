"""One picture as SVG text: two line weights, black on white, print of at least 18 points.

One unit is one point on paper. Every visible part carries `data-part`, so that tests and proofs
can ask what a picture shows. Only elements and attributes are used that the renderer and browsers
agree on: path, line, circle, ellipse, rect, text; no style sheet, no clip, no pattern.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape

from plainleaf.draw.letters import measured, text_width, wrap

HEAVY = 2.5
THIN = 1.25
# The only tint: fluid and time that has passed; never under print.
GREY = "#c4c4c4"
# Large print: at least 18 points (ACB, UKAAF; print reference LP-01).
PRINT = 18.0
LEADING = 20.0
FAMILY = "Source Sans 3, system-ui, sans-serif"
# The text column is 489 points on letter paper and 473 on A4.
WIDTH = 470.0

Point = tuple[float, float]
_FLIPPED = {"start": "end", "end": "start", "middle": "middle"}


def num(value: float) -> str:
    """A coordinate with at most two decimals.

    >>> num(2.50), num(-0.001), num(12)
    ('2.5', '0', '12')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


@dataclass(frozen=True)
class _Text:
    """One line of print."""

    line: str
    x: float
    y: float
    anchor: str
    bold: bool
    part: str

    def svg(self, direction: str, *, fixed: bool) -> str:
        """As an element; `fixed` works out where it starts, which only the own font allows."""
        attributes = {"font-size": num(PRINT), "font-family": FAMILY}
        x = self.x
        if fixed and direction == "ltr":
            width = text_width(self.line, bold=self.bold, room=1)
            x -= {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        else:
            rtl = direction == "rtl"
            attributes["text-anchor"] = _FLIPPED[self.anchor] if rtl else self.anchor
            attributes["direction"] = direction
            if measured(self.line):
                # Whatever font the browser has, the line takes the room that it was given.
                attributes["textLength"] = num(text_width(self.line, bold=self.bold, room=1.05))
                attributes["lengthAdjust"] = "spacingAndGlyphs"
        if self.bold:
            attributes["font-weight"] = "700"
        if self.part:
            attributes["data-part"] = f"label-{self.part}"
        inside = "".join(f' {key}="{escape(value)}"' for key, value in attributes.items())
        words = escape(self.line, quote=False)
        return f'<text x="{num(x)}" y="{num(self.y)}"{inside} fill="#000">{words}</text>'


@dataclass
class Canvas:
    """A picture in the making; `direction` is that of its labels, shapes are never mirrored."""

    height: float
    direction: str = "ltr"
    width: float = WIDTH
    _parts: list[str | _Text] = field(default_factory=list)

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
        self, at: Point, r: float, part: str = "", *, weight: float = HEAVY, fill: str = "#fff"
    ) -> None:
        """A circle; white inside unless said otherwise."""
        attributes: dict[str, str | float] = {"cx": at[0], "cy": at[1], "r": r, "fill": fill}
        if weight:
            attributes |= {"stroke": "#000", "stroke-width": weight}
        self._add("circle", part, attributes)

    def ellipse(
        self, at: Point, rx: float, ry: float, part: str = "", *, weight: float = HEAVY,
        fill: str = "#fff", dash: str = "",
    ) -> None:  # fmt: skip
        """An upright ellipse."""
        attributes: dict[str, str | float] = {"cx": at[0], "cy": at[1], "rx": rx, "ry": ry}
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

    def text(
        self, line: str, x: float, y: float, *, anchor: str = "start", bold: bool = False,
        part: str = "",
    ) -> None:  # fmt: skip
        """One line of print with its baseline at `y`; `anchor` is a side of the paper."""
        self._parts.append(_Text(line, x, y, anchor, bold, part))

    def block(
        self, lines: Sequence[str], x: float, y: float, width: float, *, anchor: str = "start",
        bold: int = 0, part: str = "",
    ) -> float:  # fmt: skip
        """Lines of print wrapped to a width, from the top at `y`; gives the bottom.

        The first `bold` lines of the label are bold.
        """
        for number, line in enumerate(lines):
            for piece in wrap(line, width, bold=number < bold):
                self.text(piece, x, y + 15, anchor=anchor, bold=number < bold, part=part)
                y += LEADING
        return y

    def leader(self, a: Point, b: Point) -> None:
        """A thin line from a label to what it names, with a dot where it points."""
        self.line(a, b, "leader", weight=THIN)
        self.circle(b, 2.2, weight=0, fill="#000")

    def svg(self, title: str, *, fixed: bool = False) -> str:
        """The whole picture; the first child is what is read out in its place.

        Args:
            fixed: For paper: every line of print gets its start from the widths of the own font.
        """
        w, h = num(self.width), num(self.height)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{w}pt" height="{h}pt" '
            f'viewBox="0 0 {w} {h}"><title>{escape(title, quote=False)}</title>'
            + "".join(
                part if isinstance(part, str) else part.svg(self.direction, fixed=fixed)
                for part in self._parts
            )
            + "</svg>"
        )


def block_height(lines: Sequence[str], width: float, bold: int = 0) -> float:
    """Height of `Canvas.block` for the same lines."""
    return LEADING * sum(
        len(wrap(line, width, bold=number < bold)) for number, line in enumerate(lines)
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
        at = max(least, middle - height / 2)
        tops.append(at)
        least = at + height + gap
    return tops


__all__ = [
    "GREY", "HEAVY", "LEADING", "PRINT", "THIN", "WIDTH", "Canvas", "Point", "block_height", "num",
    "stacked", "text_width", "wrap",
]  # fmt: skip
