"""The fields of a filled sheet as typed answers: nothing is guessed and a blank stays one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest
from returned_sheets import as_texts
from returned_sheets import sheet_outline as outline

from plainleaf.packet.sheet.form_fields import field_name, fields_of
from plainleaf.packet.sheet.outline import SHOW
from plainleaf.teach_back.answers import ItemAnswer, Returned, read_answers
from plainleaf.teach_back.field_reader import Plan
from plainleaf.teach_back.filled_form import Filled
from plainleaf.vocabulary.errors import SheetError

KEY, WHO = "flushing.tb.when", 1
TRY = field_name(KEY, WHO, "try-1", "code")
START = field_name("session", "a", "start")


def read_fields(names: dict[str, str]) -> Returned:
    given = outline()
    return read_answers(Filled(as_texts(names, given), frozenset()), given, "f.pdf", "p.json")


def answer(returned: Returned) -> ItemAnswer:
    (found,) = (a for a in returned.answers if (a.item.id, a.learner) == (KEY, WHO))
    return found


CODES = [
    ("1a", 1, "a"), ("2b", 2, "b"), ("3 a", 3, "a"), ("4D", 4, "d"), (" 3a ", 3, "a"),
    ("٢a", 2, "a"),  # Arabic digits as an Arabic keyboard types them
    ("４a", 4, "a"), ("3", 3, ""), ("0a", None, ""), ("5a", None, ""), ("x", None, ""),
    ("a1", None, ""), ("1e", None, ""), ("11", None, ""), ("yes", None, ""), ("½", None, ""),
]  # fmt: skip


@pytest.mark.parametrize(("text", "code", "letter"), CODES, ids=[c[0] for c in CODES])
def test_result_codes(text: str, code: int | None, letter: str) -> None:
    returned = read_fields({TRY: text})
    (one,) = answer(returned).tries
    assert (one.code, one.session) == (code, letter)
    said = [line for line in returned.troubles if TRY in line]
    assert bool(said) is (letter == "")
    assert all("Write 1, 2, 3 or 4 and the letter" in line for line in said if code is None)
    assert all("has no letter, so no date" in line for line in said if code is not None)


def test_a_code_has_the_date_and_initials_of_its_session() -> None:
    returned = read_fields(
        {TRY: "3b", "session/b/start": "2026-03-06 09:10", "session/b/initials": "AP"}
    )
    (one,) = answer(returned).tries
    assert one.when is not None
    assert (one.when.day, one.when.clock, one.initials) == (date(2026, 3, 6), time(9, 10), "AP")
    assert returned.troubles == ()


def test_a_code_of_a_session_without_a_date_is_said() -> None:
    returned = read_fields({TRY: "1c"})
    (one,) = answer(returned).tries
    assert one.when is None
    (line,) = returned.troubles
    assert line.startswith("field session/c/start: is blank")


WHENS: list[tuple[str, date | None, time | None]] = [
    ("2026-03-05 14:30", date(2026, 3, 5), time(14, 30)),
    ("2026-03-05T14:30", date(2026, 3, 5), time(14, 30)),
    ("2026-03-05, 9:05", date(2026, 3, 5), time(9, 5)),
    ("2026-03-05", date(2026, 3, 5), None),
    ("14:30", None, time(14, 30)),
    ("03/05/2026", None, None),  # which is the month?
    ("2026-02-30", None, None),
    ("2026-03-05 25:00", None, None),
    ("2026-03-0514:30", None, None),
    ("noon", None, None),
    ("0001-01-01 10:00", None, None),
    ("9999-12-31", None, None),
]


def test_what_is_no_letter_is_not_kept() -> None:
    """A record must hold the words as text that any program can read."""
    words = read_fields({"sign/goal": "well\x00 \ud83d said"}).sign["goal"]
    words.encode()
    assert words.split() == ["well", "said"]


@pytest.mark.parametrize(("text", "day", "clock"), WHENS, ids=[w[0] for w in WHENS])
def test_dates_and_times(text: str, day: date | None, clock: time | None) -> None:
    returned = read_fields({TRY: "1a", START: text})
    (one,) = answer(returned).tries
    assert one.when is not None
    assert (one.when.text, one.when.day, one.when.clock) == (text, day, clock)
    said = [line for line in returned.troubles if "no date and time" in line]
    assert bool(said) is (day is None and clock is None)


def test_a_session_dated_before_the_packet_is_said() -> None:
    (line,) = read_fields({TRY: "1a", START: "2025-03-05 14:30"}).troubles
    assert START in line
    assert "2025-03-05 lies before 2026-03-05" in line


def test_a_try_dated_before_the_one_before_it_is_said() -> None:
    second = field_name(KEY, WHO, "try-2", "code")
    (line,) = read_fields({
        TRY: "3b", second: "1a", START: "2026-03-06", "session/b/start": "2026-03-07",
    }).troubles  # fmt: skip
    assert second in line


ROW = outline().row(next(item for item in outline().items if item.id == KEY))
# Plan letter, words, who; the plan that is read, and whether something is said of the letter.
PLANS: list[tuple[str, str, str, Plan | None, bool]] = [
    ("B", "", "", Plan("home-nurse", ""), False),
    ("b", "on Friday", "Dana, March 7", Plan("home-nurse", "on Friday", "Dana, March 7"), False),
    ("", "call Dr. A", "", Plan(None, "call Dr. A"), False),
    ("", "", "", None, False),
    ("X", "", "", None, True),
    ("X", "see note", "", Plan(None, "see note"), True),
    ("E", "has no hands for it", "", Plan("not-for-this-person", "has no hands for it"), False),
    ("E", "", "", None, True),
]


@pytest.mark.parametrize(("letter", "words", "who", "plan", "said"), PLANS)
def test_plans(letter: str, words: str, who: str, plan: Plan | None, said: bool) -> None:
    line = {"row": str(ROW), "learner": "2", "letter": letter, "words": words, "who": who}
    returned = read_fields({f"open/1/{part}": text for part, text in line.items()})
    assert answer(returned).plan == plan
    assert any("open/1/letter" in line for line in returned.troubles) is said


def test_a_line_that_does_not_say_whose_it_is_belongs_to_nobody() -> None:
    for row, learner, field in (("", "2", "row"), ("99", "2", "row"), (str(ROW), "", "learner"),
                                (str(ROW), "3", "learner"), ("first", "2", "row")):  # fmt: skip
        returned = read_fields({"open/2/row": row, "open/2/learner": learner, "open/2/letter": "B"})
        assert all(one.plan is None for one in returned.answers)
        (line,) = returned.troubles
        assert line.startswith(f"field open/2/{field}: ")


def test_a_row_that_is_asked_of_one_learner_needs_no_number() -> None:
    skill = next(item for item in outline().items if item.kind == SHOW)
    returned = read_fields({"open/1/row": str(outline().row(skill)), "open/1/letter": "C"})
    (found,) = (a for a in returned.answers if a.plan is not None)
    assert (found.item.id, found.learner) == (skill.id, 1)
    assert returned.troubles == ()


def test_two_lines_for_one_row_are_both_kept_and_said() -> None:
    names = {f"open/{n}/{part}": text for n, words in ((1, "one"), (2, "two"))
             for part, text in (("row", str(ROW)), ("learner", "2"), ("words", words))}  # fmt: skip
    returned = read_fields(names)
    assert answer(returned).plan == Plan(None, "one; two")
    assert "stands further up too" in returned.troubles[0]


def test_a_sheet_of_an_earlier_program_is_refused_in_one_line() -> None:
    given = replace(outline(), form=1)
    with pytest.raises(SheetError, match="is of an earlier program, whose sheet has other fields"):
        read_answers(Filled(as_texts({}, given), frozenset()), given, "f.pdf", "p.json")


def test_a_blank_sheet_says_nothing_and_lists_every_blank() -> None:
    returned = read_fields({})
    assert set(returned.blanks) == set(fields_of(outline()))
    assert returned.troubles == returned.missing == returned.unknown == ()
    for one in returned.answers:
        assert (one.tries, one.plan) == ((), None)
        assert set(one.steps) <= {None}
    assert all(person.present is None for person in returned.people)


def test_control_signs_do_not_reach_the_record() -> None:
    assert read_fields({"sign/goal": "a\x1b[31mb\r\nc\x00"}).sign["goal"] == "a [31mb\nc"


def test_a_date_is_not_guessed_from_words_of_a_name() -> None:
    returned = read_fields({"sign/discharge": "Friday"})
    assert returned.discharge is not None
    assert returned.discharge.day is None
