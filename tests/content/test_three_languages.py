"""One patient in every language: the same statements, numbers, phones and dates (row TR-17)."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from functools import cache

import pytest
from builders import ROOT
from packets import NAMES, decision_from, settled_text

from plainleaf.compose.word import WordedPacket, WordedStatement, Words
from plainleaf.inputs.catalog import languages
from plainleaf.packet.build import word_only

TAGS = languages(ROOT / "teaching" / "locales")
_NUMBER = re.compile(r"\d+(?:[.,:]\d+)*")
# Kinds of value that are the same letters in every language.
SAME = {"phone", "dose-volume", "balloon-volume", "size", "length", "count"}


@cache
def packet(name: str, tag: str) -> tuple[WordedPacket, tuple[Words, ...]]:
    return word_only(decision_from(settled_text(base=name), tag))


def lines(statement: WordedStatement) -> Iterator[Words]:
    """Every line of a statement: words, table, labels and what is read aloud."""
    if statement.words is not None:
        yield statement.words
    if statement.picture is not None:
        yield statement.picture.alt
        yield from (line for _, told in statement.picture.labels for line in told)
    for row in statement.block.rows if statement.block is not None else ():
        yield from (line for cell in row for line in cell)


def numbers(statement: WordedStatement) -> Counter[str]:
    return Counter(n for line in lines(statement) for n in _NUMBER.findall(line.plain))


def values(statement: WordedStatement, kinds: set[str]) -> list[tuple[str, str]]:
    return sorted(
        (run.kind, run.text) for line in lines(statement) for run in line.runs if run.kind in kinds
    )


def kinds(statement: WordedStatement) -> Counter[str]:
    return Counter(run.kind for line in lines(statement) for run in line.runs if run.kind)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("tag", [tag for tag in TAGS if tag != "en"])
def test_statements_numbers_and_values_are_the_same(name: str, tag: str) -> None:
    english, other = packet(name, "en")[0], packet(name, tag)[0]
    assert list(other.statements()) == list(english.statements())
    for one, its in zip(english.statements().values(), other.statements().values(), strict=True):
        assert numbers(its) == numbers(one), one.id
        assert values(its, SAME) == values(one, SAME), one.id
        assert kinds(its) == kinds(one), one.id


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("tag", [tag for tag in TAGS if tag != "en"])
def test_phones_and_dates_come_in_the_same_order(name: str, tag: str) -> None:
    sequences = []
    for language in ("en", tag):
        worded, front = packet(name, language)
        runs = [run for words in front for run in words.runs]
        runs += [r for s in worded.statements().values() for line in lines(s) for r in line.runs]
        dated = [sorted(_NUMBER.findall(r.text)) for r in runs if r.kind in ("date", "moment")]
        sequences.append(([r.text for r in runs if r.kind == "phone"], dated))
    assert sequences[0] == sequences[1]
    assert len(sequences[0][0]) > 3
    assert sequences[0][1]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("tag", [tag for tag in TAGS if tag != "en"])
def test_questions_and_skills_are_the_same(name: str, tag: str) -> None:
    english, other = packet(name, "en")[0], packet(name, tag)[0]
    for one, its in zip(english.modules, other.modules, strict=True):
        assert [(p.id, p.listen_for, p.critical) for p in its.prompts] == [
            (p.id, p.listen_for, p.critical) for p in one.prompts
        ]
        assert [(s.id, s.steps) for s in its.skills] == [(s.id, s.steps) for s in one.skills]
