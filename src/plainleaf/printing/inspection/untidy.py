"""What is not as meant in a print and yet keeps nobody from reading all of it."""

from __future__ import annotations


class Untidy(str):
    """A fault of looks alone: a page that is nearly empty, a row, a step or a heading that a page
    ends in. It is said, and the packet goes out: somebody turns a page, and nothing is missing.
    """

    __slots__ = ()
