"""Labels of a picture: what is said, where, and how large; set as SVG text or as text over it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from unicodedata import bidirectional

from plainleaf.compose.draw.letters import PRINT, measured, text_width

FAMILY = "Source Sans 3, system-ui, sans-serif"
# Name of the ring round a number that stands for a label.
KEY = "key"
_FLIPPED = {"start": "end", "end": "start", "middle": "middle"}
# How far a line of HTML stands below the top of its line box compared with a line of SVG.
_SINK = 1.4


def num(value: float) -> str:
    """A coordinate with at most two decimals.

    >>> num(2.50), num(-0.001), num(12)
    ('2.5', '0', '12')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


@dataclass(frozen=True)
class Lettering:
    """How the labels of a picture are set.

    Attributes:
        direction: `ltr` or `rtl`; shapes are never mirrored.
        size: Points on paper.
        keyed: Each label is a number in a ring, and its words stand below the picture.
    """

    direction: str = "ltr"
    size: float = PRINT
    keyed: bool = False

    @property
    def leading(self) -> float:
        """From one baseline to the next, in points."""
        return self.size * 10 / 9

    @property
    def rise(self) -> float:
        """From the top of a line to its baseline, in points."""
        return self.size * 5 / 6

    @property
    def sink(self) -> float:
        """From the middle of small letters to their baseline, in points."""
        return self.size / 3

    @property
    def middle(self) -> float:
        """From the top of a label to where a line points at it, in points."""
        return self.key_radius if self.keyed else self.leading / 2

    @property
    def key_radius(self) -> float:
        """Of the ring round a number, in points."""
        return self.size * 0.62


@dataclass(frozen=True)
class Label:
    """Lines of print that belong together, each with whether it is bold.

    `x` is a side or the middle of every line (`anchor`), `top` the top of the first one.
    """

    part: str
    pieces: tuple[tuple[str, bool], ...]
    x: float
    top: float
    anchor: str
    lettering: Lettering

    @property
    def width(self) -> float:
        """Points of the widest line, in the packet's own font."""
        size = self.lettering.size
        return max(text_width(piece, bold=b, size=size, room=1) for piece, b in self.pieces)

    def svg(self) -> str:
        """As SVG text, for browsers, which join every script."""
        return "".join(
            self._line(piece, bold, self.top + self.lettering.rise + self.lettering.leading * n)
            for n, (piece, bold) in enumerate(self.pieces)
        )

    def _line(self, piece: str, bold: bool, y: float) -> str:
        set_ = self.lettering
        rtl = set_.direction == "rtl"
        attributes = {"font-size": num(set_.size), "font-family": FAMILY}
        attributes["text-anchor"] = _FLIPPED[self.anchor] if rtl else self.anchor
        attributes["direction"] = set_.direction
        if measured(piece):
            # Whatever font the browser has, the line takes the room that it was given.
            width = text_width(piece, bold=bold, size=set_.size, room=1.05)
            attributes["textLength"] = num(width)
            attributes["lengthAdjust"] = "spacingAndGlyphs"
        if bold:
            attributes["font-weight"] = "700"
        if self.part:
            attributes["data-part"] = f"label-{self.part}"
        inside = "".join(f' {key}="{escape(value)}"' for key, value in attributes.items())
        words = escape(_isolated(piece) if rtl else piece, quote=False)
        return f'<text x="{num(self.x)}" y="{num(y)}"{inside} fill="#000">{words}</text>'

    def html(self, values: Iterable[str] = ()) -> str:
        """As text that stands over the drawing, lines as they were wrapped.

        Args:
            values: Merged values, which keep their own direction.
        """
        width = self.width + 2
        left_edge = self.x - {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        side = {"start": "left", "middle": "center", "end": "right"}[self.anchor]
        style = (
            f"left:{num(left_edge)}pt;top:{num(self.top - _SINK * self.lettering.size / PRINT)}pt;"
            f"width:{num(width)}pt;text-align:{side}"
        )
        lines = "<br/>".join(
            f"<b>{with_bdi(piece, values)}</b>" if bold else with_bdi(piece, values)
            for piece, bold in self.pieces
        )
        return f'<div class="label" style="{style}">{lines}</div>'


def _isolated(piece: str) -> str:
    """A line whose numbers with their units keep their order among letters from the right."""
    return re.sub(r"[0-9][^ ]*", lambda m: f"\u2066{m[0]}\u2069", piece)


def with_bdi(piece: str, values: Iterable[str]) -> str:
    """A line as HTML in which every merged value keeps its own direction."""
    wanted = sorted({escape(v, quote=False) for v in values if v}, key=len, reverse=True)
    text = escape(piece, quote=False)
    if not wanted:
        return text
    either = "|".join(map(re.escape, wanted))
    return re.sub(either, lambda m: f'<bdi dir="{_direction(m[0])}">{m[0]}</bdi>', text)


def _direction(value: str) -> str:
    """That of a value: with a letter of a script from the right, as in a span of hours, `rtl`."""
    return "rtl" if any(bidirectional(c) in ("R", "AL") for c in value) else "ltr"
