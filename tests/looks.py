"""Did a page change its looks? Coarse pictures of pages as text, kept in `tests/looks.txt`.

This says that something changed and never that it is right: rightness is measured elsewhere. When
a test says that a page looks other than before, look at it; if it is as you want it, write the
new looks down with

    LOOKS=write pytest tests/unit/test_looks.py tests/end_to_end/test_packet_looks.py

A cell is a tenth of an inch or more of paper and its darkness one of sixteen steps, so that
another version of the reader that paints the page does not matter, and a moved line does.
"""

from __future__ import annotations

import os
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image

FILE = Path(__file__).parent / "looks.txt"
_HEAD = "== "
COLUMNS, ROWS = 64, 84
_WHITE = 15
# Rows of the foot of a page: two lines and a rule at 18 points, and the margin.
_FOOT = 11
# Steps by which a cell may differ, and in how many cells: edges are smoothed differently.
_NEAR, _FEW = 1, 4


def looks(pdf: bytes, page: int = 0, *, foot: bool = True) -> str:
    """A page as rows of letters, one a cell: `.` is white, then 1 to f are darker and darker.

    Without its foot, where the version stands, which is another after every change of content.
    """
    with pypdfium2.PdfDocument(pdf) as document:
        painted = document[page].render(scale=2, grayscale=True).to_pil()
    small = painted.resize((COLUMNS, ROWS), Image.Resampling.BOX)
    cells = [_WHITE - value // 16 for value in small.tobytes()]
    if not foot:
        cells[-_FOOT * COLUMNS :] = [0] * _FOOT * COLUMNS
    rows = (cells[start : start + COLUMNS] for start in range(0, len(cells), COLUMNS))
    return "\n".join("".join(f"{cell:x}" if cell else "." for cell in row).rstrip(".")
                     for row in rows)  # fmt: skip


def differs(one: str, other: str) -> int:
    """Cells that differ by more than a step."""
    pairs = zip(_cells(one), _cells(other), strict=True)
    return sum(abs(a - b) > _NEAR for a, b in pairs)


def _cells(text: str) -> list[int]:
    rows = [row.ljust(COLUMNS, ".") for row in text.split("\n")]
    rows += ["." * COLUMNS] * (ROWS - len(rows))
    return [0 if cell == "." else int(cell, 16) for row in rows for cell in row]


def kept() -> dict[str, str]:
    """The looks that were written down, by name."""
    parts = FILE.read_text(encoding="utf-8").split(_HEAD)[1:] if FILE.exists() else []
    return {name: text.rstrip("\n") for name, _, text in (part.partition("\n") for part in parts)}


def looks_the_same(name: str, pdf: bytes, *, page: int = 0, foot: bool = True) -> None:
    """Fail where a page looks other than it did when its looks were written down."""
    known, now = kept(), looks(pdf, page, foot=foot)
    if os.environ.get("LOOKS") == "write":
        texts = sorted((known | {name: now.rstrip("\n")}).items())
        FILE.write_text("".join(f"{_HEAD}{k}\n{v}\n" for k, v in texts), encoding="utf-8")
        return
    if name not in known:
        pytest.fail(f"{name}: never looked at. Look at it, then write its looks down (looks.py).")
    cells = differs(known[name], now)
    if cells > _FEW:
        pytest.fail(f"{name} looks other than before, in {cells} cells. See looks.py.")
