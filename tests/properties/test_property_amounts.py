"""Every amount, date and time of every packet keeps the print rules (DS-01 to DS-19).

The rules are those of the project's print reference, section 8; they look at the words as they
are printed. What the patient file says in words of its own is left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from hypothesis import given
from strategies import Made, few, patients, wording

from plainleaf.compose.word import NBSP, WordedBlock, Words
from plainleaf.facts.derived import Phrase, Typed
from plainleaf.vocabulary.quantities import Quantity

UNITS = r"(?:mL|mg|mcg|g|oz|kcal|Fr|cm|kg|lb|hours?|minutes?|days?)"
# Rule → what must not be found in the words.
FORBIDDEN = {
    "DS-01": r"\d\.\d*0\b",
    "DS-02": r"(?<!\d)\.\d",
    "DS-03": r"\b(?:cc|ml|ML|mLs|mls)\b",
    "DS-04": r"\d[ \u00a0]l\b",
    "DS-05": rf"\d {UNITS}\b|\d{UNITS}\b",
    "DS-06": r"\b(?:mL|mg|mcg)\.(?=\s+[a-z])",
    "DS-07": r"\b\d{4,}\s*(?:mL|units|kcal|mg)",
    "DS-08": r"\b\d[\d,]*\s*(?:U|u|IU)\b",
    "DS-10": r"[µμ]g",
    "DS-11": r"\b\d/\d\b",
    "DS-16": r"(?<![:\d])12(?::00)?\s*[ap]\.?m\b|\b0:\d\d|\b(?:1[3-9]|2[0-3]):[0-5]\d\b",
    "DS-17": r"\d{1,2}/\d{1,2}|\b\d{4}-\d{2}-\d{2}\b",
    "DS-19": r"\b0:[0-5]\d\b",
}
WEEKDAY = "(?:Monday|Tuesday|Wednesday|Thursday|Friday|Saturday|Sunday)"
MONTH = "(?:January|February|March|April|May|June|July|August|September|October|November|December)"
CLOCK = r"(?:noon|midnight|(?:1[0-2]|[1-9])(?::[0-5]\d)?\u00a0[ap]m)"
LOOKS = {
    "date": rf"{WEEKDAY}, {MONTH}\u00a0\d{{1,2}}, \d{{4}}",
    "day-of-year": rf"{MONTH}\u00a0\d{{1,2}}, \d{{4}}",
    "clock-short": CLOCK,
    "moment": rf"{WEEKDAY}, {MONTH}\u00a0\d{{1,2}}, \d{{4}}, at {CLOCK}",
    "rate": r"[\d.,]+\u00a0mL\u00a0an\u00a0hour",
    "dose-volume": r"[\d.,]+\u00a0mL",
    "balloon-volume": r"[\d.,]+\u00a0mL",
    "container": r"[\d.,]+\u00a0mL",
    "size": r"[\d.]+\u00a0Fr",
    "length": r"[\d.]+\u00a0cm",
    "volume": r"[\d.,]+\u00a0mL(?:[ \u00a0]\((?:about\u00a0)?[\d.]+\u00a0oz\))?",
}
# A number never stands at the end of a line with its unit on the next.
NEVER_BROKEN = (
    "phone", "size", "length", "length-range", "balloon-volume", "dose-volume", "container", "rate",
    "span", "clock", "clock-short", "angle-range",
)  # fmt: skip


def _cells(block: WordedBlock) -> Iterator[Words]:
    yield from block.head
    yield from (line for row in block.rows for cell in row for line in cell)


def printed(made: Made) -> Iterator[Words]:
    """Everything that the handout and the sheet print of the teaching."""
    for module in made.worded.modules:
        yield module.title
        for section in module.sections:
            yield section.heading
            for statement in section.statements:
                if statement.words is not None:
                    yield statement.words
                if statement.block is not None:
                    yield from _cells(statement.block)
        for prompt in module.prompts:
            yield from (prompt.ask, prompt.again)
        yield from (skill.title for skill in module.skills)


def _ours(words: Words) -> str:
    """The words without what stands in the patient file as free text."""
    return "".join("…" if run.kind in ("text", "phone") else run.text for run in words.runs)


@few(50)
@given(patients())
def test_no_printed_words_break_a_print_rule(made: Made) -> None:
    for words in printed(made):
        for rule, pattern in FORBIDDEN.items():
            found = re.search(pattern, _ours(words))
            assert found is None, (rule, str(words))


@few(50)
@given(patients())
def test_every_kind_of_value_has_its_one_look(made: Made) -> None:
    seen = set()
    for words in printed(made):
        for run in words.runs:
            if run.kind in LOOKS:
                seen.add(run.kind)
                assert re.fullmatch(LOOKS[run.kind], run.text), (run.kind, run.text)
            if run.kind in NEVER_BROKEN:
                # A span of hours and minutes may be broken between the two.
                whole = re.sub(r"(?<=hours) (?=\d+\xa0min)", "", run.text)
                assert " " not in whole, (run.kind, run.text)
    assert {"volume", "size", "date"} & seen


def _inside(value: Typed | Phrase) -> Iterator[Typed]:
    if isinstance(value, Typed):
        yield value
        return
    for _, inner in value.values:
        yield from _inside(inner)


def _values(made: Made) -> Iterator[Typed]:
    """Every value of the filled handout."""
    sections = (section for module in made.filled.modules for section in module.sections)
    for statement in (statement for section in sections for statement in section.statements):
        if statement.text is not None:
            yield from (value for _, value in statement.text.values)
        rows = statement.block.rows if statement.block is not None else ()
        for line in (line for row in rows for cell in row for line in cell):
            yield from _inside(line)


@few(40)
@given(patients())
def test_a_worded_amount_reads_back_as_the_amount(made: Made) -> None:
    words = wording()
    count = 0
    for value in _values(made):
        if value.kind not in ("volume", "dose-volume", "balloon-volume", "container", "rate"):
            continue
        assert isinstance(value.value, Quantity)
        count += 1
        text = str(words.value(value))
        number = Decimal(text.split(NBSP)[0].replace(",", ""))
        exact = value.value.value if value.kind == "rate" else value.value.to("mL").value
        allowed = Decimal("0.05") if exact < 10 else Decimal("0.5")
        assert abs(number - exact) <= allowed, (text, exact)
        ounce = re.search(r"(?P<about>about\u00a0)?(?P<oz>[\d.]+)\u00a0oz", text)
        if ounce is not None:
            off = abs(Decimal(ounce["oz"]) * 30 - exact)
            assert off == 0 if ounce["about"] is None else off <= max(exact / 20, Decimal(4))
    assert count
