"""A handout from the right, read back word by word: sound as built, and each difference is caught.

No reader gives back Arabic letter by letter in order, so words are compared by their letters.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from packets import PLACES, decision_from, settled_text

from plainleaf.compose.word import Run, WordedPages, Words
from plainleaf.packet.build import lay_out
from plainleaf.packet.papers import Handout
from plainleaf.printing.inspection import inspect_handout
from plainleaf.printing.renderer.layout import Pdf


@cache
def laid() -> tuple[Handout, Pdf]:
    """An Arabic handout and its PDF."""
    _, handout = lay_out(decision_from(settled_text(base="g-button-child"), "ar"), PLACES)
    return handout, handout.laid.pdf()


def with_words(packet: WordedPages, identity: str, words: Words) -> WordedPages:
    """The packet with other words for one statement."""
    return replace(
        packet,
        pages=tuple(
            replace(page, sections=tuple(
                replace(section, statements=tuple(
                    replace(st, words=words) if st.id == identity else st
                    for st in section.statements))
                for section in page.sections))
            for page in packet.pages
        ),
    )  # fmt: skip


def faults_of(packet: WordedPages, cautions: tuple[Words, ...] | None = None) -> list[str]:
    handout, pdf = laid()
    told = handout.manuscript.cautions if cautions is None else cautions
    return inspect_handout(pdf, packet, handout.manuscript.furniture, cautions=told)


@pytest.fixture(autouse=True)
def _ready(fonts: object) -> None:
    """Every page here is drawn in the packet's fonts."""


def test_an_arabic_handout_is_sound() -> None:
    handout, _ = laid()
    assert handout.manuscript.words.direction == "rtl"
    assert faults_of(handout.manuscript.words) == []


def test_a_word_that_is_not_printed_is_missed() -> None:
    handout, _ = laid()
    identity = "skin-care.clean.wipe"
    words = handout.manuscript.words.statements()[identity].words
    assert words is not None
    other = Words((*words.runs, Run(" مستشفى")))
    assert faults_of(with_words(handout.manuscript.words, identity, other)) == [
        f"the statement '{identity}' is not in the print as it was worded"
    ]
    assert faults_of(handout.manuscript.words, (other,)) == [
        "caution 1 is not in the print as it was worded"
    ]


def test_an_amount_that_is_not_printed_is_missed() -> None:
    handout, _ = laid()
    identity = next(
        s.id
        for s in handout.manuscript.words.statements().values()
        if s.words is not None and any(run.kind == "phone" for run in s.words.runs)
    )
    words = handout.manuscript.words.statements()[identity].words
    assert words is not None
    runs = tuple(replace(r, text="+1 555 010 0198") if r.kind == "phone" else r for r in words.runs)
    faults = faults_of(with_words(handout.manuscript.words, identity, Words(runs)))
    assert f"the statement '{identity}' is not in the print as it was worded" in faults
    assert any("a value of the kind 'phone'" in fault for fault in faults)
