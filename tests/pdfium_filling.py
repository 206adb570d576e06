"""Fills a PDF form with the engine of a real viewer: clicks and key strokes, then saves.

Nothing of the project's reader is used; values go in where a person would put them.
"""

from __future__ import annotations

import ctypes
import io
from collections.abc import Mapping
from typing import Any

import pypdf
import pypdfium2
from pypdfium2 import raw


def _places(data: bytes) -> dict[str, tuple[int, float, float]]:
    """Field name → page and the middle of its rectangle."""
    found = {}
    for number, page in enumerate(pypdf.PdfReader(io.BytesIO(data)).pages):
        for reference in page.get("/Annots", []):
            one = reference.get_object()
            if one.get("/Subtype") == "/Widget":
                left, bottom, right, top = (float(n) for n in one["/Rect"])
                found[str(one["/T"])] = (number, (left + right) / 2, (bottom + top) / 2)
    return found


class _Window:
    """One document open in the viewer."""

    def __init__(self, data: bytes) -> None:
        self.document = pypdfium2.PdfDocument(data)
        self.document.init_forms()
        self.form: Any = self.document.formenv

    def _page(self, number: int) -> Any:
        return self.document[number]

    def put(self, number: int, across: float, up: float, value: str | bool) -> None:
        """Click into a field and type, or tick a box."""
        page = self._page(number)
        raw.FORM_OnMouseMove(self.form, page, 0, across, up)
        raw.FORM_OnLButtonDown(self.form, page, 0, across, up)
        raw.FORM_OnLButtonUp(self.form, page, 0, across, up)
        if isinstance(value, str):
            text = (value + "\0").encode("utf-16-le")
            wide = ctypes.cast(ctypes.create_string_buffer(text), raw.FPDF_WIDESTRING)
            raw.FORM_ReplaceSelection(self.form, page, wide)
        raw.FORM_ForceToKillFocus(self.form)
        page.close()

    def saved(self) -> bytes:
        """The document as the viewer saves it."""
        out = io.BytesIO()
        self.document.save(out)
        self.document.close()
        return out.getvalue()


def filled_in_a_viewer(data: bytes, values: Mapping[str, str | bool]) -> bytes:
    """The form with some fields filled in; True clicks a tick box."""
    places = _places(data)
    window = _Window(data)
    for name, value in values.items():
        window.put(*places[name], value)
    return window.saved()
