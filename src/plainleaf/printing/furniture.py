"""What stands on every page of a paper, around its words."""

from __future__ import annotations

from dataclasses import dataclass


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
