"""Pages from worded packets: HTML for the phone, PDF for paper.

Templates hold loops and classes only. Nothing is fetched while rendering: the fetcher serves the
shapes of the template folder and refuses every other address, so that an address inside a name
prints as the text it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import groupby, zip_longest
from pathlib import Path
from typing import Protocol

import jinja2
from markupsafe import Markup

from plainleaf.compose.draw import draw, keyed_roles, with_bdi
from plainleaf.compose.word import (
    WordedPage,
    WordedPicture,
    WordedSection,
    WordedStatement,
    Wording,
    Words,
    together,
    unbroken,
)
from plainleaf.inputs.catalog import SOURCE
from plainleaf.inputs.content import TIERS
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.keep_together import stays_whole
from plainleaf.printing.page_format import LARGE_PRINT, TOP, Format
from plainleaf.vocabulary.errors import RenderError
from plainleaf.vocabulary.languages import locale_name, own_name

# Print size of labels in a picture that a phone shows about half as wide as paper does.
PHONE_SIZE = 26.0
# Kind of statement → the badge it carries (phrase `badge-…` and shape).
BADGES = {
    "call_now": "now", "call_us": "us", "call_today": "today", "tell_visit": "visit",
    "warn": "never", "normal": "normal",
}  # fmt: skip
# Table of whom to call → what its rows are called where they stand in one row.
PHONE_LABELS = {
    "phones": ("phone-night", "phone-day"),
    "phones_one": ("phone-any",),
    "phones_hospice": ("phone-hospice",),
}


def groups(section: WordedSection) -> Iterator[tuple[str, int, list[WordedStatement]]]:
    """Runs of one kind, with the number of the first step, so that steps count on."""
    steps = 0
    for kind, group in groupby(section.statements, key=lambda statement: statement.kind):
        items = list(group)
        yield kind, steps + 1, items
        steps += len(items) if kind == "step" else 0


def is_finder(page: WordedPage) -> bool:
    """Whether a page says where to look for what is wrong."""
    return any(st.leads_to for section in page.sections for st in section.statements)


def says_whom_to_call(page: WordedPage) -> bool:
    """Whether a page is the first: its sections are the tiers, and whom to call."""
    return page.part == "sheet" and any(section.level == "now" for section in page.sections[:1])


def bands(page: WordedPage) -> list[WordedSection]:
    """The sections of a page as they are printed: of page one, tiers with the same call are one
    band, in which what holds for all of it (whom to call, what to do first) comes first."""
    if not says_whom_to_call(page):
        return list(page.sections)
    by_call = groupby(page.sections, key=lambda section: str(section.heading))
    return [_band(list(sections)) for _, sections in by_call]


def _band(sections: Sequence[WordedSection]) -> WordedSection:
    statements = [statement for section in sections for statement in section.statements]
    statements.sort(key=lambda statement: not heads_band(statement))
    return replace(sections[0], statements=tuple(statements))


def heads_band(statement: WordedStatement) -> bool:
    """Whether a statement of page one holds for its whole band."""
    block = statement.block
    return statement.kind == "say" or (block is not None and block.look == "contacts")


def prints_heading(page: WordedPage, section: WordedSection) -> bool:
    """Whether a section has its heading on paper: on the first page only the tiers have."""
    return section.level is not None or not says_whom_to_call(page)


def has_log(section: WordedSection) -> bool:
    """Whether a section holds a log, which is copied and so begins a page of its own."""
    return any(st.block is not None and st.block.look == "log" for st in section.statements)


def _legend(picture: WordedPicture, roles: tuple[str, ...], values: set[str]) -> str:
    """The words of labels that are numbers on the drawing, in order."""
    labels = dict(picture.labels)
    items = (
        "".join(f'<span class="line">{with_bdi(str(line), values)}</span>' for line in labels[role])
        for role in roles
    )
    return '<ol class="keys">' + "".join(f"<li>{item}</li>" for item in items) + "</ol>"


def drawn(picture: WordedPicture, direction: str, size: float, *, on_paper: bool) -> Markup:
    """A picture with its labels, for paper or for the phone.

    On paper the labels are text over the drawing: the renderer would set the text of an SVG letter
    by letter, which breaks joined scripts and the text layer.

    Args:
        size: Print size of the labels in points.
    """
    labels = {role: [str(line) for line in lines] for role, lines in picture.labels}
    values = {
        run.text for _, lines in picture.labels for line in lines for run in line.runs if run.kind
    }
    canvas = draw(picture.name, picture.shown, labels, direction, size)
    keys = keyed_roles(picture.name, tuple(labels), size)
    legend = _legend(picture, keys, values) if keys else ""
    if not on_paper:
        return Markup(canvas.svg(picture.alt.plain) + legend)
    room = f"width:{canvas.width:g}pt;height:{canvas.height:.2f}pt;font-size:{max(size, 18):g}pt"
    return Markup(
        f'<div class="drawn" style="{room}">{canvas.svg(picture.alt.plain, with_labels=False)}'
        + "".join(label.html(values) for label in canvas.labels)
        + f"</div>{legend}"
    )


def dial(phone: str) -> str:
    """The digits to dial, for a link: a leading plus, and nothing after an extension word.

    >>> dial("+1 555 010 0142, ext 3")
    '+15550100142'
    """
    number = re.split("[A-Za-z,;]", phone)[0]
    digits = re.sub("[^0-9]", "", number)
    return ("+" if number.strip().startswith("+") else "") + digits


def _in_css(text: str) -> str:
    """A text as it stands between quotes in a style sheet."""
    return text.replace("\\", "\\\\").replace('"', '\\"')


class InLanguage(Protocol):
    """What a template prints: anything that knows its language and the way it is written."""

    @property
    def language(self) -> str: ...

    @property
    def direction(self) -> str: ...


def page_counter(wording: Wording) -> str:
    """The words of the page counter as CSS content, in the order that the language has them."""
    text = re.sub(r'["\\\\<]', "", str(wording.phrase("page-of", page="\1", pages="\2")))
    parts = (f'"{part}"' for part in re.split("[\1\2]", text))
    counters = iter("counter(page)" if c == "\1" else "counter(pages)" for c in text if c in "\1\2")
    return " ".join(
        part for pair in zip_longest(parts, counters, fillvalue="") for part in pair if part
    )


@dataclass
class Printer:
    """Renders with one template folder; keeps what is costly to make between documents.

    `format`: how the pages are set.
    """

    templates: Path
    format: Format = field(default_factory=Format)

    def __post_init__(self) -> None:
        self.environment = jinja2.Environment(
            loader=jinja2.FileSystemLoader(self.templates),
            undefined=jinja2.StrictUndefined,
            autoescape=True,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self.environment.globals["source_language"] = SOURCE
        self.environment.globals["tiers"] = TIERS
        self.environment.globals["phone_labels"] = PHONE_LABELS
        tests = {"finder": is_finder, "help": says_whom_to_call, "with_log": has_log}
        self.environment.tests.update(tests, unbroken=unbroken)
        self.environment.tests["whole"] = lambda section: stays_whole(section, self.format)
        self.environment.filters.update(
            groups=lambda s: list(groups(s)),
            bands=bands,
            dial=dial,
            picture=self._picture,
            badge=BADGES.__getitem__,
            together=together,
            in_english=locale_name,
            own_name=own_name,
        )

    def _picture(self, picture: WordedPicture, direction: str, on_paper: bool) -> Markup:
        size = self.format.size if on_paper else PHONE_SIZE
        return drawn(picture, direction, size, on_paper=on_paper)

    def css(
        self,
        name: str,
        wording: Wording,
        furniture: PageFurniture,
        *,
        continued: Mapping[int, Sequence[Words]] | None = None,
        **more: object,
    ) -> str:
        """A style sheet with the paper and print size, the page counter, room for head and foot.

        Args:
            continued: Number of a page → lines that stand above it where it runs on.
            more: What else the style sheet names.
        """
        between = str(wording.phrase("list-two", first="\0", second="\0")).split("\0")[1]
        source = (self.templates / name).read_text(encoding="utf-8")
        template = jinja2.Environment(
            autoescape=False, undefined=jinja2.StrictUndefined, trim_blocks=True
        )
        filled = template.from_string(source).render(
            continued={
                n: ([_in_css(str(line)) for line in lines], self.format.height_above(lines))
                for n, lines in (continued or {}).items()
            },
            rtl=wording.catalog.direction == "rtl",
            page_of=page_counter(wording),
            staff_head=partial(self.format.staff_head, furniture),
            staff_foot=partial(self.format.staff_foot, furniture),
            staff_foot_in_one=partial(self.format.staff_foot_in_one, furniture),
            between=between,
            **self._room(furniture),
            **more,
        )
        # The style sheet stands in a page that is HTML and XML; both signs stand in texts only.
        return filled.replace("&", "\\26 ").replace("<", "\\3C ")

    def _room(self, furniture: PageFurniture) -> dict[str, object]:
        """Sizes and margins of the pages."""
        set_ = self.format
        inner, outer = set_.margins
        return {
            "paper": set_.paper,
            "size": set_.size,
            "k": set_.size / LARGE_PRINT,
            "large": set_.large,
            "two_sided": set_.two_sided,
            "inner": inner,
            "outer": outer,
            "head_room": 1.1 * set_.size * set_.head_lines(furniture.head),
            "foot_room": 1.1 * set_.size * set_.foot_lines(furniture.identity, furniture.version),
            "top": TOP,
            "margin_of_foot": set_.margin_of_foot(furniture),
        }

    def html(
        self,
        template: str,
        css: str,
        wording: Wording,
        packet: InLanguage,
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
                large=self.format.large,
                css=Markup(css),
                phrase=wording.phrase,
                title=furniture.title,
                marks=furniture.marks,
                identity=furniture.identity,
                version=furniture.version,
                staff_mark=furniture.staff_mark,
                **more,
            )
        except jinja2.TemplateError as error:
            raise RenderError(f"{template}: {error}") from error
