"""The number in the corner of each page of the family's packet, with a letter where it runs on."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence

from plainleaf.compose.word import WordedPage


def labels_of(pages: Sequence[WordedPage], anchors: Mapping[str, int]) -> dict[str, str]:
    """Anchor → the number in the corner of the page on which it stands.

    Args:
        pages: Those that are printed, in their order.
        anchors: Anchor → the side of paper on which it stands, counted from 1.
    >>> from plainleaf.compose.word import Words
    >>> page = WordedPage("skin", "daily", 7, Words(()), ())
    >>> labels_of([page], {"skin": 9, "skin-care.clean": 10})["skin-care.clean"]
    '7b'
    """
    starts = [anchors[page.id] for page in pages]
    return {
        name: _label(pages[place].number, side - starts[place])
        for name, side in anchors.items()
        if (place := bisect_right(starts, side) - 1) >= 0
    }


def _label(number: int, later: int) -> str:
    """5, 5b, 5c …"""
    return f"{number}{chr(ord('a') + later) if later else ''}"
