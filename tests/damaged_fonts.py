"""A bold font that was damaged after it was looked at, in a folder of the test's own."""

from __future__ import annotations

import shutil
from pathlib import Path

from plainleaf.printing.fonts import OwnFonts

DAMAGES = ("garbage", "gone", "another")


def damaged(fonts: OwnFonts, folder: Path, how: str) -> OwnFonts:
    """A copy of the fonts whose bold one is of no use."""
    copy = OwnFonts(folder / "fonts")
    shutil.copytree(fonts.folder, copy.folder, ignore=shutil.ignore_patterns("index"))
    own = fonts.configuration.read_text(encoding="utf-8")
    copy.configuration.write_text(own.replace(str(fonts.folder), str(copy.folder)))
    bold = copy.file("Bold")
    if how == "garbage":
        bold.write_bytes(b"\0" * bold.stat().st_size)
    elif how == "gone":
        bold.unlink()
    else:
        shutil.copyfile(copy.file("Regular"), bold)
    return copy
