"""Pages of HTML become PDF: page numbers, complaints of the renderer, and nothing is fetched."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from builders import ROOT
from pypdf import PdfReader

from plainleaf.printing.fonts import letter_fonts
from plainleaf.printing.renderer.layout import Sheet, _fetcher, lay
from plainleaf.vocabulary.errors import RenderError

TEMPLATES = ROOT / "templates"


@pytest.mark.parametrize(
    "url",
    [
        "file:///etc/passwd",
        "http://example.org/a.svg",
        "https://example.org/a.svg",
        "data:image/svg+xml,<svg/>",
        "ftp://example.org/a",
        "shape:../print",
        "shape:now.svg",
        "shape:",
        "now",
        "//example.org/a",
    ],
)
def test_the_fetcher_refuses_every_other_address(url: str) -> None:
    from weasyprint.urls import FatalURLFetchingError

    with pytest.raises(FatalURLFetchingError, match="refused to fetch"):
        _fetcher(TEMPLATES).fetch(url)


def test_the_fetcher_serves_the_shapes() -> None:
    for path in sorted((TEMPLATES / "shapes").glob("*.svg")):
        assert _fetcher(TEMPLATES).fetch(f"shape:{path.stem}").read() == path.read_bytes()


def page(body: str, style: str = "") -> str:
    base = 'html { font-family: "Source Sans 3"; font-size: 18pt }'
    return (
        f'<!DOCTYPE html><html lang="en"><head><title>A title</title><style>{base} {style}'
        f"</style></head><body>{body}</body></html>"
    )


def test_a_pdf_knows_the_page_of_each_anchor(fonts: Mapping[str, Path]) -> None:
    body = '<p id="a">One</p><p id="b" style="break-before: page">Two</p>'
    pdf = lay(Sheet(page(body), TEMPLATES)).pdf()
    assert (pdf.pages, dict(pdf.anchors)) == (2, {"a": 1, "b": 2})
    assert pdf.data.startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("body", "style"),
    [
        ("<p>One</p>", "p { colour: red }"),
        ('<p>One</p><img alt="x" src="http://example.org/a.png"/>', ""),
        ('<p>One</p><img alt="x" src="file:///etc/passwd"/>', ""),
        ("<p>One</p>", "p { background-image: url('shape:nothing') }"),
    ],
    ids=["mistyped property", "address on the net", "file of the machine", "no such shape"],
)
def test_what_the_renderer_complains_of_is_an_error(
    body: str, style: str, fonts: Mapping[str, Path]
) -> None:
    with pytest.raises(RenderError, match=r"complained|not its own"):
        lay(Sheet(page(body, style), TEMPLATES)).pdf()


def test_a_letter_that_the_fonts_lack_is_named_before_it_prints(fonts: Mapping[str, Path]) -> None:
    with pytest.raises(
        RenderError, match=r"cannot print: 日 \(U\+65E5\)\. Write these words in Latin"
    ):
        lay(Sheet(page("<p>日</p>"), TEMPLATES, letter_fonts(fonts)))


def test_the_same_page_gives_the_same_bytes(fonts: Mapping[str, Path]) -> None:
    sheet = Sheet(page("<p>One</p>"), TEMPLATES, letter_fonts(fonts))
    assert lay(sheet).pdf().data == lay(sheet).pdf().data


LATE = '<p>Page <span data-late="a">000</span></p><p>Of <span data-late="b">000</span></p>'


def test_late_texts_take_the_place_of_what_was_laid_out(fonts: Mapping[str, Path]) -> None:
    laid = lay(Sheet(page(LATE), TEMPLATES))
    laid.finish({"a": "7", "b": "46"})
    text = PdfReader(BytesIO(laid.pdf().data)).pages[0].extract_text()
    assert text.split() == ["Page", "7", "Of", "46"]


@pytest.mark.parametrize(
    "texts", [{}, {"a": "7"}, {"a": "7", "b": "46", "c": "1"}], ids=["none", "one", "one more"]
)
def test_a_late_text_that_is_missing_or_has_no_place_is_an_error(
    texts: Mapping[str, str], fonts: Mapping[str, Path]
) -> None:
    laid = lay(Sheet(page(LATE), TEMPLATES))
    laid.finish(texts)
    with pytest.raises(RenderError, match="late texts have no place"):
        laid.pdf()


def test_a_page_that_is_not_well_formed_is_an_error(fonts: Mapping[str, Path]) -> None:
    with pytest.raises(RenderError, match=r"not well formed.*line 1"):
        lay(Sheet(page("<p>One<br></p>"), TEMPLATES))


def test_a_tag_names_its_page_however_many_there_are(fonts: Mapping[str, Path]) -> None:
    """ISO 32000-1, 14.7.2: Pg is the page on which the content of an element is drawn."""
    texts = [f"<p style='break-before: page'>{number}</p>" for number in range(1, 13)]
    file = PdfReader(BytesIO(lay(Sheet(page("".join(texts)), TEMPLATES)).pdf().data))
    pages = {page.indirect_reference.idnum: at for at, page in enumerate(file.pages, start=1)}
    root = file.trailer["/Root"]["/StructTreeRoot"]

    def found(element: Any) -> Iterator[Any]:
        for kid in element.get("/K", ()):
            kid = kid.get_object()
            if isinstance(kid, dict):
                if kid.get("/S") == "/P":
                    yield kid
                yield from found(kid)

    named = [pages[element.raw_get("/Pg").idnum] for element in found(root)]
    assert named == list(range(1, 13))


def test_a_space_that_keeps_a_line_together_reads_as_a_space(fonts: Mapping[str, Path]) -> None:
    """As it is drawn: U+00A0 first, then a space, by one glyph."""
    body = "<p>Call\u00a0911 at once</p><p><b>Give 60\u00a0mL now</b></p>"
    data = lay(Sheet(page(body), TEMPLATES)).pdf().data
    with pypdfium2.PdfDocument(data) as file:
        text = file[0].get_textpage().get_text_range()
    assert text.split("\r\n") == ["Call 911 at once", "Give 60 mL now"]
