"""What the commands print for a person to read."""

from __future__ import annotations

from typing import Any

import pytest
from builders import library, patient_with, policy, teaching

from plainleaf.cli import screen_text as screen
from plainleaf.inputs.load_inputs import inputs_for
from plainleaf.rules.decision import Decision, decide

A, GJ = "g-balloon-syringe", "gj-pump-overnight"
CLEAR: dict[str, Any] = {"medicines": [], "other_lines": []}


def case(changes: dict[str, Any] | None = None, base: str = A, language: str = "en") -> Decision:
    return decide(inputs_for(patient_with(changes, base), policy(), teaching(), language))


def test_a_review_begins_with_whom_it_is_about_and_the_verdict() -> None:
    lines = screen.review(case()).splitlines()
    assert lines[0] == "Walter Brandvold, record DEMO-0233, handout language en"
    assert lines[1] == "A packet cannot be built yet: settle what blocks it below."
    assert screen.review(case(CLEAR)).splitlines()[1] == "A packet can be built."


def test_a_finding_says_where_to_look_and_how_to_accept_it() -> None:
    text = screen.review(case())
    start = text.index("STOP    crush-modified-release (omeprazole)")
    part = text[start : text.index("\nCONFIRM", start)]
    assert "Look at: medicines[0]" in part
    assert "Can be accepted by " in part
    assert (
        "accepted: [{finding: crush-modified-release, by: NAME, reason: TEXT, on: DATE, "
        "about: omeprazole}]"
    ) in part


def test_an_accepted_finding_says_by_whom() -> None:
    entry = {"finding": "crush-modified-release", "by": "Dr. Ames", "reason": "seen",
             "on": "2026-03-04"}  # fmt: skip
    text = screen.review(case({"accepted": [entry]}))
    assert "Accepted by Dr. Ames on 2026-03-04: seen" in text
    assert "finding: crush-modified-release, by: NAME" not in text


@pytest.mark.parametrize(
    "line",
    [
        "18:00     900 mL  Start the pump on the bowel port: 75 mL an hour, 900 mL (30 oz) in all",
        "06:00             Stop the pump on the bowel port",
        "Formula               900 mL (30 oz)              the feedings above",
        "Energy from formula   1,350 kcal                  formula at 1.5 kcal/mL, from its label",
        "Food and drink by mouth is not counted.",
        "2026-03-04 10:30 until 2026-03-07 10:30  The first days, when stop signs count most",
        "2026-03-18 09:00  Visit: First tube check",
        # 900 mL a day out of one 1,000 mL container; 30 days and 3 in reserve (arithmetic).
        "   33  Standard adult formula, 1.5, 1000 mL each   1 a day, 3300 mL thrown away in all",
    ],
)
def test_a_review_shows_the_day_the_totals_and_the_dates(line: str) -> None:
    assert line in screen.review(case(base=GJ)).splitlines()


def test_why_explains_every_statement() -> None:
    one = case()
    text = screen.why(one)
    count = sum(1 for module in library().modules for _ in module.statements())
    assert text.count("\n    when: ") == text.count("\n    sources: ") == count
    assert len([row for row in text.splitlines() if row[:4] in ("IN  ", "out ", "??? ")]) == count


def test_why_shows_the_facts_that_were_asked() -> None:
    blocks = screen.why(case()).split("    sources: ")
    asked = [part for part in blocks if "when: pump_feeds is true\n" in part]
    assert asked
    assert all("facts: pump_feeds=false" in part for part in asked)


def test_why_marks_what_cannot_be_decided() -> None:
    assert any(row.startswith("??? ") for row in screen.why(case()).splitlines())
    settled = screen.why(case({"other_lines": []}))
    assert not any(row.startswith("??? ") for row in settled.splitlines())


def test_blocked_names_what_blocks_and_that_nothing_was_written() -> None:
    lines = list(screen.blocked([finding for finding in case().findings if finding.blocks]))
    assert lines[0].startswith("Nothing was written.")
    assert "STOP    crush-modified-release (omeprazole)" in lines
    assert lines[-1] == "Run plainleaf review for the whole day."


def test_a_packet_goes_out_with_the_draft_and_the_size_named() -> None:
    assert list(screen.delivery_remarks(case(CLEAR))) == [
        "The teaching content is a DRAFT that no clinician has reviewed.",
        "Print handout.pdf at 100 percent; smaller is no longer large print.",
    ]


def test_a_language_without_handout_is_a_stop_that_says_what_to_do() -> None:
    text = screen.review(case(CLEAR, language="so"))
    assert "STOP    no-handout-in-language" in text
    assert "Build with --language en" in text


def test_a_review_says_how_much_to_pour_at_once() -> None:
    # Row o-hang: 75 mL/h for the policy's 8 h of hang time is 600 mL.
    poured = {"feeding.0.formula.system": "open", "feeding.0.formula.container": "237 mL"}
    lines = screen.review(case(poured, base=GJ)).splitlines()
    assert "Pour at most 600 mL (20 oz) at once; again after 8 hours." in lines
    assert not any(line.startswith("Pour") for line in screen.review(case(base=GJ)).splitlines())
