"""Pages from worded packets: HTML for the phone, PDF for paper.

Templates hold loops and classes only. Nothing is fetched while rendering: the fetcher serves the
shapes of the template folder and refuses every other address, so that an address inside a name
prints as the text it is.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup

from plainleaf.errors import RenderError
from plainleaf.finish import finish
from plainleaf.word import WordedPacket, WordedSection, WordedStatement, Wording

# Kind of statement → the badge it carries (phrase `badge-…` and shape).
_BADGES = {
    "call_now": "now", "call_today": "today", "tell_visit": "visit", "warn": "never",
    "normal": "normal",
}  # fmt: skip


@dataclass(frozen=True)
class Pdf:
    """A finished PDF with the page of every anchor (ids of modules, sections, statements)."""

    data: bytes
    pages: int
    anchors: Mapping[str, int]


@dataclass(frozen=True)
class PageFurniture:
    """What stands on every page: marks above, identity and version below."""

    title: str
    marks: str
    identity: str
    version: str


def groups(section: WordedSection) -> Iterator[tuple[str, int, list[WordedStatement]]]:
    """Runs of one kind, with the number of the first step, so that steps count on."""
    steps = 0
    for kind, group in groupby(section.statements, key=lambda statement: statement.kind):
        items = list(group)
        yield kind, steps + 1, items
        steps += len(items) if kind == "step" else 0


def dial(phone: str) -> str:
    """The digits to dial, for a link: a leading plus, and nothing after an extension word.

    >>> dial("+1 555 010 0142, ext 3")
    '+15550100142'
    """
    number = re.split("[A-Za-z,;]", phone)[0]
    digits = re.sub("[^0-9]", "", number)
    return ("+" if number.strip().startswith("+") else "") + digits


@dataclass
class Printer:
    """Renders with one template folder; keeps what is costly to make between documents."""

    templates: Path
    paper: str
    _fonts: Any = field(default=None)

    def __post_init__(self) -> None:
        self.environment = jinja2.Environment(
            loader=jinja2.FileSystemLoader(self.templates),
            autoescape=True,
            undefined=jinja2.StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=False,
        )
        self.environment.filters.update(
            groups=lambda s: list(groups(s)), dial=dial, badge=_BADGES.__getitem__
        )

    def css(self, name: str, wording: Wording) -> str:
        """A style sheet with the paper size and the words of the page counter."""
        text = str(wording.phrase("page-of", page="\0", pages="\0"))
        page_word, of_word, _ = (part.strip() for part in text.split("\0"))
        source = (self.templates / name).read_text(encoding="utf-8")
        template = jinja2.Environment(autoescape=False, undefined=jinja2.StrictUndefined)
        return template.from_string(source).render(
            paper=self.paper, page_word=page_word, of_word=of_word
        )

    def html(
        self,
        template: str,
        css: str,
        wording: Wording,
        packet: WordedPacket,
        furniture: PageFurniture,
        **more: object,
    ) -> str:
        """One page of HTML.

        Raises:
            RenderError: The template asks for something that is not there.
        """
        try:
            return self.environment.get_template(template).render(
                packet=packet,
                css=Markup(css),
                phrase=wording.phrase,
                title=furniture.title,
                marks=furniture.marks,
                identity=furniture.identity,
                version=furniture.version,
                **more,
            )
        except jinja2.TemplateError as error:
            raise RenderError(f"{template}: {error}") from error

    def pdf(self, html: str, *, forms: bool = False) -> Pdf:
        """A tagged PDF (PDF/UA-1) of a page of HTML.

        Raises:
            RenderError: The renderer wrote a warning or an error to its log.
        """
        import weasyprint
        from weasyprint.text.fonts import FontConfiguration

        if self._fonts is None:
            self._fonts = FontConfiguration()
        with _renderer_log() as log:
            document = weasyprint.HTML(
                string=html, base_url=None, url_fetcher=_fetcher(self.templates)
            ).render(font_config=self._fonts, pdf_variant="pdf/ua-1", pdf_forms=forms)
            data = document.write_pdf(finisher=finish, pdf_variant="pdf/ua-1", pdf_forms=forms)
        if log.lines:
            raise RenderError("the renderer complained: " + "; ".join(log.lines))
        anchors: dict[str, int] = {}
        for number, page in enumerate(document.pages, start=1):
            for name in page.anchors:
                anchors.setdefault(name, number)
        return Pdf(data, len(document.pages), anchors)


class _Log(logging.Handler):
    """Collects what the renderer has to say at warning level or above."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(record.getMessage())


class _renderer_log:
    """Listens to the renderer's log for the time of a with block."""

    def __enter__(self) -> _Log:
        self.handler = _Log()
        self.logger = logging.getLogger("weasyprint")
        self.before = (self.logger.handlers[:], self.logger.propagate, self.logger.level)
        self.logger.handlers[:] = [self.handler]
        self.logger.propagate = False
        self.logger.setLevel(logging.WARNING)
        return self.handler

    def __exit__(self, *_: object) -> None:
        self.logger.handlers[:], self.logger.propagate = self.before[0], self.before[1]
        self.logger.setLevel(self.before[2])


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


def plain_lines(lines: Sequence[object]) -> str:
    """Lines joined for the page head, without empty ones."""
    return ". ".join(str(line) for line in lines if str(line))
