"""The staff copy: the same rows in both languages, with the page and the number of the step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import yaml
from builders import _words, policy, teaching
from format_2 import HOSPICE, data_with, with_codes
from laying import laid
from packets import PLACES, decision_from, settled_text

import plainleaf
from plainleaf.compose.fill import fill
from plainleaf.compose.word import Run, Words, word, wording_of
from plainleaf.packet.build import lay_out
from plainleaf.packet.papers.handout import PRINTED
from plainleaf.packet.papers.paper import LanguageWords
from plainleaf.packet.papers.staff_copy import (
    STAFF_COPY,
    CopyRow,
    Facing,
    StaffCopy,
    copy_faults,
    staff_copy,
)
from plainleaf.printing.fonts import OwnFonts
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.html import Printer
from plainleaf.printing.page_format import Format
from plainleaf.printing.renderer.layout import Pdf

DECISION = decision_from(settled_text())
FILLED = fill(DECISION)
IN_ENGLISH, IN_SPANISH = wording_of(DECISION), wording_of(DECISION, "es")
ENGLISH, SPANISH = word(FILLED, IN_ENGLISH), word(FILLED, IN_SPANISH)


ASKED = [i for m in ENGLISH.modules for i in (*m.prompts, *m.skills)]
# Each question and skill but the last has its row on the nurse's sheet.
ROWS = {item.id: row for row, item in enumerate(ASKED[:-1], start=1)}


# What the handout says in bold before a box, and for staff what its signs mean.
LABELS = {
    "call_now": ("CALL\N{NO-BREAK SPACE}911.", "LLAME\N{NO-BREAK SPACE}AL\N{NO-BREAK SPACE}911."),
    "call_us": ("CALL US NOW.", "LLÁMENOS AHORA."),
    "call_today": ("CALL TODAY.", "LLAME HOY."),
    "tell_visit": ("NEXT VISIT.", "PRÓXIMA CITA."),
    "warn": ("WARNING.", "ADVERTENCIA."),
    "normal": ("NORMAL.", "NORMAL."),
}


def copy(rows: Mapping[str, str] | None = None) -> tuple[StaffCopy, dict[str, str]]:
    """A copy of a handout in which every anchor stands on a page of its own.

    Args:
        rows: Row of a table → its page.
    """
    printed = SPANISH.printed(*PRINTED)
    ids = [page.id for page in printed.pages]
    ids += [section.id for page in printed.pages for section in page.sections]
    ids += list(printed.statements())
    pages = {name: str(100 + at) for at, name in enumerate(ids)} | dict(rows or {})
    english, spanish = LanguageWords(IN_ENGLISH, ENGLISH), LanguageWords(IN_SPANISH, SPANISH)
    emergency = DECISION.facts.values["emergency_phone"]
    return staff_copy(english, spanish, pages, emergency, ROWS), pages


def test_every_statement_stands_in_one_row_with_its_page() -> None:
    made, own = copy()
    rows = [row for part in made.parts for row in part.rows]
    said = {str(row.english[0]): row for row in rows if len(row.english) == 1}
    for identity, statement in ENGLISH.printed(*PRINTED).statements().items():
        if statement.words is not None:
            row = said[str(statement.words)]
            assert row.family[0] == SPANISH.statements()[identity].words
    taught = [part for part in made.parts if not part.id.endswith("-asked")]
    pages = {row.page for part in taught for row in part.rows}
    statements = ENGLISH.printed(*PRINTED).statements()
    printed = {own[i] for i, s in statements.items() if s.block is None or s.block.rows}
    assert pages == printed


def test_every_row_of_a_table_is_a_row() -> None:
    made, pages = copy()
    identity, statement = next(
        (i, s)
        for i, s in ENGLISH.printed(*PRINTED).statements().items()
        if s.block is not None and s.block.rows
    )
    rows = [row for part in made.parts for row in part.rows if row.page == pages[identity]]
    assert statement.block is not None
    assert len(rows) == len(statement.block.rows)


def test_a_row_that_stands_on_the_next_page_says_so() -> None:
    identity, statement = next(
        (i, s)
        for i, s in ENGLISH.printed(*PRINTED).statements().items()
        if s.block and s.block.look == "table" and len(s.block.rows) > 1
    )
    assert statement.block is not None
    made, pages = copy({f"{identity}-2": "7b"})
    rows = [row for part in made.parts for row in part.rows]
    (other,) = [row for row in rows if row.page == "7b"]
    second = [line for cell in statement.block.rows[1] for line in cell]
    assert list(other.english) == second
    assert rows[rows.index(other) - 1].page == pages[identity]


def test_boxes_say_in_both_languages_how_urgent_they_are() -> None:
    made, _ = copy()
    rows = {str(row.english[0]): row for part in made.parts for row in part.rows}
    seen = set()
    for statement in ENGLISH.printed(*PRINTED).statements().values():
        label = rows[str(statement.words)].label if statement.words is not None else None
        said = tuple(str(words) for words in label) if label else None
        assert said == LABELS.get(statement.kind) or statement.words is None
        seen.add(statement.kind)
    assert set(LABELS) <= seen


def test_steps_keep_their_numbers() -> None:
    made, _ = copy()
    for page in ENGLISH.printed(*PRINTED).pages:
        for section in page.sections:
            part = next(p for p in made.parts if p.id == section.id)
            steps = [str(s.words) for s in section.statements if s.kind == "step"]
            numbered = [(row.number, str(row.english[0])) for row in part.rows if row.number]
            assert numbered == [(f"{n}.", text) for n, text in enumerate(steps, 1)], page.id
    assert any(row.number == "3." for part in made.parts for row in part.rows)


def test_what_is_printed_on_request_is_not_in_it() -> None:
    made, _ = copy()
    more = {s.id for page in ENGLISH.pages if page.part == "more" for s in page.sections}
    assert more and not more & {part.id for part in made.parts}


def test_a_topic_stands_before_its_first_section_alone() -> None:
    made, _ = copy()
    topics = [str(part.topic[0]) for part in made.parts if part.topic]
    printed = [str(page.title) for page in ENGLISH.printed(*PRINTED).pages]
    assert topics[: len(printed)] == printed
    # What is not printed for everybody has its questions alone.
    later = [part for part in made.parts if part.topic and str(part.topic[0]) not in printed]
    assert later and all(part.id.endswith("-asked") for part in later)


def test_questions_and_second_explanations_follow_the_page_they_are_about() -> None:
    made, _ = copy()
    asked = {part.id: part for part in made.parts if part.id.endswith("-asked")}
    rows = [row for part in asked.values() for row in part.rows]
    theirs = {i.id: i for m in SPANISH.modules for i in (*m.prompts, *m.skills)}
    numbers = ENGLISH.numbers()
    for prompt in (p for m in ENGLISH.modules for p in m.prompts if p.id in ROWS):
        (ask,) = [row for row in rows if row.english == (prompt.ask,)]
        (again,) = [row for row in rows if row.english == (prompt.again,)]
        assert (ask.number, ask.family) == (f"Row {ROWS[prompt.id]}", (theirs[prompt.id].ask,))
        assert again.family == (theirs[prompt.id].again,)
        assert again.label is not None and str(again.label[1]) == "Otra forma:"
        assert ask.page in {str(numbers[p]) for p in prompt.listen_for if p in numbers}
    said = {row.english[0] for row in rows}
    assert {s.title for m in ENGLISH.modules for s in m.skills if s.id in ROWS} <= said
    last = ASKED[-1]
    assert getattr(last, "ask", getattr(last, "title", None)) not in said


def test_tiers_with_one_call_are_one_section_as_in_the_handout(fonts: OwnFonts) -> None:
    """With the hospice first, the two uppermost tiers are one band."""
    data = with_codes(data_with(base=HOSPICE))
    text = yaml.safe_dump(_words(data), allow_unicode=True, sort_keys=False)
    decision = plainleaf.decide(text, teaching(), policy(), name="hospice")
    context, handout = lay_out(decision, PLACES)
    language = decision.language
    made = staff_copy(
        context.staff, context.words[language], handout.labels,
        decision.facts.values["emergency_phone"], {}, hospice=True,
    )  # fmt: skip
    statements = handout.manuscript.words.statements()
    said = {line for part in made.parts for row in part.rows for line in row.family}
    assert {s.words for s in statements.values() if s.words is not None} <= said


def test_an_amount_keeps_its_order_in_a_language_from_right_to_left() -> None:
    """Without an isolate "120 mL (4 oz)" prints as "120 (4 oz) mL" there."""
    amount = Words((Run("أعط "), Run("120 mL (4 oz)", "volume")))
    english = Words((Run("Give "), Run("120 mL (4 oz)", "volume")))
    arabic = replace(SPANISH, language="ar", direction="rtl")
    row = CopyRow("1", "", (english,), (amount,))
    made = StaffCopy("en", "ltr", arabic, (Facing("s", None, "1", (english, amount), (row,)),))
    printer = Printer(PLACES.templates, Format())
    html = printer.html(
        STAFF_COPY.template, "", IN_ENGLISH, made, AROUND, phone_links=False, heads=("", "")
    )
    kept = '<bdi dir="ltr" style="white-space: nowrap">120 mL (4 oz)</bdi>'
    assert html.count(f"أعط {kept}") == 2
    assert html.count("Give 120 mL (4 oz)") == 2


AROUND = PageFurniture("t", "DRAFT mark", "Ann Test", "Version 1")


def _printed(body: str, style: str = "font-size: 12pt", tag: str = "en") -> Pdf:
    html = (
        f'<html lang="{tag}"><head><title>t</title><style>html {{ font-family: "Source Sans 3"; '
        f"{style} }}</style></head><body><p>DRAFT mark</p><p>{body}</p>"
        "<p>Ann Test</p><p>Version 1</p></body></html>"
    )
    return laid(html)


def test_what_is_missing_small_or_in_no_language_is_a_fault(
    fonts: OwnFonts,
) -> None:
    made, _ = copy()
    first = made.parts[0]
    short = replace(made, parts=(replace(first, rows=first.rows[:1]),))
    body = " ".join(line.plain for line in short.lines())
    assert copy_faults(_printed(body), short, AROUND) == []
    (small,) = copy_faults(_printed(body, "font-size: 11pt"), short, AROUND)
    assert "print of 11 points" in small
    (named,) = copy_faults(_printed(body, tag="es"), short, AROUND)
    assert "language is 'es', not 'en'" in named
    heading = short.parts[0].heading[1].plain
    (lacking,) = copy_faults(_printed(body.replace(heading, "")), short, AROUND)
    assert lacking == f"the staff copy lacks: {heading}"
