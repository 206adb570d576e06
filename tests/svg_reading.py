"""A picture read back: its named parts, its print with boxes, and points on its paths."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from xml.etree import ElementTree

from plainleaf.compose.draw.letters import text_width

NAMESPACE = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]


@dataclass(frozen=True)
class Box:
    """A line of print with the room it takes, in points from the top left of the picture."""

    words: str
    part: str
    left: float
    top: float
    right: float
    bottom: float

    def over(self, other: Box) -> bool:
        """Whether two lines of print touch."""
        apart = self.right <= other.left or other.right <= self.left
        return not (apart or self.bottom <= other.top or other.bottom <= self.top)


@dataclass(frozen=True)
class Picture:
    """SVG text read as a tree."""

    text: str

    @cached_property
    def root(self) -> ElementTree.Element:
        return ElementTree.fromstring(self.text)

    def _of(self, tag: str) -> list[ElementTree.Element]:
        return self.root.findall(NAMESPACE + tag)

    @cached_property
    def size(self) -> Point:
        _, _, width, height = (float(n) for n in self.root.attrib["viewBox"].split())
        return width, height

    @cached_property
    def parts(self) -> set[str]:
        """Names of the parts that are drawn; labels are not among them."""
        named = {e.attrib["data-part"] for e in self.root if "data-part" in e.attrib}
        return {name for name in named if not name.startswith("label-")}

    def named(self, part: str) -> list[ElementTree.Element]:
        """Elements of one part."""
        return [e for e in self.root if e.attrib.get("data-part") == part]

    def one(self, part: str) -> dict[str, str]:
        """The attributes of the only element of a part."""
        (element,) = self.named(part)
        return element.attrib

    @cached_property
    def boxes(self) -> list[Box]:
        """Every line of print; wider than it prints, so that another font still fits."""
        return [self._box(element) for element in self._of("text")]

    def _box(self, element: ElementTree.Element) -> Box:
        a = element.attrib
        size = float(a["font-size"])
        # Marks that only set the direction are never drawn.
        words = re.sub("[\u2066\u2069]", "", element.text or "")
        width = text_width(words, bold="font-weight" in a, size=size, room=1.0)
        anchor = a.get("text-anchor", "start")
        if a.get("direction") == "rtl":
            anchor = {"start": "end", "end": "start"}.get(anchor, anchor)
        left = float(a["x"]) - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
        y = float(a["y"])
        return Box(
            words,
            a.get("data-part", "").removeprefix("label-"),
            left,
            y - size * 7 / 9,
            left + width,
            y + size * 2 / 9,
        )

    @property
    def words(self) -> str:
        """All print in order, lines joined by spaces."""
        return " ".join(box.words for box in self.boxes)

    def shapes(self) -> str:
        """Everything that is no print."""
        return re.sub(r"<title>.*?</title>|<text.*?</text>", "", self.text)


def center(attributes: dict[str, str]) -> Point:
    """The middle of a circle."""
    return float(attributes["cx"]), float(attributes["cy"])


def _numbers(text: str) -> list[float]:
    return [float(n) for n in re.findall(r"-?\d+\.?\d*", text)]


def points(d: str, steps: int = 40) -> list[Point]:
    """Points along a path of absolute moves, lines and cubic curves."""
    found: list[Point] = []
    for letter, rest in re.findall(r"([MLCZ])([^MLCZ]*)", d):
        n = _numbers(rest)
        ends = list(zip(n[::2], n[1::2], strict=True))
        if letter in "ML":
            found += ends
        elif letter == "C":
            for at in range(0, len(ends), 3):
                found += _cubic((found[-1], *ends[at : at + 3]), steps)
    return found


def _cubic(p: Sequence[Point], steps: int) -> Iterator[Point]:
    for step in range(1, steps + 1):
        t = step / steps
        w = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        yield (
            sum(a * q[0] for a, q in zip(w, p, strict=True)),
            sum(a * q[1] for a, q in zip(w, p, strict=True)),
        )


def inside(point: Point, outline: Sequence[Point]) -> bool:
    """Whether a point lies within a closed outline."""
    x, y = point
    odd = False
    for (x1, y1), (x2, y2) in zip(outline, [*outline[1:], outline[0]], strict=True):
        if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
            odd = not odd
    return odd


def distance(point: Point, line: Sequence[Point]) -> float:
    """Points to the nearest point of a line."""
    return min(math.dist(point, other) for other in line)
