"""The fields of a filled PDF form as plain values, whatever program saved it.

Nothing is made of a value here: a field that is not there is not in the answer, an empty one is "".
"""

from __future__ import annotations

import logging
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from io import BytesIO
from typing import Any

import pypdf
from pypdf.errors import DependencyError, PyPdfError
from pypdf.generic import ArrayObject, DictionaryObject, StreamObject

from plainleaf.packet.sheet.form_fields import VERSION
from plainleaf.teach_back.filled_form import Filled
from plainleaf.vocabulary.errors import SheetError

# What the reader raises on a file that is not whole.
_DAMAGE = (
    PyPdfError, DependencyError, ValueError, KeyError, TypeError, AttributeError, IndexError,
    RecursionError, OSError, OverflowError, AssertionError, NotImplementedError,
)  # fmt: skip
# A filled sheet has well under a megabyte; a file of this size is another one.
LARGEST = 50_000_000
# Marks of a field that is not shown on a screen: hidden, and no view (ISO 32000-1, 12.5.3).
_HIDDEN = 2 | 32
_UTF8_MARK = "ï»¿"
# The foot of every page of the sheet: version, language, day (phrase footer-version).
_PRINTED_VERSION = re.compile(r"\b([0-9a-f]{10})[,،]\s*[a-z]{2,3}(?:-[0-9A-Za-z-]+)?[,،]")


def read_filled(data: bytes, file: str) -> Filled:
    """The form of a PDF.

    Args:
        file: The name of the file, for messages.
    Raises:
        SheetError: It is not a PDF, is damaged, locked, or holds no form.
    """
    if b"%PDF-" not in data[:1024]:
        raise SheetError(f"{file}: is not a PDF. Name the teach-back.pdf that was filled in.")
    if len(data) > LARGEST:
        raise SheetError(f"{file}: is far larger than a sheet. Name the filled teach-back.pdf.")
    with _quiet():
        try:
            reader = pypdf.PdfReader(BytesIO(data))
            _unlock(reader, file)
            root: Any = reader.trailer["/Root"]
            form = root.get("/AcroForm")
            drawn = _drawn(reader)
            listed = _values(form.get_object(), drawn) if form is not None else ()
            values = _once((*listed, *_unlisted(drawn)), file)
            printed = frozenset() if values.get(VERSION) else _printed(reader)
        except SheetError:
            raise
        except _DAMAGE as error:
            raise SheetError(
                f"{file}: is damaged and cannot be read ({type(error).__name__}). "
                "Save it again from the program it was filled in with."
            ) from error
    if not values:
        raise SheetError(
            f"{file}: holds no form fields. Name the filled teach-back.pdf; one that was printed "
            "to a new PDF has lost its fields, so save the form itself, or type the paper into a "
            "fresh teach-back.pdf."
        )
    return Filled(values, printed)


@contextmanager
def _quiet() -> Iterator[None]:
    """The reader's own remarks on odd files are not for the nurse."""
    logger = logging.getLogger("pypdf")
    before = logger.level
    logger.setLevel(logging.CRITICAL + 1)
    try:
        yield
    finally:
        logger.setLevel(before)


def _unlock(reader: pypdf.PdfReader, file: str) -> None:
    """Open what only forbids changes; a file that asks for a password is refused."""
    if not reader.is_encrypted:
        return
    try:
        opened = bool(reader.decrypt(""))
    except (PyPdfError, DependencyError, NotImplementedError):
        opened = False
    if not opened:
        raise SheetError(f"{file}: is locked with a password. Save it without one.")


def _once(pairs: Iterable[tuple[str, str]], file: str) -> dict[str, str]:
    """The values by name; a name that two fields share is refused, as either could be meant."""
    values: dict[str, str] = {}
    for name, value in pairs:
        if name in values:
            raise SheetError(
                f"{file}: field {name} stands twice. Two sheets were joined into one file, or it "
                "was changed: type the paper into a fresh teach-back.pdf."
            )
        values[name] = value
    return values


