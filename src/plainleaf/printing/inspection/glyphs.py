"""The fonts of a PDF, and the box that each draws in place of a letter that it lacks.

The text layer of such a file still reads right, because the letter is named there; only what is
drawn tells. Rows LP-10 and PA-11 of the print reference.
"""

from __future__ import annotations

import ctypes
import math
import struct
from dataclasses import dataclass
from typing import Any

from pypdfium2 import raw


def _tables(file: bytes) -> dict[bytes, bytes]:
    """The tables of a TrueType file by their tags; none for another kind of file."""
    if file[:4] != b"\0\1\0\0":
        return {}
    tables = {}
    for number in range(struct.unpack(">H", file[4:6])[0]):
        tag, _, offset, length = struct.unpack(">4sIII", file[12 + 16 * number :][:16])
        tables[tag] = file[offset : offset + length]
    return tables


def empty_box(file: bytes) -> tuple[float, float] | None:
    """Width and height of the glyph for no letter, in parts of the print size.

    Args:
        file: The font file as it stands in the PDF.
    Returns:
        None if the file is no TrueType file or draws nothing for such a letter.
    """
    tables = _tables(file)
    if not {b"head", b"loca", b"glyf"} <= set(tables):
        return None
    unit = struct.unpack(">H", tables[b"head"][18:20])[0]
    long = struct.unpack(">h", tables[b"head"][50:52])[0] == 1
    first, second = struct.unpack(">II" if long else ">HH", tables[b"loca"][: 8 if long else 4])
    if first == second:
        return None
    _, left_edge, bottom, right, top = struct.unpack(">5h", tables[b"glyf"][:10])
    return (right - left_edge) / unit, (top - bottom) / unit


def is_empty_box(empty: tuple[float, float], size: tuple[float, float]) -> bool:
    """Whether a letter's box is the empty box; the reader adds a 64th to heights."""
    return math.isclose(size[0], empty[0], abs_tol=0.002) and any(
        math.isclose(size[1], height, abs_tol=0.002) for height in (empty[1], empty[1] * 65 / 64)
    )


@dataclass(frozen=True)
class Font:
    """A font of the file: its name with whether it is embedded, and its empty box."""

    name: tuple[str, bool]
    empty: tuple[float, float] | None


class Fonts:
    """The fonts of a file, each asked about once."""

    def __init__(self) -> None:
        self._known: dict[int, Font] = {}

    def of(self, font: Any) -> Font:
        """What is known of a font."""
        key = ctypes.cast(font, ctypes.c_void_p).value or 0
        if key not in self._known:
            name = string_of(raw.FPDFFont_GetBaseFontName, font).rstrip(b"\0").decode("latin-1")
            embedded = raw.FPDFFont_GetIsEmbedded(font) == 1
            self._known[key] = Font((name.split("+")[-1], embedded), empty_box(file_of(font)))
        return self._known[key]


def file_of(font: Any) -> bytes:
    """The file of a font as it stands in the PDF."""
    length = ctypes.c_size_t()
    raw.FPDFFont_GetFontData(font, None, 0, length)
    buffer = (ctypes.c_uint8 * length.value)()
    raw.FPDFFont_GetFontData(font, buffer, length.value, length)
    return bytes(buffer)


# Long enough for nearly every text; kept, because each page is asked for hundreds.
_BUFFER = ctypes.create_string_buffer(512)


def string_of(call: Any, *arguments: Any) -> bytes:
    """The bytes that a function writes into a buffer; one that is too short it leaves alone."""
    kind = call.argtypes[len(arguments)]
    buffer = _BUFFER
    length = call(*arguments, ctypes.cast(buffer, kind), len(buffer))
    if length > len(buffer):
        buffer = ctypes.create_string_buffer(length)
        call(*arguments, ctypes.cast(buffer, kind), length)
    return buffer.raw[:length]
