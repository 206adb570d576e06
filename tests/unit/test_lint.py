"""Faults of content that loads and still should not be printed."""

from __future__ import annotations

from pathlib import Path

import pytest
from builders import ROOT
from small_library import FILES, MODULE, write_library

from plainleaf.authoring.lint import PUT_BACK, lint
from plainleaf.inputs.content import Library
from plainleaf.vocabulary.errors import Fault

ASK = "When will you flush?"
WHY = "Water keeps the tube open."

# name → (old words of the module, new words, part of the fault)
FAULTS = {
    "a yes-or-no question": (ASK, "Do you know when to flush?", "yes-or-no question"),
    "a yes-or-no question in capitals": (ASK, "WILL you flush?", "yes-or-no question"),
    "a closed question that begins with is": (ASK, "Is it clear?", "yes-or-no question"),
    "a word that shames": (ASK, "What did you get wrong?", "word that shames"),
    "an exam": (ASK, "This is a test. When will you flush?", "word that shames"),
    "a bare number": (WHY, "Use 60 of water.", "holds '6', a number or symbol outside a slot"),
    "a greater-than sign": (WHY, "Wait > an hour.", "holds '>'"),
    "an ampersand": (WHY, "Flush & close.", "holds '&'"),
    "a degree sign": (WHY, "Warm it to body heat °.", "holds '°'"),
    "a slash": (WHY, "Water and/or formula.", "holds '/'"),
    "cc": (WHY, "Use one cc.", "holds 'cc'"),
}


def linted(folder: Path) -> tuple[Library | None, list[Fault]]:
    """What lint says of a small library, which has no page 1."""
    library, faults = lint(folder)
    return library, [fault for fault in faults if fault.instead != PUT_BACK]


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_found_with_file_and_line(name: str, tmp_path: Path) -> None:
    old, new, wrong = FAULTS[name]
    text = MODULE.replace(old, new)
    library, faults = linted(write_library(tmp_path, {"modules/water.yaml": text}))
    assert library is not None
    (fault,) = faults
    assert wrong in fault.wrong
    identity = "water.tb.when" if old == ASK else "water.when.why"
    assert f"'{identity}'" in fault.wrong
    line = next(n for n, row in enumerate(text.splitlines(), 1) if f"id: {identity}" in row)
    assert (fault.file, fault.line) == ("modules/water.yaml", line)


@pytest.mark.parametrize(
    "ask",
    ["Tell me when you will flush.", "How will you flush?", "What do you do next? Show me.",
     "I would like to know. What is next?"],
)  # fmt: skip
def test_an_open_question_is_fine(ask: str, tmp_path: Path) -> None:
    text = MODULE.replace(ASK, ask)
    assert linted(write_library(tmp_path, {"modules/water.yaml": text}))[1] == []


def test_the_childs_words_are_read_too(tmp_path: Path) -> None:
    old = "Before each feeding of your child: {water_before_feed}"
    text = MODULE.replace(old, "Before each feeding: 30 of water")
    (fault,) = linted(write_library(tmp_path, {"modules/water.yaml": text}))[1]
    assert "'water.when.feed' holds '3'" in fault.wrong


def test_an_act_that_nothing_uses_is_named(tmp_path: Path) -> None:
    acts = FILES["acts.yaml"] + 'never-used: "something"\n'
    (fault,) = linted(write_library(tmp_path, {"acts.yaml": acts}))[1]
    assert (fault.file, fault.wrong) == ("acts.yaml", "'never-used' is used by no statement.")


def test_content_that_does_not_load_gives_its_faults(tmp_path: Path) -> None:
    text = MODULE.replace("status: draft", "status: done")
    library, faults = linted(write_library(tmp_path, {"modules/water.yaml": text}))
    assert library is None
    assert ["status: 'done' is not known." in fault.wrong for fault in faults] == [True]


def test_sound_content_has_no_fault(tmp_path: Path) -> None:
    library, faults = linted(write_library(tmp_path))
    assert library is not None
    assert faults == []


def test_the_shipped_content_has_no_fault() -> None:
    assert lint(ROOT / "teaching")[1] == []
