"""The same handout in every print size: the same words and step numbers, only more pages.

Also sheets printed on both sides: binding edge, staple corner, the sheet for the wall.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest
import yaml
from builders import policy_with
from packets import Printout, decision_from, printout, settled_text
from pdf_reading import Tag, document, pages, sheets, squeezed, tag_text, tag_tree

from plainleaf.rules.decision import decide

SIZES = (14, 18, 22, 28)
EXAMPLE = "g-bumper-blended"
# The corner that a staple needs: 15 by 15 mm (row PR-07).
CORNER = 15 * 72 / 25.4


@cache
def made(size: int, **settings: Any) -> Printout:
    text = settled_text(base=EXAMPLE)
    inputs = replace(decision_from(text).inputs, policy=policy_with(**settings))
    return printout(decide(inputs.with_print_size(size)), text, str(size))


def numbers(tag: Tag, data: bytes) -> list[str]:
    """The marks of all lists but those under a drawing."""
    if any(kid.kind == "/Caption" or [k.kind for k in kid.kids] == ["/Figure"] for kid in tag.kids):
        return []
    if tag.kind == "/Lbl":
        return [squeezed(tag_text(data, tag))]
    return [number for kid in tag.kids for number in numbers(kid, data)]


@pytest.mark.parametrize("size", SIZES)
def test_every_letter_is_as_large_as_asked(size: int) -> None:
    letters = [letter for sheet in sheets(made(size).data) for letter in sheet.letters]
    assert min(letter.size for letter in letters) >= size - 0.01


@pytest.mark.parametrize("size", SIZES)
def test_every_size_passes_the_packets_own_check(size: int) -> None:
    assert made(size).faults == []


@pytest.mark.parametrize("size", [14, 22, 28])
def test_steps_keep_their_numbers(size: int) -> None:
    one, usual = made(size), made(18)
    found = [n for n in numbers(tag_tree(one.data), one.data) if n != "•"]
    assert found == [n for n in numbers(tag_tree(usual.data), usual.data) if n != "•"]
    assert len(found) > 60


def test_larger_print_takes_more_pages() -> None:
    counts = [len(document(made(size).data).pages) for size in SIZES]
    assert counts == sorted(set(counts))


@pytest.mark.parametrize("size", SIZES)
def test_phones_stand_on_side_one_and_emergencies_first(size: int) -> None:
    """Above 18 points an emergency may run on, after all that fits."""
    one = made(size)
    first, second, third, *_ = pages(one.data)
    contacts = yaml.safe_load(settled_text(base=EXAMPLE))["contacts"]
    for name in ("clinic", "after_hours"):
        assert squeezed(contacts[name]["phone"]) in first
    (now,) = (s for s in one.words.pages[0].sections if s.level == "now")
    on_side_one = [squeezed(str(s.words)) in first for s in now.statements]
    assert on_side_one == sorted(on_side_one, reverse=True)
    assert all(on_side_one) or size > 18
    for statement in now.statements:
        assert squeezed(str(statement.words)) in first + second + third


@pytest.mark.parametrize("sides", ["one", "two"])
def test_page_two_is_one_side_and_page_one_at_most_two(sides: str) -> None:
    one = made(18, sides=sides)
    assert one.anchors["tube"] in (2, 3)
    assert one.anchors["day"] == one.anchors["tube"] + 1


@pytest.mark.parametrize("size", SIZES)
def test_the_sheet_for_the_wall_is_not_bound(size: int) -> None:
    one = made(size)
    for sheet in sheets(one.data)[: one.anchors["day"] - 1]:
        assert min(letter.left for letter in sheet.letters) >= 40 - 0.5
        assert sheet.width - max(letter.right for letter in sheet.letters) >= 40 - 0.5


@pytest.mark.parametrize("size", SIZES)
def test_the_binding_edge_changes_sides(size: int) -> None:
    inch = 72
    bound = made(size).anchors["day"]
    for number, sheet in enumerate(sheets(made(size).data)[bound - 1 :], bound):
        left = min(letter.left for letter in sheet.letters)
        right = sheet.width - max(letter.right for letter in sheet.letters)
        # A bullet hangs beside its line; it stands within the margin all the same.
        assert (left if number % 2 else right) >= inch - 0.5, number


@pytest.mark.parametrize("size", SIZES)
def test_the_staple_corner_is_free(size: int) -> None:
    bound = made(size).anchors["day"]
    for number, sheet in enumerate(sheets(made(size).data)[bound - 1 :], bound):
        for mark in (*sheet.letters, *sheet.shapes):
            side = mark.left if number % 2 else sheet.width - mark.right
            assert side >= CORNER or mark.top >= CORNER, (number, mark)


@pytest.mark.parametrize(("sides", "key"), [("one", "/Simplex"), ("two", "/DuplexFlipLongEdge")])
def test_the_printer_is_told_how_to_turn_sheets(sides: str, key: str) -> None:
    preferences = document(made(18, sides=sides).data).trailer["/Root"]["/ViewerPreferences"]
    assert preferences["/Duplex"] == key
    assert preferences["/PrintScaling"] == "/None"


@pytest.mark.parametrize("size", SIZES)
def test_each_topic_begins_a_page(size: int) -> None:
    one = made(size)
    starts = [one.anchors[page.id] for page in one.words.pages]
    assert starts == sorted(set(starts))
    assert [one.labels[page.id] for page in one.words.pages] == [
        str(page.number) for page in one.words.pages
    ]
