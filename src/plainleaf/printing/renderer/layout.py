"""Pages of HTML become tagged PDF (PDF/UA-1).

Nothing is fetched: the fetcher serves the shapes of the template folder and refuses every other
address. Any line of the renderer's log is an error, because a mistyped property or a missing
picture is nothing but a log line.
"""

from __future__ import annotations

import re
import threading
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

from plainleaf.printing.fonts import OwnFonts, missing_letters
from plainleaf.printing.renderer.engine import at_work, font_configuration, renderer
from plainleaf.printing.renderer.repairs import finish
from plainleaf.vocabulary.errors import RenderError

# The renderer bears one thread at a time.
_TURN = threading.Lock()


@dataclass(frozen=True)
class Pdf:
    """A finished PDF with the page of every anchor (ids of modules, sections, statements)."""

    data: bytes
    pages: int
    anchors: Mapping[str, int]


@dataclass(frozen=True)
class Sheet:
    """What is to be laid out.

    `fonts`: a letter that they lack is named before it is printed. `forms`: inputs become form
    fields. `two_sided`: pages are set for both sides of a sheet.
    """

    html: str
    templates: Path
    fonts: OwnFonts
    forms: bool = False
    two_sided: bool = False


def lay(sheet: Sheet) -> Pdf:
    """A page of HTML laid out on paper; other threads wait for their turn.

    Raises:
        RenderError: The fonts lack a letter, the renderer wrote a warning or an error to its
            log, an address outside the template folder was asked for, the page is not well
            formed, or the renderer cannot be used here.
    """
    _refuse_missing_letters(sheet)
    _refuse_open_tags(sheet.html)
    options = {"pdf_variant": "pdf/ua-1", "pdf_forms": sheet.forms}
    finisher = partial(finish, two_sided=sheet.two_sided)
    with _TURN:
        weasyprint = renderer(sheet.fonts.configuration)
        fonts = font_configuration(sheet.fonts.configuration)
        with at_work():
            page = weasyprint.HTML(string=sheet.html, url_fetcher=_fetcher(sheet.templates))
            document = page.render(font_config=fonts, **options)
            data = bytes(document.write_pdf(finisher=finisher, **options))
    anchors: dict[str, int] = {}
    for number, laid in enumerate(document.pages, start=1):
        for name in laid.anchors:
            anchors.setdefault(name, number)
    return Pdf(data, len(document.pages), anchors)


def _refuse_missing_letters(sheet: Sheet) -> None:
    """A letter that the font lacks would print as a box; a name is never printed like that."""
    missing = missing_letters(sheet.html, *sheet.fonts.letters)
    if missing:
        letters = " ".join(f"{c} (U+{ord(c):04X})" for c in missing)
        raise RenderError(
            f"the packet's fonts cannot print: {letters}. Write these words in Latin letters."
        )


def _refuse_open_tags(html: str) -> None:
    """Pages are well-formed XML too; the renderer would guess where a forgotten tag ends."""
    try:
        ElementTree.fromstring(html)
    except ElementTree.ParseError as error:
        raise RenderError(f"a page is not well formed: {error}") from error


def _fetcher(templates: Path) -> Any:
    """A fetcher that knows `shape:NAME` and nothing else."""
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

    class Own(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: object = None) -> Any:
            name = url.removeprefix("shape:")
            path = templates / "shapes" / f"{name}.svg"
            if not url.startswith("shape:") or not re.fullmatch("[a-z-]+", name):
                raise FatalURLFetchingError(f"refused to fetch {url!r}")
            return URLFetcherResponse(url, path.read_bytes(), {"Content-Type": "image/svg+xml"})

    return Own()
