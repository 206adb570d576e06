"""Pages of HTML become tagged PDF (PDF/UA-1).

Nothing is fetched: the fetcher serves the shapes of the template folder and refuses every other
address. Any line of the renderer's log is an error, because a mistyped property or a missing
picture is nothing but a log line.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import Any

from plainleaf.printing.fonts import missing_letters
from plainleaf.printing.renderer.patches import adapt, fill_late, late_slots, parsed
from plainleaf.printing.renderer.pdf_ua import finish
from plainleaf.vocabulary.errors import RenderError


@dataclass(frozen=True)
class Pdf:
    """A finished PDF with the page of every anchor (ids of modules, sections, statements)."""

    data: bytes
    pages: int
    anchors: Mapping[str, int]


@dataclass(frozen=True)
class Sheet:
    """What is to be laid out.

    `fonts`: the files that letters are looked for in, to name those that all of them lack before
    they are printed; without files the renderer's log still refuses them. `forms`: inputs become
    form fields. `two_sided`: pages are set for both sides of a sheet.
    """

    html: str
    templates: Path
    fonts: tuple[Path, ...] = ()
    forms: bool = False
    two_sided: bool = False


class Laid:
    """A laid-out document: its pages are known, its PDF is not written yet."""

    def __init__(
        self, pages: int, anchors: Mapping[str, int], write: Callable[[Mapping[str, str]], bytes]
    ) -> None:
        self.pages = pages
        self.anchors = anchors
        self._write = write
        self._late: Mapping[str, str] = {}
        self._pdf: Pdf | None = None

    def finish(self, late: Mapping[str, str] | None = None) -> None:
        """Have the pages written, with the texts that were not known when they were laid out.

        Args:
            late: Name of a late slot → its text.
        """
        self._late = late or {}

    def pdf(self) -> Pdf:
        """The finished PDF, written when it is first asked for.

        Raises:
            RenderError: The renderer complained while writing, or the late texts are not those
                that the pages have room for.
        """
        if self._pdf is None:
            self._pdf = Pdf(self._write(self._late), self.pages, self.anchors)
        return self._pdf


def lay(sheet: Sheet) -> Laid:
    """A page of HTML laid out on paper.

    Raises:
        RenderError: The font lacks a letter, the renderer wrote a warning or an error to its
            log, an address outside the template folder was asked for, or the page is not well
            formed.
    """
    _refuse_missing_letters(sheet)
    adapt()
    options = {"pdf_variant": "pdf/ua-1", "pdf_forms": sheet.forms}
    with _complaints_refused():
        page = parsed(sheet.html, _fetcher(sheet.templates))
        document = page.render(font_config=_font_configuration(), **options)
    anchors: dict[str, int] = {}
    for number, laid in enumerate(document.pages, start=1):
        for name in laid.anchors:
            anchors.setdefault(name, number)
    slots = late_slots(document)
    finisher = partial(finish, two_sided=sheet.two_sided)

    def write(late: Mapping[str, str]) -> bytes:
        fill_late(slots, late)
        with _complaints_refused():
            return bytes(document.write_pdf(finisher=finisher, **options))

    return Laid(len(document.pages), anchors, write)


@cache
def _font_configuration() -> Any:
    """One for the whole process: a new one for each document would grow the process."""
    from weasyprint.text.fonts import FontConfiguration

    return FontConfiguration()


def _refuse_missing_letters(sheet: Sheet) -> None:
    """A letter that the font lacks would print as a box; a name is never printed like that."""
    missing = missing_letters(sheet.html, *sheet.fonts) if sheet.fonts else ()
    if missing:
        letters = " ".join(f"{c} (U+{ord(c):04X})" for c in missing)
        raise RenderError(
            f"the packet's fonts cannot print: {letters}. Write these words in Latin letters."
        )


class _Log(logging.Handler):
    """Collects what the renderer has to say at warning level or above."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(record.getMessage())


@contextmanager
def _complaints_refused() -> Iterator[None]:
    """Listens to the renderer for the time of a with block.

    Raises:
        RenderError: Its log holds a line at warning level or above, or it asked for an address.
    """
    from weasyprint.urls import FatalURLFetchingError

    handler, logger = _Log(), logging.getLogger("weasyprint")
    before = (logger.handlers[:], logger.propagate, logger.level)
    logger.handlers[:] = [handler]
    logger.propagate = False
    logger.setLevel(logging.WARNING)
    try:
        yield
    except FatalURLFetchingError as error:
        raise RenderError(f"a page asks for what is not its own: {error}") from error
    finally:
        logger.handlers[:], logger.propagate = before[0], before[1]
        logger.setLevel(before[2])
    if handler.lines:
        raise RenderError("the renderer complained: " + "; ".join(handler.lines))


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
