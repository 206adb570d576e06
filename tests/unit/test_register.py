"""The register of papers: each file is declared once, whole, and made in its turn."""

from __future__ import annotations

import re
from typing import Any

import pytest
from builders import ROOT

from plainleaf.packet.papers import HANDOUT, PAPERS, MadeIn, PaperKind, Shown, table
from plainleaf.packet.papers.paper_context import Kind
from plainleaf.packet.papers.staff_copy import STAFF_COPY
from plainleaf.packet.papers.teach_back import TEACH_BACK
from plainleaf.teach_back.record_papers import RECORD_PAPERS

TEMPLATES = ROOT / "templates"
EVERY: tuple[PaperKind[Any, Any], ...] = (*PAPERS, *RECORD_PAPERS)
EACH = pytest.mark.parametrize("kind", EVERY, ids=lambda kind: kind.name)


@EACH
def test_a_declaration_says_who_reads_it_where_and_what_for(kind: PaperKind[Any, Any]) -> None:
    assert re.fullmatch(r"[a-z-]+(\{language\})?(\.[a-z]+)+", kind.name)
    assert ("{language}" in kind.name) is (kind.made_in is not MadeIn.STAFF)
    assert kind.reader and "\n" not in kind.reader
    assert kind.purpose.endswith(".") and "\n" not in kind.purpose
    assert kind.make.__doc__


@EACH
def test_what_has_pages_has_a_template_and_a_style_sheet(kind: PaperKind[Any, Any]) -> None:
    paged = kind.shown is not Shown.PROGRAM
    assert bool(kind.template) is bool(kind.style) is paged
    for name in filter(None, (kind.template, kind.style)):
        assert (TEMPLATES / name).is_file()


def test_no_name_is_declared_twice() -> None:
    names = [kind.name for kind in EVERY]
    assert len(names) == len(set(names))


def test_the_record_vouches_for_all_others_and_is_the_last() -> None:
    assert PAPERS[-1].name == "packet.json"
    assert RECORD_PAPERS[-1].name == "record.json"


@pytest.mark.parametrize(
    ("kind", "languages", "files"),
    [
        (HANDOUT, ["en"], {"handout.pdf": "en"}),
        (HANDOUT, ["es", "en"], {"handout.pdf": "es", "handout.en.pdf": "en"}),
        (TEACH_BACK, ["es", "ar"], {"teach-back.pdf": "en"}),
        (STAFF_COPY, ["en"], {}),
        (STAFF_COPY, ["ar", "en", "es"], {"staff-copy.ar.pdf": "ar", "staff-copy.es.pdf": "es"}),
    ],
)
def test_the_files_of_a_packet_follow_from_its_languages(
    kind: Kind, languages: list[str], files: dict[str, str]
) -> None:
    assert kind.files(languages, "en") == files


def test_a_table_has_one_row_a_file() -> None:
    def make(_context: object, _language: str) -> bytes:
        return b""

    kind = PaperKind("map{language}.pdf", "the driver", "The way.", Shown.BOTH, make)
    assert table([kind]).splitlines() == [
        "| file | for | looked at on | what it is |",
        "| --- | --- | --- | --- |",
        "| `map{language}.pdf` | the driver | paper or screen | The way. |",
    ]
