"""Pages as HTML: groups of statements, links to dial, style sheets, and words that stay words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from builders import ROOT, library

from plainleaf.compose.word import (
    Run,
    WordedBlock,
    WordedPacket,
    WordedSection,
    WordedStatement,
    Wording,
    Words,
)
from plainleaf.inputs.catalog import Catalog, Message
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.html import Printer, dial, groups, has_log
from plainleaf.printing.page_format import Format
from plainleaf.vocabulary.errors import RenderError

TEMPLATES = ROOT / "templates"
WORDS = Wording(library(), Catalog("en", {}))
FURNITURE = PageFurniture("A title", "DRAFT", "Ann Test, record 1", "Version 1")


def words(text: str, kind: str = "") -> Words:
    return Words((Run(text, kind),))


def section(*kinds: str) -> WordedSection:
    statements = tuple(
        WordedStatement(f"s{number}", kind, words(f"Text {number}."), None, ())
        for number, kind in enumerate(kinds)
    )
    return WordedSection("x", words("Heading"), None, statements)


@pytest.mark.parametrize(
    ("kinds", "is_"),
    [
        ((), []),
        (("say",), [("say", 1, ["s0"])]),
        (("step", "step"), [("step", 1, ["s0", "s1"])]),
        # steps count on after what stands between them
        (("step", "step", "warn", "step"),
         [("step", 1, ["s0", "s1"]), ("warn", 3, ["s2"]), ("step", 3, ["s3"])]),
        (("say", "point", "point", "say"),
         [("say", 1, ["s0"]), ("point", 1, ["s1", "s2"]), ("say", 1, ["s3"])]),
    ],
    ids=["nothing", "one", "steps", "steps count on", "runs"],
)  # fmt: skip
def test_groups(kinds: tuple[str, ...], is_: list[tuple[str, int, list[str]]]) -> None:
    found = [(kind, first, [s.id for s in items]) for kind, first, items in groups(section(*kinds))]
    assert found == is_


# RFC 3966: a global number is a plus and digits; visual separators do not matter.
@pytest.mark.parametrize(
    ("phone", "is_"),
    [
        ("911", "911"),
        ("+1 555 010 0142", "+15550100142"),
        ("(555) 010-0142", "5550100142"),
        ("+1 555 010 0142, ext 3", "+15550100142"),
        ("555.010.0142 x12", "5550100142"),
        ("555 010 0142; then press 2", "5550100142"),
        ("555 010 0142 then press 2", "5550100142"),
        (" +1\u00a0555\u00a0010\u00a00142", "+15550100142"),
    ],
)
def test_dial(phone: str, is_: str) -> None:
    assert dial(phone) == is_


def html(folder: Path, template: str, **more: object) -> str:
    (folder / "t.j2").write_text(template, encoding="utf-8")
    packet = WordedPacket("en", "ltr", ())
    return Printer(folder).html("t.j2", "p > a {}", WORDS, packet, FURNITURE, **more)


def test_what_stands_in_a_name_is_text_and_never_markup(tmp_path: Path) -> None:
    name = '<img src="file:///etc/passwd"> & "quoted"'
    page = html(tmp_path, "{{ name }}|{{ css }}", name=name)
    assert page == ("&lt;img src=&#34;file:///etc/passwd&#34;&gt; &amp; &#34;quoted&#34;|p > a {}")


@pytest.mark.parametrize(
    "template", ["{{ nothing }}", "{{ packet.nothing }}", "{% if %}", "{{ phrase( }}"]
)
def test_a_template_that_asks_for_what_is_not_there_is_an_error(
    template: str, tmp_path: Path
) -> None:
    with pytest.raises(RenderError, match=r"t\.j2"):
        html(tmp_path, template)


def test_a_template_that_is_missing_is_an_error(tmp_path: Path) -> None:
    packet = WordedPacket("en", "ltr", ())
    with pytest.raises(RenderError, match=r"none\.j2"):
        Printer(tmp_path).html("none.j2", "", WORDS, packet, FURNITURE)


@pytest.mark.parametrize("paper", ["letter", "A4"])
@pytest.mark.parametrize("name", ["print.css", "teach-back.css", "screen.css"])
def test_style_sheets_are_filled_in(name: str, paper: str) -> None:
    css = Printer(TEMPLATES, format=Format(paper)).css(name, WORDS, FURNITURE, clock_column=25)
    assert "{{" not in css
    if name != "screen.css":
        assert f"size: {paper};" in css
    if name == "teach-back.css":
        assert '"Page " counter(page) " of " counter(pages)' in css


@pytest.mark.parametrize("name", ["teach-back.css", "staff-copy.css"])
def test_a_period_stands_between_the_page_number_and_the_version(name: str) -> None:
    css = Printer(TEMPLATES).css(name, WORDS, FURNITURE)
    assert re.search(r'\.page-number::before \{ content: [^;]*counter\(pages\)[^;]*"\."; ', css)


@pytest.mark.parametrize(
    ("words", "css"),
    [
        ("Página {page} de {pages}", '"Página " counter(page) " de " counter(pages) ""'),
        ("{pages}쪽 중 {page}쪽", '"" counter(pages) "쪽 중 " counter(page) "쪽"'),
    ],
    ids=["page first", "pages first"],
)
def test_the_page_counter_has_the_order_of_the_language(
    words: str, css: str, tmp_path: Path
) -> None:
    phrases = library().phrases
    messages = {
        f"phrase:{name}": Message((phrases[name][0],), (text,), "f.po", 1)
        for name, text in {"page-of": words, "list-two": "{first}، {second}"}.items()
    }
    (tmp_path / "a.css").write_text("{{ paper }}|{{ page_of }}|{{ between }}", encoding="utf-8")
    wording = Wording(library(), Catalog("ko", messages))
    assert Printer(tmp_path).css("a.css", wording, FURNITURE) == f"letter|{css}|، "


@pytest.mark.parametrize(
    ("look", "is_"), [("log", True), ("table", False), (None, False)], ids=["log", "table", "text"]
)
def test_a_section_with_a_log_begins_a_page(look: str | None, is_: bool) -> None:
    block = None if look is None else WordedBlock("b", look, (), ())
    statement = WordedStatement("s", "block" if look else "say", None, block, ())
    assert has_log(WordedSection("x", words("Heading"), None, (statement,))) is is_
