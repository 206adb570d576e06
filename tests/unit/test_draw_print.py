"""Every picture on paper: the renderer has nothing to say, and every label is in the print."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from pathlib import Path

import pytest
from builders import ROOT
from test_draw import CASES, IDS, drawn

from plainleaf.check import LARGE_PRINT, read_back
from plainleaf.draw.facts import PictureFacts
from plainleaf.render import Printer

FRAME = (
    '<html lang="en"><head><title>T</title><style>@page {{ size: letter; margin: 0.85in }} '
    'html {{ font-family: "Source Sans 3"; font-size: 18pt }} figure {{ margin: 0 }} '
    "svg {{ display: block }}</style>"
    "</head><body><h1>A</h1><figure>{svg}<figcaption>Look.</figcaption></figure></body></html>"
)


@pytest.mark.parametrize(("name", "shown"), CASES, ids=IDS)
def test_it_prints_without_a_word_of_the_renderer(
    name: str, shown: PictureFacts, fonts: Mapping[str, Path]
) -> None:
    picture = drawn(name, shown, fixed=True)
    pdf = Printer(ROOT / "templates", "letter").pdf(FRAME.format(svg=picture.text))
    (page,) = read_back(pdf.data).pages
    assert min(size for size in page.sizes if size) >= LARGE_PRINT - 0.01
    for word in escape(picture.words, quote=False).split():
        assert word in page.text
    assert page.edge >= 60
