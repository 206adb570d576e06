"""What the renderer leaves out or gets wrong in a file that is to be PDF/UA; nothing else mends it.

Each repair names the function of the renderer that it stands for (`upstream`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import pydyf

from plainleaf.printing.renderer.repairs_69 import WRAPS_69, finish_69, is_69
from plainleaf.printing.renderer.repairs_fonts import FONT_WRAPS
from plainleaf.printing.renderer.upstream import (
    FIELDS,
    LINKS,
    TAGS,
    TREE,
    Repairing,
    Wrap,
    stands_for,
)


@stands_for(TAGS)
def _with_language(build: Repairing) -> Repairing:
    """Have the language of an element written into its tag.

    The renderer writes that of the whole document only, and a passage in another language would
    be read aloud in the wrong one (PDF/UA-1, 7.2).
    """

    def with_language(box: Any, *arguments: Any) -> Iterator[Any]:
        for element in build(box, *arguments):
            source: Any = getattr(getattr(box, "_box", box), "element", None)
            if source is not None and source.tag not in ("html", "body") and source.get("lang"):
                element["Lang"] = pydyf.String(source.get("lang"))
            yield element

    return with_language


def while_writing() -> list[Wrap]:
    """The repairs that wrap a function of the renderer while it writes, innermost first."""
    return [
        *(WRAPS_69 if is_69() else ()),
        ("weasyprint.pdf.tags", "_build_box_tree", _with_language),
        *FONT_WRAPS,
    ]


def _empty(element: Any) -> None:
    """Leaves nothing of an element that is no part of the tree any more.

    It is not marked as free: the writer counts free objects too when it says at which place of the
    object stream each object stands, and strict readers then find the wrong ones.
    """
    element.clear()


def _number(reference: object) -> int | None:
    """The object number in b'12 0 R', or None."""
    if isinstance(reference, bytes) and reference.endswith(b" R"):
        return int(reference.split()[0])
    return None


def _mark(properties: object) -> int | None:
    """The marked-content number of a property list, or None."""
    return properties.get("MCID") if isinstance(properties, Mapping) else None


class _Tree:
    """The objects of a document with what the repairs look up."""

    def __init__(self, pdf: Any) -> None:
        self.pdf = pdf
        self.elements: list[Any] = [
            o for o in pdf.objects if isinstance(o, dict) and o.get("Type") == "/StructElem"
        ]

    def get(self, reference: object) -> Any:
        number = _number(reference)
        assert number is not None
        return self.pdf.objects[number]

    def live(self) -> set[int]:
        """Numbers of the structure elements that hang in the tree."""
        root = self.get(self.pdf.catalog["StructTreeRoot"])
        waiting = [n for n in map(_number, root["K"]) if n is not None]
        alive: set[int] = set()
        while waiting:
            number = waiting.pop()
            alive.add(number)
            for kid in self.pdf.objects[number].get("K", ()):
                child = _number(kid)
                if child is not None and self.pdf.objects[child].get("Type") == "/StructElem":
                    waiting.append(child)
        return alive


@stands_for(TAGS)
def _scope_headers(tree: _Tree) -> None:
    """Table headers say whether they head a column or a row."""
    for element in tree.elements:
        if element["S"] == "/TH":
            group = tree.get(tree.get(element["P"])["P"])
            element["A"]["Scope"] = "/Column" if group["S"] == "/THead" else "/Row"


@stands_for(LINKS)
def _print_links(tree: _Tree) -> None:
    """Link annotations carry the print flag."""
    for o in tree.pdf.objects:
        if isinstance(o, dict) and o.get("Subtype") == "/Link":
            o["F"] = 4


def _pages_with_marks(tree: _Tree) -> Iterator[tuple[Any, list[Any]]]:
    """Each page with the list of what its marked content belongs to."""
    numbers = tree.get(tree.get(tree.pdf.catalog["StructTreeRoot"])["ParentTree"])["Nums"]
    pages = {
        o["StructParents"]: o
        for o in tree.pdf.objects
        if isinstance(o, dict) and o.get("Type") == "/Page" and "StructParents" in o
    }
    for key, value in zip(numbers[::2], numbers[1::2], strict=True):
        if isinstance(value, list):
            yield pages[key], value


@stands_for(TAGS)
def _furniture_to_artifacts(tree: _Tree) -> None:
    """Running heads and feet are page furniture, not content that is read out."""
    live = tree.live()
    for page, owners in _pages_with_marks(tree):
        loose = {mark for mark, owner in enumerate(owners) if _number(owner) not in live}
        stream = tree.get(page["Contents"]).stream
        for place, token in enumerate(stream):
            if token == b"BDC" and _mark(stream[place - 1]) in loose:
                stream[place - 2] = "/Artifact"
                stream[place - 1] = pydyf.Dictionary({"Type": "/Pagination"})
        for mark in loose:
            owners[mark] = "null"
    for element in tree.elements:
        if element.number not in live:
            _empty(element)
    tree.elements = [element for element in tree.elements if element]


@stands_for(TAGS)
def _list_bodies(tree: _Tree) -> None:
    """Words of a list item that hang beside its body are put into one: an item holds no others.

    The renderer leaves the body out of some items that stand at the top of a page.
    """
    for element in tree.elements:
        if element["S"] != "/LI":
            continue
        loose = [kid for kid in element["K"] if tree.get(kid)["S"] not in ("/Lbl", "/LBody")]
        if not loose:
            continue
        body = pydyf.Dictionary(
            {
                "Type": "/StructElem",
                "S": "/LBody",
                "K": pydyf.Array(loose),
                "Pg": element["Pg"],
                "P": element.reference,
            }
        )
        tree.pdf.add_object(body)
        for kid in loose:
            tree.get(kid)["P"] = body.reference
            element["K"].remove(kid)
        element["K"].append(body.reference)


@stands_for(TAGS)
def _labels_to_figures(tree: _Tree) -> None:
    """Labels that stand over a drawing belong to its figure, whose text is read in their place."""
    for figure in tree.elements:
        if figure["S"] != "/Figure":
            continue
        parent = tree.get(figure["P"])
        if parent["S"] != "/Div" or not parent["K"] or parent["K"][0] != figure.reference:
            continue
        labels = parent["K"][1:]
        for label in labels:
            tree.get(label)["P"] = figure.reference
            figure["K"].append(label)
            _mark_as(tree, label, "/Figure")
        parent["K"] = pydyf.Array([figure.reference])


def _mark_as(tree: _Tree, reference: object, kind: str) -> None:
    """Content of an element and of all below it is marked as of a kind where it is painted."""
    element = tree.get(reference)
    for kid in element["K"]:
        if not isinstance(kid, int):
            _mark_as(tree, kid, kind)
            continue
        stream = tree.get(tree.get(element["Pg"])["Contents"]).stream
        for place, token in enumerate(stream):
            if token == b"BDC" and _mark(stream[place - 1]) == kid:
                stream[place - 2] = kind


@stands_for(TAGS)
def _drop_empty(tree: _Tree) -> None:
    """Elements that hold nothing are taken out of the tree."""
    for element in tree.elements:
        if (
            element.get("S") in ("/Span", "/NonStruct")
            and not element["K"]
            and "Alt" not in element
        ):
            parent = tree.get(element["P"])
            if element.reference in parent["K"]:
                parent["K"].remove(element.reference)
                _empty(element)


@stands_for(TREE)
def _print_as_set(tree: _Tree, *, two_sided: bool) -> None:
    """Print at 100 %, as shrunk large print is not large any more; turn sheets over the long edge.

    Keys of the viewer preferences (PDF 1.7, table 150).
    """
    preferences = tree.pdf.catalog.setdefault("ViewerPreferences", pydyf.Dictionary())
    preferences["PrintScaling"] = "/None"
    preferences["Duplex"] = "/DuplexFlipLongEdge" if two_sided else "/Simplex"
    preferences["DisplayDocTitle"] = "true"


@stands_for(FIELDS)
def _fields_upright(tree: _Tree) -> None:
    """A field's rectangle runs from its lower left to its upper right corner.

    The renderer writes the upper corner first, and some programs that fill forms then see a field
    of negative height.
    """
    for o in tree.pdf.objects:
        if isinstance(o, dict) and o.get("Subtype") == "/Widget":
            left, top, right, bottom = o["Rect"]
            o["Rect"] = pydyf.Array((left, min(top, bottom), right, max(top, bottom)))


@stands_for(FIELDS)
def _lock_what_is_given(tree: _Tree) -> None:
    """A text field that the sheet itself filled in is read-only."""
    for o in tree.pdf.objects:
        if isinstance(o, dict) and o.get("FT") == "/Tx" and o["V"].string:
            o["Ff"] = o.get("Ff", 0) | 1


def finish(document: object, pdf: Any, *, two_sided: bool = False) -> None:
    """All repairs, in place.

    Args:
        two_sided: The pages are set for both sides of a sheet.
    """
    if is_69():
        finish_69(pdf)
    tree = _Tree(pdf)
    _scope_headers(tree)
    _print_links(tree)
    _furniture_to_artifacts(tree)
    _list_bodies(tree)
    _labels_to_figures(tree)
    _drop_empty(tree)
    _print_as_set(tree, two_sided=two_sided)
    _fields_upright(tree)
    _lock_what_is_given(tree)
