"""What is asked of whom before going home, and what is said of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time

import pytest
from builders import policy, policy_with
from returned_sheets import Values, all_met, as_texts, open_line
from returned_sheets import sheet_outline as outline
from sample_records import teaching_data

from plainleaf.packet.record.record_file import record_data
from plainleaf.packet.sheet.form_fields import TRY_PARTS, field_name
from plainleaf.packet.sheet.outline import SHOW, TELL, Outline
from plainleaf.teach_back.answers import Returned, read_answers
from plainleaf.teach_back.call_time import call_time
from plainleaf.teach_back.chart_note import chart_note
from plainleaf.teach_back.field_reader import WrittenTime
from plainleaf.teach_back.filled_form import Filled
from plainleaf.teach_back.recording import record_of
from plainleaf.teach_back.verdict import Verdict, judge_sheet, ready_to_go_home
from plainleaf.vocabulary.errors import PolicyError
from plainleaf.vocabulary.quantities import read_quantity

SELF, DAUGHTER = 0, 1
BELONGS = {key: teaching_data()[key] for key in ("packet", "sheet", "settings")}


def returned_of(values: Values, given: Outline) -> Returned:
    return read_answers(Filled(as_texts(values, given), frozenset()), given, "f.pdf", "p.json")


def judged(changes: Values | None = None) -> tuple[Verdict, ...]:
    """Everything met, with some fields changed; the daughter gives care, the patient does not."""
    given = outline()
    return judge_sheet(returned_of({**all_met(given), **(changes or {})}, given), given)


def first(kind: str, critical: bool) -> str:
    return next(i.id for i in outline().items if i.kind == kind and i.critical is critical)


def without(item: str, learner: int) -> Values:
    """The first try of an item emptied."""
    return {field_name(item, learner, "try-1", part): "" for part in TRY_PARTS}


def test_all_met_is_ready() -> None:
    verdicts = judged()
    assert [verdict.ready for verdict in verdicts] == [None, True]
    assert ready_to_go_home(verdicts)


# what is changed, of whom, and whether the daughter is still ready to give care alone
CASES: list[tuple[str, Values, bool]] = [
    ("a critical question left blank", without(first(TELL, True), DAUGHTER), False),
    ("a critical skill left blank", without(first(SHOW, True), DAUGHTER), False),
    ("a critical question met with a prompt",
     {field_name(first(TELL, True), DAUGHTER, "try-1", "code"): "2a"}, False),
    ("a critical question not yet",
     {field_name(first(TELL, True), DAUGHTER, "try-1", "code"): "3a"}, False),
    ("a critical question not done",
     {field_name(first(TELL, True), DAUGHTER, "try-1", "code"): "4a"}, False),
    ("a code that cannot be read",
     {field_name(first(TELL, True), DAUGHTER, "try-1", "code"): "ok"}, False),
    ("not yet, then met",
     {field_name(first(TELL, True), DAUGHTER, "try-1", "code"): "3a",
      field_name(first(TELL, True), DAUGHTER, "try-2", "code"): "1a"}, True),
    ("met, then not yet",
     {field_name(first(TELL, True), DAUGHTER, "try-2", "code"): "3a"}, False),
    ("met, then a sign that is no code",
     {field_name(first(TELL, True), DAUGHTER, "try-2", "code"): "?"}, False),
    ("a step of a critical skill not ticked",
     {field_name(first(SHOW, True), DAUGHTER, "step-1"): "Off"}, False),
    ("a plan alone",
     {field_name(first(TELL, True), DAUGHTER, "try-1", "code"): "3a",
      **open_line(1, 1, 2, "B")}, False),
    ("not for this person, with a reason",
     {**without(first(TELL, True), DAUGHTER), **open_line(1, 1, 2, "E", "sees too little")}, False),
    ("what is not critical left blank", without(first(TELL, False), DAUGHTER), True),
    ("a critical question of who gives no care", without(first(TELL, True), SELF), True),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "ready"), [c[1:] for c in CASES], ids=[c[0] for c in CASES])
def test_what_decides_about_going_home(changes: Values, ready: bool) -> None:
    verdicts = judged(changes)
    assert verdicts[DAUGHTER].ready is ready
    assert verdicts[SELF].ready is None
    assert ready_to_go_home(verdicts) is ready
    assert bool(verdicts[DAUGHTER].critical) is not ready


def test_what_is_open_of_who_gives_no_care_is_listed() -> None:
    item = first(TELL, True)
    verdict = judged(without(item, SELF))[SELF]
    assert [standing.item.id for standing in verdict.open] == [item]


def test_nobody_who_gives_care_is_never_ready() -> None:
    assert not ready_to_go_home(())
    assert not ready_to_go_home(judged()[:1])


def test_three_tries_without_a_plan_say_so() -> None:
    item = first(TELL, True)
    codes: Values = {field_name(item, DAUGHTER, f"try-{n}", "code"): "3a" for n in (1, 2, 3)}
    (standing,) = judged(codes)[DAUGHTER].critical
    assert "no plan after the last try" in standing.to_do
    plan = open_line(1, 1, 2, words="home nurse on Saturday")
    (standing,) = judged({**codes, **plan})[DAUGHTER].critical
    assert "no plan" not in standing.to_do


# --- the chart note and the record ----------------------------------------------------------------


def note(changes: Values) -> str:
    given = outline()
    returned = returned_of({**all_met(given), **changes}, given)
    verdicts = judge_sheet(returned, given)
    return chart_note(returned, given, verdicts, call_time(policy(), returned.discharge))


def test_the_note_holds_what_a_record_of_teaching_must_show() -> None:
    """Row DC-09: date, time, topic, learner, method, material with version and language,
    interpreter, response, tries, outcome, teacher."""
    item = first(TELL, True)
    text = note({
        field_name(item, DAUGHTER, "try-1", "code"): "3a",
        field_name(item, DAUGHTER, "try-2", "code"): "2b",
        "session/b/start": "2026-03-06 09:10",
        **open_line(1, 1, 2, "D", "Only\nafter feeding?"),
        "open/1/who": "Ana, today",
        "interpreter/used": "Lale Demir, ID 77, by phone",
    })  # fmt: skip
    for part in (
        "FEEDING TUBE TEACHING, 2026-03-06",
        "packet version 0123456789, handout in en",
        "teach-back for questions, show-back for skills",
        "Interpreter: Lale Demir, ID 77, by phone.",
        "Ifeoma Okafor (daughter, gives care, present, reads English)",
        "When to get help",
        "Taught by: AP.",
        "Try 1: not yet, 2026-03-05 10:30, AP.",
        "Try 2: met with a prompt, 2026-03-06 09:10",
        'Plan: call the provider before going home: "Only after feeding?", Ana, today.',
        "row 1, It is the middle of the night. Tell me which signs mean",
        "NOT READY TO GO HOME ON THIS ALONE",
        "Follow-up call: between 2026-03-07 16:00 and 2026-03-08 16:00",
        "Signed, Teacher: A. Peña, Ana Peña, RN",
    ):
        assert part in text, part
    assert text.isprintable() or "\n" in text


def test_the_note_of_a_sheet_with_all_met_is_short() -> None:
    text = note({})
    assert "everyone who gives care met every critical question and skill" in text
    assert "NOT READY" not in text
    assert len(text.splitlines()) < 25


def test_an_interpreter_that_was_needed_and_is_not_recorded_is_said() -> None:
    given = replace(outline(), interpreter_needed=True)
    returned = returned_of(all_met(given), given)
    text = chart_note(
        returned, given, judge_sheet(returned, given), call_time(policy(), returned.discharge)
    )
    assert "Interpreter: needed by the patient file, not recorded." in text


def test_the_record_keeps_every_try_and_never_turns_a_blank_into_a_no() -> None:
    given = outline()
    item = first(SHOW, True)
    returned = returned_of(
        {field_name(item, DAUGHTER, "try-1", "code"): "3a",
         field_name(item, DAUGHTER, "try-3", "code"): "later",
         field_name(item, DAUGHTER, "step-2"): True}, given)  # fmt: skip
    data = record_data(record_of(returned, given, judge_sheet(returned, given), BELONGS))
    found = next(one for one in data["learners"][DAUGHTER]["items"] if one["id"] == item)
    assert [(t["try"], t["code"], t["session"]) for t in found["tries"]] == [
        (1, 3, "a"), (3, None, None),
    ]  # fmt: skip
    assert [step["marked"] for step in found["steps"]][:2] == [None, True]
    assert data["learners"][SELF]["present"] is None
    assert data["learners"][SELF]["needs"]["readiness"]["answer"] is None
    assert "learner/0/readiness" in data["blanks"]
    assert data["date"] is None
    assert data["verdict"]["ready"] is False
    assert False not in _leaves([one["items"] for one in data["learners"]], ("critical",))


def _leaves(data: object, but: tuple[str, ...]) -> list[object]:
    if isinstance(data, dict):
        return [leaf for key, v in data.items() if key not in but for leaf in _leaves(v, but)]
    if isinstance(data, list):
        return [leaf for value in data for leaf in _leaves(value, but)]
    return [data]


# --- when to call ---------------------------------------------------------------------------------


def when(day: date | None, clock: time | None) -> WrittenTime:
    return WrittenTime("x", day, clock)


def test_the_call_comes_48_to_72_hours_after_going_home() -> None:
    """Row call-23: two to three days."""
    call = call_time(policy(), when(date(2026, 3, 5), time(16, 0)))
    assert call.window == (datetime(2026, 3, 7, 16, 0), datetime(2026, 3, 8, 16, 0))
    assert call.text.startswith("between 2026-03-07 16:00 and 2026-03-08 16:00 (48 to 72 hours ")


def test_without_a_clock_the_days_are_said() -> None:
    call = call_time(policy(), when(date(2026, 2, 27), None))
    assert call.text.startswith("between 2026-03-01 and 2026-03-02 (")


@pytest.mark.parametrize("discharge", [None, when(None, time(9, 0)), when(None, None)])
def test_without_a_day_nothing_is_guessed(discharge: WrittenTime | None) -> None:
    call = call_time(policy(), discharge)
    assert call.window is None
    assert "does not say when" in call.text


def test_a_call_that_would_begin_after_it_is_promised_is_refused() -> None:
    other = policy_with(follow_up_within=read_quantity("24 h", "time span"))
    with pytest.raises(PolicyError, match="follow_up_call_from is 48 h, later than"):
        call_time(other, None)
