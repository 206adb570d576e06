"""What stands on every page of a paper, around its words."""

from __future__ import annotations

from dataclasses import dataclass

# About as many bold letters stand in a line of the head.
_HEAD_LETTERS = 55


@dataclass(frozen=True)
class PageFurniture:
    """What stands on every page: marks above, identity and version below.

    `staff_mark`: the marks for staff, in their language, on a paper in another one.
    """

    title: str
    marks: str
    identity: str
    version: str
    staff_mark: str = ""

    @property
    def lines(self) -> tuple[str, ...]:
        """Every line, as it is printed."""
        return tuple(filter(None, (self.marks, self.staff_mark, self.identity, self.version)))

    @property
    def head(self) -> str:
        """The head in one run."""
        return f"{self.marks} | {self.staff_mark}".strip("| ")

    @property
    def more_head_lines(self) -> int:
        """Lines of the head beyond its first."""
        return max(0, len(f"{self.marks} {self.staff_mark}".strip()) - 1) // _HEAD_LETTERS

    @property
    def more_foot_lines(self) -> int:
        """Lines of the foot beyond its first two, for long names.

        About 45 letters stand in a line; the widest count twice.
        """
        wide = sum(letter in "MWmw@%" for letter in self.identity)
        return (len(self.identity) + wide) // 45
