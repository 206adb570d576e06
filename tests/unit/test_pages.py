"""Pages of the family's packet: which section is printed where, numbers, pointers, the finder."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from builders import library as shipped
from small_library import FILES, MODULE, pages_of, small_library, write_library

from plainleaf.compose.word import WordedPage, Words
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.content import TIERS, Library, load_library
from plainleaf.packet.papers.page_labels import labels_of
from plainleaf.vocabulary.errors import ContentError

PAGES = pages_of(FILES)


def faults(folder: Path, changed: Mapping[str, str]) -> list[str]:
    with pytest.raises(ContentError) as error:
        load_library(write_library(folder, changed), VOCABULARY)
    return [str(fault) for fault in error.value.faults]


@pytest.mark.parametrize(
    ("pages", "says"),
    [
        (PAGES.replace(", water.how", ""), "no page takes: water.how"),
        (PAGES.replace("water.how]", "water.how, water.how]"), "stands on page 'checks' too"),
        (PAGES.replace("water.how]", "water.how, water.why]"), "'water.why' is no section"),
        (PAGES.replace("id: checks", "id: nowhere"), "Write page-nowhere in phrases.yaml"),
        (PAGES.replace("part: daily", "part: now"), "part"),
    ],
)
def test_each_section_has_one_page_and_each_page_a_title(
    pages: str, says: str, tmp_path: Path
) -> None:
    assert any(says in fault for fault in faults(tmp_path, {"pages.yaml": pages}))


def test_a_text_points_to_a_page_that_there_is(tmp_path: Path) -> None:
    text = MODULE.replace('"Close the cap."', '"Close the cap. See page {page_checks}."')
    assert small_library(tmp_path / "sound", {'"Close the cap."': '"See page {page_checks}."'})
    broken = text.replace("{page_checks}", "{page_feet}")
    told = faults(tmp_path / "broken", {"modules/water.yaml": broken})
    assert any("points to page 'feet', and there is none" in fault for fault in told)


def test_what_runs_on_has_the_number_with_a_letter() -> None:
    pages = [WordedPage(name, "daily", n, Words(()), ()) for n, name in enumerate("ab", start=4)]
    labels = labels_of(pages, {"a": 3, "a.first": 3, "a.last": 5, "b": 6, "foot": 1})
    assert labels == {"a": "4", "a.first": "4", "a.last": "4c", "b": "5"}


def _lines(library: Library) -> dict[str, tuple[str, tuple[str, ...]]]:
    return {
        st.id: (st.kind, st.leads_to)
        for module in library.modules
        for _, st in module.statements()
        if st.leads_to
    }


def test_every_problem_has_a_line_of_the_finder() -> None:
    library = shipped()
    led = {name for _, names in _lines(library).values() for name in names}
    looked_up = {s for page in library.pages if page.part == "wrong" for s in page.takes}
    lines = {s.id for module in library.modules if module.id == "finder" for s in module.sections}
    assert looked_up - lines - led == set()


def test_in_a_group_the_worst_comes_first() -> None:
    library = shipped()
    finder = next(module for module in library.modules if module.id == "finder")
    for section in finder.sections:
        tiers = [TIERS.index(st.kind) for st in section.statements]
        assert tiers == sorted(tiers), section.id
