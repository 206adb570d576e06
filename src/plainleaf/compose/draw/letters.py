"""How wide words print, so that labels wrap before they touch the drawing.

Widths are the advance widths of Source Sans 3 (regular and bold) in thousandths of the print
size. A letter that is not listed counts by its base letter, any other script as a wide letter.
"""

from __future__ import annotations

import unicodedata

PRINT = 18.0
# Browsers may set another font; labels keep this much room.
_ROOM = 1.1
_REGULAR = {
    200: " \u00a0", 246: "i", 247: "j", 249: ".,:'", 255: "l", 263: "I", 292: "f", 303: "()",
    311: "-", 338: "t", 347: "r", 419: "s", 425: "z", 446: "x", 456: "c", 467: "vy", 476: "Y",
    479: "J", 486: "L", 494: "F", 495: "k", 496: "e", 497: "0123456789", 504: "ag", 513: "X",
    515: "V", 527: "E", 534: "S", 536: "T", 539: "Z", 542: "o", 543: "A", 544: "hu", 547: "n",
    553: "b", 555: "dpq", 566: "P", 569: "R", 571: "C", 579: "K", 588: "B", 615: "D", 617: "G",
    645: "U", 647: "N", 652: "H", 664: "OQ", 719: "w", 727: "M", 786: "W", 829: "m",
}  # fmt: skip
_BOLD = {
    200: " \u00a0", 276: "i", 278: "j", 286: "l", 300: ".,:'", 301: "I", 332: "-", 341: "f",
    344: "()", 383: "t", 398: "r", 443: "s", 460: "z", 468: "c", 509: "J", 514: "x", 518: "eL",
    521: "y", 523: "v", 524: "F", 525: "Y", 527: "a", 528: "0123456789", 534: "g", 541: "Z",
    548: "kE", 555: "o", 556: "STV", 567: "X", 568: "u", 571: "h", 572: "n", 573: "bdpqA",
    582: "C", 596: "P", 605: "B", 613: "R", 614: "K", 635: "D", 638: "G", 665: "NU", 674: "H",
    684: "OQ", 762: "M", 776: "w", 813: "W", 857: "m",
}  # fmt: skip
_WIDTHS = tuple(
    {letter: width for width, letters in table.items() for letter in letters}
    for table in (_REGULAR, _BOLD)
)
_WIDE = 640


def text_width(text: str, *, bold: bool = False, size: float = PRINT, room: float = _ROOM) -> float:
    """Width in points with some room for another font.

    >>> round(text_width("Stomach", room=1), 1)
    67.4
    """
    base = unicodedata.normalize("NFD", text)
    widths = _WIDTHS[bold]
    total = sum(widths.get(c, _WIDE) for c in base if not unicodedata.combining(c))
    return total / 1000 * size * room


def measured(text: str) -> bool:
    """Whether the width of every letter is known.

    >>> measured("Más agua"), measured("水")
    (True, False)
    """
    base = unicodedata.normalize("NFD", text)
    return all(c in _WIDTHS[0] or unicodedata.combining(c) for c in base)


def wrap(text: str, width: float, *, bold: bool = False) -> list[str]:
    """A text in lines no wider than `width`; no-break spaces hold, a long word stands alone.

    >>> wrap("The tube ends here", 90)
    ['The tube', 'ends here']
    """
    lines: list[str] = []
    for word in text.split(" "):
        if lines and text_width(f"{lines[-1]} {word}", bold=bold) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines
