"""The fields of a filled sheet as typed answers: nothing is guessed and a blank stays one."""

from __future__ import annotations

from datetime import date, time

import pytest
from returned_sheets import as_texts
from returned_sheets import sheet_outline as outline

from plainleaf.packet.sheet.form_fields import field_name, fields_of
from plainleaf.teach_back.answers import ItemAnswer, Plan, Returned, read_answers
from plainleaf.teach_back.filled_form import Filled

KEY, WHO = "flushing.tb.when", 1
TRY = field_name(KEY, WHO, "try-1")


def read(**entered: str) -> Returned:
    """A sheet with some fields filled; `try_code="1"` and the like stand for the first try."""
    names = {f"{TRY}/{key.removeprefix('try_')}": v for key, v in entered.items()
             if key.startswith("try_")}  # fmt: skip
    return read_fields(names)


def read_fields(names: dict[str, str]) -> Returned:
    given = outline()
    return read_answers(Filled(as_texts(names, given), frozenset()), given, "f.pdf", "p.json")


def answer(returned: Returned) -> ItemAnswer:
    (found,) = (a for a in returned.answers if (a.item.id, a.learner) == (KEY, WHO))
    return found


CODES = [
    ("1", 1), ("2", 2), ("3", 3), ("4", 4), (" 3 ", 3),
    ("٢", 2),  # Arabic digits as an Arabic keyboard types them
    ("４", 4), ("0", None), ("5", None), ("x", None), ("11", None), ("yes", None), ("½", None),
]  # fmt: skip


@pytest.mark.parametrize(("text", "code"), CODES, ids=[c[0] for c in CODES])
def test_result_codes(text: str, code: int | None) -> None:
    returned = read(try_code=text)
    (one,) = answer(returned).tries
    assert one.code == code
    said = [line for line in returned.troubles if f"{TRY}/code" in line]
    assert bool(said) is (code is None)
    assert all("Write 1, 2, 3 or 4." in line for line in said)


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
    (attempt,) = answer(read(try_words="well\x00 \ud83d said")).tries
    attempt.words.encode()
    assert attempt.words.split() == ["well", "said"]


@pytest.mark.parametrize(("text", "day", "clock"), WHENS, ids=[w[0] for w in WHENS])
def test_dates_and_times(text: str, day: date | None, clock: time | None) -> None:
    returned = read(try_when=text)
    (one,) = answer(returned).tries
    assert one.when is not None
    assert (one.when.text, one.when.day, one.when.clock) == (text, day, clock)
    said = [line for line in returned.troubles if "no date and time" in line]
    assert bool(said) is (day is None and clock is None)


def test_a_try_dated_before_the_packet_is_said() -> None:
    (line,) = read(try_when="2025-03-05 14:30").troubles
    assert f"{TRY}/when" in line
    assert "2025-03-05 lies before 2026-03-05" in line


def test_a_try_dated_before_the_one_before_it_is_said() -> None:
    second = field_name(KEY, WHO, "try-2", "when")
    (line,) = read_fields({f"{TRY}/when": "2026-03-07", second: "2026-03-06"}).troubles
    assert second in line


PLANS: list[tuple[str, str, Plan | None, bool]] = [
    ("B", "", Plan("home-nurse", ""), False),
    ("b", "on Friday", Plan("home-nurse", "on Friday"), False),
    ("", "call Dr. A", Plan(None, "call Dr. A"), False),
    ("", "", None, False),
    ("X", "", None, True),
    ("X", "see note", Plan(None, "see note"), True),
]


@pytest.mark.parametrize(("letter", "words", "plan", "said"), PLANS)
def test_plans(letter: str, words: str, plan: Plan | None, said: bool) -> None:
    names = {field_name(KEY, WHO, "plan", "letter"): letter,
             field_name(KEY, WHO, "plan", "words"): words}  # fmt: skip
    returned = read_fields(names)
    assert answer(returned).plan == plan
    assert any("no plan letter" in line for line in returned.troubles) is said


@pytest.mark.parametrize("part", ["code", "when", "initials", "words"])
def test_a_try_is_kept_whatever_part_of_it_is_there(part: str) -> None:
    text = {"code": "3", "when": "14:30"}.get(part, "something")
    returned = read_fields({f"{TRY}/{part}": text})
    (one,) = answer(returned).tries
    assert one.number == 1
    assert one.code == (3 if part == "code" else None)


def test_a_blank_sheet_says_nothing_and_lists_every_blank() -> None:
    returned = read_fields({})
    assert set(returned.blanks) == set(fields_of(outline()))
    assert returned.troubles == returned.missing == returned.unknown == ()
    for one in returned.answers:
        assert (one.tries, one.second_way, one.plan) == ((), None, None)
        assert set(one.steps) <= {None}
    assert all(person.present is None for person in returned.people)


def test_control_signs_do_not_reach_the_record() -> None:
    (one,) = answer(read(try_words="a\x1b[31mb\r\nc\x00")).tries
    assert one.words == "a [31mb\nc"


def test_a_date_is_not_guessed_from_words_of_a_name() -> None:
    returned = read_fields({"sign/discharge": "Friday"})
    assert returned.discharge is not None
    assert returned.discharge.day is None
