"""What the pinned renderer does not do by itself; nothing else reaches into it.

WeasyPrint and pydyf are pinned, and tests read what each adaptation is for in the finished file.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any
from xml.etree import ElementTree

from plainleaf.vocabulary.errors import RenderError

# Marks an element whose text is known only when its document is laid out.
LATE = "data-late"
# Where a selector of the renderer names its pseudo-element.
_PSEUDO_ELEMENT = 3
_SIDES = ("top", "right", "bottom", "left")


def _keep_languages() -> None:
    """Have the language of an element written into its tag.

    The renderer writes that of the whole document only, and a passage in another language would
    be read aloud in the wrong one (PDF/UA-1, 7.2).
    """
    import pydyf
    from weasyprint.pdf import tags

    build = tags._build_box_tree

    def with_language(box: Any, *arguments: Any) -> Iterator[Any]:
        for element in build(box, *arguments):
            source: Any = getattr(getattr(box, "_box", box), "element", None)
            if source is None or source.tag in ("html", "body"):
                pass
            elif source.get("lang"):
                element["Lang"] = pydyf.String(source.get("lang"))
            yield element

    tags._build_box_tree = with_language


def _read_spaces_as_spaces() -> None:
    """Have the space of every font read as a space.

    A font draws a space and a no-break space with one glyph, and the renderer has the glyph read
    as whichever stood first: a search for "Call 911" or for a heading would then find nothing.
    """
    from weasyprint import pdf

    build = pdf.build_fonts_dictionary

    def with_spaces(file: Any, fonts: Mapping[str, Any], *arguments: Any) -> Any:
        for font in fonts.values():
            texts = font.to_unicode
            texts.update({glyph: " " for glyph, text in texts.items() if text == "\u00a0"})
        return build(file, fonts, *arguments)

    pdf.build_fonts_dictionary = with_spaces


def _remember_pages() -> None:
    """Have the list of a file's pages kept until there is one more.

    The writer makes it anew for every element of the tag tree: a seventh of its time for a sheet.
    """
    import pydyf

    made = pydyf.PDF.page_references

    def page_references(pdf: Any) -> Any:
        kept = pdf.__dict__.get("_pages_kept")
        if kept is None or kept[0] != len(pdf.pages["Kids"]):
            kept = (len(pdf.pages["Kids"]), made.fget(pdf))
            pdf.__dict__["_pages_kept"] = kept
        return kept[1]

    pydyf.PDF.page_references = property(page_references)


def _answer_plain_styles() -> None:
    """Answer at once for a property that no rule sets and that needs no computing.

    The renderer asks all its questions for each property of each box, and nine in ten are of this
    kind: a twentieth of the layout.
    """
    from weasyprint import css

    others = {name: _flow_relative(name) for name in css.INITIAL_VALUES}
    involved = {"float", "display", "position"}
    involved |= {name for name in others if name.startswith("text_decoration_")}
    # A page is not inherited, but an element that names none is on that of its parent.
    inherited = set(css.INHERITED) - involved | {"page"}
    computed = set(css.INITIAL_NOT_COMPUTED)
    alone = {n: css.INITIAL_VALUES[n] for n in others.keys() - inherited - computed - involved}
    # A border that has no style has no width.
    borders = {f"border_{side}_width": f"border_{side}_style" for side in _SIDES}
    asked = css.ComputedStyle.__missing__

    def missing(style: Any, name: str) -> Any:
        cascaded = style.cascaded
        if name not in cascaded and cascaded.keys().isdisjoint(others.get(name, ())):
            if name in alone:
                value = style[name] = alone[name]
                return value
            if name in inherited and style.parent_style is not None:
                value = style[name] = style.parent_style[name]
                return value
            if name in borders and style[borders[name]] == "none":
                style[name] = 0
                return 0
        return asked(style, name)

    css.ComputedStyle.__missing__ = missing


def _flow_relative(name: str) -> tuple[str, ...]:
    """The flow-relative properties that may set a physical one, as `margin-inline-end` does."""
    from weasyprint import css

    function = css.PHYSICAL_FUNCTIONS.get(name)
    if function is None:
        return ()
    return tuple({function(block="ttb", inline=direction) for direction in ("ltr", "rtl")})


def _prepare_no_notes() -> None:
    """Have no footnotes and no notes prepared.

    The renderer's own style sheet gives five marks for them to every element of a page, and each
    costs a style of its own: a tenth of the layout. No page has notes.
    """
    import weasyprint

    selectors = weasyprint.UA_STYLESHEET.matcher.other_selectors
    selectors[:] = [one for one in selectors if "note" not in (one[_PSEUDO_ELEMENT] or "")]


def _try_whole_lines_first() -> None:
    """Ask for the narrowest width of a box only where its whole lines do not fit.

    The width to shrink to is min(max(narrowest, available), widest) (CSS 2.1, 10.3.5): the widest
    where that is available. The narrowest takes a line for each word: a fifteenth of the layout.
    """
    from weasyprint.layout import absolute, float, inline, preferred

    asked = preferred.shrink_to_fit

    def shrink_to_fit(context: Any, box: Any, available: Any) -> Any:
        widest = preferred.max_content_width(context, box, outer=False)
        return widest if widest <= available else asked(context, box, available)

    for module in (absolute, float, inline):
        module.shrink_to_fit = shrink_to_fit


# What a finished file needs; and what only saves time, without which it is the same to the byte.
NEEDED = (_keep_languages, _read_spaces_as_spaces)
FOR_SPEED = (
    _remember_pages,
    _answer_plain_styles,
    _prepare_no_notes,
    _try_whole_lines_first,
)


@cache
def adapt() -> None:
    """Adapt the renderer, once a process."""
    for adaptation in (*NEEDED, *FOR_SPEED):
        adaptation()


def parsed(html: str, fetcher: Any) -> Any:
    """A page for the renderer, read as the XML that it also is.

    The parser of the standard library takes a tenth of the time of the renderer's own, which
    forgives what is not well formed; here a template that is not closed must not go unseen.

    Raises:
        RenderError: The page is not well formed.
    """
    import cssselect2
    import weasyprint

    try:
        root = ElementTree.fromstring(html)
    except ElementTree.ParseError as error:
        raise RenderError(f"a page is not well formed: {error}") from error
    page = weasyprint.HTML.__new__(weasyprint.HTML)
    page.base_url, page.url_fetcher, page.media_type = None, fetcher, "print"
    page.wrapper_element = cssselect2.ElementWrapper.from_html_root(root, content_language=None)
    page.etree_element = root
    return page


def late_slots(document: Any) -> dict[str, list[Any]]:
    """The boxes of a laid-out document whose text is still to come, by name."""
    slots: dict[str, list[Any]] = {}
    for page in document.pages:
        for box in page._page_box.descendants():
            name = box.element.get(LATE) if hasattr(box, "text") and box.element is not None else ""
            if name:
                slots.setdefault(name, []).append(box)
    return slots


def fill_late(slots: Mapping[str, Sequence[Any]], texts: Mapping[str, str]) -> None:
    """Put the texts into their boxes; the room that the placeholder took stays.

    Raises:
        RenderError: A slot has no text, or a text no slot.
    """
    if slots.keys() != texts.keys():
        odd = ", ".join(sorted(slots.keys() ^ texts.keys()))
        raise RenderError(f"these late texts have no place, or these places no text: {odd}")
    for name, boxes in slots.items():
        for box in boxes:
            # The text is shaped once more when it is drawn.
            box.text = box.pango_layout.text = texts[name]
