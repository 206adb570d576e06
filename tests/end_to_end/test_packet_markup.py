"""A page is HTML for a browser and XML for the printer: both read the same tree."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

import pytest
import tinyhtml5
from packets import PLACES, Packet, decision_from, settled_text

from plainleaf.packet.build import build
from plainleaf.printing.renderer.layout import Sheet
from plainleaf.printing.workers import Here, Printing

Tree = tuple[str, dict[str, str], str, str, tuple[Any, ...]]


def tree(element: ElementTree.Element) -> Tree:
    """Name, attributes, text, what follows, and what is inside."""
    kids = tuple(tree(kid) for kid in element)
    # HTML keeps the name of a namespace as an attribute, XML in the names.
    attributes = {name: value for name, value in element.items() if not name.endswith("xmlns")}
    return (str(element.tag), attributes, element.text or "", element.tail or "", kids)


def trees(html: str) -> tuple[list[Tree], list[Tree]]:
    """Head and body as HTML5 has them (WHATWG HTML, 13.2), and as XML has them."""
    as_html = tinyhtml5.parse(html, namespace_html_elements=False)
    as_xml = ElementTree.fromstring(html)
    # HTML has no place for the line end between the two.
    for root in (as_html, as_xml):
        for part in root:
            part.tail = (part.tail or "").strip()
    body = as_html.find("body")
    assert body is not None
    return [tree(part) for part in as_html], [tree(part) for part in as_xml]


def as_read(html: str) -> None:
    one, other = trees(html)
    assert one[0] == other[0]
    # HTML moves the white space after the body's end to the end of the body.
    assert one[1][:3] == other[1][:3]
    assert one[1][4][:-1] == other[1][4][:-1]
    assert one[1][4][-1][4] == other[1][4][-1][4]


def test_the_phone_s_page_reads_the_same_both_ways(packet: Packet) -> None:
    as_read(packet.files["handout.html"].decode())


def test_every_page_for_paper_reads_the_same_both_ways(monkeypatch: pytest.MonkeyPatch) -> None:
    """Handout and sheet."""
    sheets: list[Sheet] = []
    lay = Here.lay

    def kept(here: Here, sheet: Sheet) -> Printing:
        sheets.append(sheet)
        return lay(here, sheet)

    monkeypatch.setattr(Here, "lay", kept)
    build(decision_from(settled_text()), PLACES)
    assert len(sheets) >= 2
    for sheet in sheets:
        as_read(sheet.html)


def test_a_difference_is_seen() -> None:
    with pytest.raises(AssertionError):
        as_read("<html><head><title>T</title></head><body><p>A<p>B</p></p></body></html>")
