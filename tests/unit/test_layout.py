"""Pages of HTML become PDF: page numbers, complaints of the renderer, and nothing is fetched."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from typing import Any

import pypdfium2
import pytest
from laying import TEMPLATES, laid
from pypdf import PdfReader

from plainleaf.printing.fonts import OwnFonts
from plainleaf.printing.renderer.layout import _fetcher
from plainleaf.vocabulary.errors import RenderError


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


def test_a_pdf_knows_the_page_of_each_anchor(fonts: OwnFonts) -> None:
    body = '<p id="a">One</p><p id="b" style="break-before: page">Two</p>'
    pdf = laid(page(body))
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
def test_what_the_renderer_complains_of_is_an_error(body: str, style: str, fonts: OwnFonts) -> None:
    with pytest.raises(RenderError, match=r"complained|not its own"):
        laid(page(body, style))


def test_a_letter_that_the_fonts_lack_is_named_before_it_prints(fonts: OwnFonts) -> None:
    with pytest.raises(
        RenderError, match=r"cannot print: 日 \(U\+65E5\)\. Write these words in Latin"
    ):
        laid(page("<p>日</p>"))


def test_the_same_page_gives_the_same_bytes(fonts: OwnFonts) -> None:
    table = "<table><tr><th>One</th><td>Two</td></tr></table>"
    body = f"<p>One</p>{table}<p><input type='checkbox' name='a' title='A'/></p>"
    assert len({laid(page(body), forms=True).data for _ in range(3)}) == 1


def test_a_page_that_is_not_well_formed_is_an_error(fonts: OwnFonts) -> None:
    with pytest.raises(RenderError, match=r"not well formed.*line 1"):
        laid(page("<p>One<br></p>"))


def test_a_tag_names_its_page_however_many_there_are(fonts: OwnFonts) -> None:
    """ISO 32000-1, 14.7.2: Pg is the page on which the content of an element is drawn."""
    texts = [f"<p style='break-before: page'>{number}</p>" for number in range(1, 13)]
    file = PdfReader(BytesIO(laid(page("".join(texts))).data))
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


def test_a_space_that_keeps_a_line_together_reads_as_a_space(fonts: OwnFonts) -> None:
    """As it is drawn: U+00A0 first, then a space, by one glyph."""
    body = "<p>Call\u00a0911 at once</p><p><b>Give 60\u00a0mL now</b></p>"
    data = laid(page(body)).data
    with pypdfium2.PdfDocument(data) as file:
        text = file[0].get_textpage().get_text_range()
    assert text.split("\r\n") == ["Call 911 at once", "Give 60 mL now"]
