"""What version 70 of the renderer does for PDF/UA by itself, done for version 69.

Goes whole when version 69 goes. In version 70 nothing of this is called.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib.metadata import version
from typing import Any

import pydyf

from plainleaf.printing.renderer.upstream import FIELDS, KINDS, TAGS, Repairing, Wrap, stands_for

_SVG = "{http://www.w3.org/2000/svg}"
_CELLS = ("/TH", "/TD")
# Where the columns and rows of a cell are kept until the document is finished.
_SPANS = "PlainleafSpans"
# A tick in a box of one by one: corners of its outline.
_TICK = ((0.1, 0.5), (0.4, 0.15), (0.92, 0.85), (0.8, 0.92), (0.4, 0.35), (0.2, 0.6))


@stands_for(KINDS)
def _drawings_are_figures(kind_of: Repairing) -> Repairing:
    """A drawing is a figure, as a picture is."""

    def kind(tag: str | None) -> Any:
        return kind_of("img" if tag == f"{_SVG}svg" else tag)

    return kind


@stands_for(TAGS)
def _with_alternatives_and_fields(build: Repairing) -> Repairing:
    """A drawing is read out by its title, and a form field hangs in the tree with its tooltip."""

    def built(box: Any, parent: Any, pdf: Any, page: int, nums: Any, links: Any, tags: Any) -> Any:
        source = getattr(getattr(box, "_box", box), "element", None)
        if source is not None and source.tag == f"{_SVG}svg":
            source.set("alt", source.findtext(f"{_SVG}title") or "")
        for element in build(box, parent, pdf, page, nums, links, tags):
            if source is not None and source.tag == "input":
                field = _fields(pdf)[source.get("name")]
                field["TU"] = pydyf.String(source.get("title"))
                links.append((_hang_field(pdf, page, element, field), field))
            yield element

    return built


@stands_for(TAGS)
def _with_spans(build: Repairing) -> Repairing:
    """A cell of a table is told over how many columns and rows it reaches.

    What it says of its table is written when the whole table is read, and anew.
    """

    def with_spans(box: Any, *arguments: Any) -> Iterator[Any]:
        cell = getattr(box, "_box", box)
        spans = {"ColSpan": getattr(cell, "colspan", 1), "RowSpan": getattr(cell, "rowspan", 1)}
        reaching = {name: many for name, many in spans.items() if many != 1}
        for element in build(box, *arguments):
            if reaching and element["S"] in _CELLS:
                element[_SPANS] = reaching
            yield element

    return with_spans


@stands_for(TAGS)
def _cells_in_cells_are_none(build: Repairing) -> Repairing:
    """What the layout puts into a cell by itself is no cell of its own."""

    def built(box: Any, parent: Any, *arguments: Any) -> Iterator[Any]:
        for element in build(box, parent, *arguments):
            if element["S"] in _CELLS and parent["S"] in _CELLS:
                element["S"] = "/NonStruct"
                element.pop("ID", None)
            yield element

    return built


def _hang_field(pdf: Any, page: int, element: Any, field: Any) -> Any:
    """Put a form field into an element of the tree (ISO 32000-1, 14.7.4.3); the new element."""
    there = {"Type": "/OBJR", "Obj": field.reference, "Pg": pdf.page_references[page]}
    mark = pydyf.Dictionary(there)
    pdf.add_object(mark)
    form = pydyf.Dictionary(
        {
            "Type": "/StructElem",
            "S": "/Form",
            "K": pydyf.Array([mark.reference]),
            "Pg": pdf.page_references[page],
            "P": element.reference,
        }
    )
    pdf.add_object(form)
    element["K"].insert(0, form.reference)
    return form.reference


def _fields(pdf: Any) -> dict[str, Any]:
    """The form fields of a file by their names, which it has once each."""
    kept: dict[str, Any] | None = pdf.__dict__.get("_plainleaf_fields")
    if kept is None:
        kept = pdf.__dict__["_plainleaf_fields"] = {o["T"].string: o for o in _widgets(pdf)}
    return kept


def _widgets(pdf: Any) -> Iterator[Any]:
    return (o for o in pdf.objects if isinstance(o, dict) and o.get("Subtype") == "/Widget")


@stands_for(TAGS)
def _headers_by_number(pdf: Any) -> None:
    """Table headers are named by their number, not by a place in memory that no two runs share."""
    elements: list[Any] = [
        o for o in pdf.objects if isinstance(o, dict) and o.get("S") in ("/TH", "/TD")
    ]
    names = {}
    for element in elements:
        element.setdefault("A", pydyf.Dictionary({"O": "/Table"})).update(element.pop(_SPANS, {}))
        if "ID" in element:
            names[element["ID"].string] = element["ID"] = pydyf.String(f"h{element.number}")
    for element in elements:
        headers = element["A"].get("Headers", ())
        if headers:
            element["A"]["Headers"] = pydyf.Array(names[header.string] for header in headers)


@stands_for(FIELDS)
def _ticks_without_a_font(pdf: Any) -> None:
    """Ticks are drawn, as PDF/UA lets no font be used that is not embedded."""
    for field in _widgets(pdf):
        if field["FT"] == "/Btn":
            for reference in field["AP"]["N"].values():
                _draw_tick(pdf.objects[int(reference.split()[0])])
            field.pop("DA", None)
            field["MK"] = pydyf.Dictionary({"BC": pydyf.Array((0,))})
            field["Border"] = pydyf.Array((0, 0, 0))
    for o in pdf.objects:
        if isinstance(o, dict) and o.pop("ZaDb", None) is None and "/ZapfDingbats" in o.values():
            o.clear()


def _draw_tick(drawing: Any) -> None:
    _, _, width, height = drawing.extra["BBox"]
    corners = [(width * across, height * up) for across, up in _TICK]
    drawing.stream.clear()
    drawing.set_color_rgb(0, 0, 0)
    drawing.move_to(*corners[0])
    for corner in corners[1:]:
        drawing.line_to(*corner)
    drawing.close()
    drawing.fill()


# What is wrapped while the file is written.
WRAPS_69: tuple[Wrap, ...] = (
    ("weasyprint.pdf.tags", "_get_pdf_tag", _drawings_are_figures),
    ("weasyprint.pdf.tags", "_build_box_tree", _with_alternatives_and_fields),
    ("weasyprint.pdf.tags", "_build_box_tree", _with_spans),
    ("weasyprint.pdf.tags", "_build_box_tree", _cells_in_cells_are_none),
)


def is_69() -> bool:
    """Whether version 69 is installed."""
    return version("weasyprint").split(".")[0] == "69"


def finish_69(pdf: Any) -> None:
    """What is mended in the finished document, in place, before all other repairs."""
    _headers_by_number(pdf)
    _ticks_without_a_font(pdf)