def _drawn(reader: pypdf.PdfReader) -> dict[int, Any]:
    """The fields that somebody who opens the file sees, by the identity of their objects."""
    seen = {}
    for page in reader.pages:
        for reference in page.get("/Annots", ArrayObject()):
            field = reference.get_object()
            if isinstance(field, DictionaryObject) and not _hidden(field):
                seen[id(field)] = field
    return seen


def _hidden(field: Any) -> bool:
    """Whether a field is marked as hidden, or has no room on its page."""
    if int(field.get("/F", 0)) & _HIDDEN:
        return True
    left, low, right, high = (float(side) for side in field["/Rect"])
    return abs(right - left) < 1 or abs(high - low) < 1


def _unlisted(drawn: dict[int, Any]) -> Iterator[tuple[str, str]]:
    """Fields that stand on a page and are not in the form's list, as of a second sheet that was
    joined to the first. `drawn`: what the walk through the list did not take.
    """
    for field in drawn.values():
        if "/T" in field and "/FT" in field and "/Parent" not in field:
            yield _text(field["/T"]), _value([field], field["/FT"], field.get("/V"))


def _values(form: Any, drawn: dict[int, Any]) -> Iterator[tuple[str, str]]:
    """Every field with a value or room for one, walked once however the file links them.

    A field that is drawn nowhere is left out: what nobody sees was not written by a hand. What is
    walked is taken out of `drawn`.
    """
    waiting = [(ref, "", None, None) for ref in reversed(form.get("/Fields", ArrayObject()))]
    seen: set[int] = set()
    while waiting:
        ref, above, kind, value = waiting.pop()
        field = ref.get_object()
        if not isinstance(field, DictionaryObject) or id(field) in seen:
            continue
        seen.add(id(field))
        part = _text(field.get("/T"))
        name = f"{above}.{part}" if above and part else above or part
        kind = field.get("/FT", kind)
        value = field.get("/V", value)
        kids = [kid for kid in field.get("/Kids", ArrayObject()) if kid.get_object() is not None]
        inner = [kid for kid in kids if "/T" in kid.get_object()]
        if inner:
            waiting += [(kid, name, kind, value) for kid in reversed(inner)]
        elif name and kind is not None:
            places = [field, *(kid.get_object() for kid in kids)]
            shown = [place for place in places if drawn.pop(id(place), None) is not None]
            if shown:
                yield name, _value(shown, kind, value)


def _value(places: list[Any], kind: Any, value: Any) -> str:
    """The value of a field; of a tick box what is drawn, where the file says what that is."""
    if kind != "/Btn":
        return _text(value)
    states = [_text(place["/AS"]) for place in places if "/AS" in place]
    if states:
        return next((state for state in states if state not in ("", "Off")), "Off")
    return _text(value)


def _text(value: Any) -> str:
    """A value as text: a string in any of the encodings in use, a name, a number, a stream."""
    value = value.get_object() if hasattr(value, "get_object") else value
    if value is None or isinstance(value, pypdf.generic.NullObject):
        return ""
    if isinstance(value, StreamObject):
        return _decoded(value.get_data())
    if isinstance(value, ArrayObject):
        return ", ".join(_text(entry) for entry in value)
    if isinstance(value, bytes):
        return _decoded(value)
    text = str(value)
    if isinstance(value, pypdf.generic.NameObject):
        return text.removeprefix("/")
    if text.startswith(_UTF8_MARK):
        return text.encode("latin-1", "replace").decode("utf-8", "replace").lstrip("\ufeff")
    return text


def _decoded(data: bytes) -> str:
    """Bytes by their mark, else as Latin letters."""
    if data[:2] in (b"\xfe\xff", b"\xff\xfe"):
        return data.decode("utf-16", "replace")
    if data[:3] == b"\xef\xbb\xbf":
        return data[3:].decode("utf-8", "replace")
    return data.decode("latin-1")


def _printed(reader: pypdf.PdfReader) -> frozenset[str]:
    """Versions in the foot of the first pages."""
    versions: set[str] = set()
    for page in reader.pages[:3]:
        versions |= set(_PRINTED_VERSION.findall(page.extract_text()))
    return frozenset(versions)
