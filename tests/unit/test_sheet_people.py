"""The sheet of a file of format 2: people, decisions, signers and sessions, word for word."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import Any

import pytest
from builders import library, patient_with, policy
from format_2 import (
    GROUP_HOME,
    HOSPICE,
    INFANT,
    INSULIN,
    REFEEDING,
    RESTING,
    data_with,
    decided,
    judged,
    patient_of,
    with_codes,
)
from returned_sheets import sheet_outline

from plainleaf.compose.word import NBSP, Wording, Words
from plainleaf.facts import derive
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import Decided, Session, SettledOutcome
from plainleaf.packet.sheet.outline import Outline, OutlineLearner
from plainleaf.packet.sheet.sheet_person import need_lines, person_rows, stand_in_lines, words_of
from plainleaf.packet.sheet.sheet_rows import SheetSession, sheet_sessions
from plainleaf.packet.sheet.sheet_settled import decided_line, settled_lines, signer_rows
from plainleaf.packet.sheet.sheet_words import interpreter_lines, sheet_findings, sheet_learners
from plainleaf.rules.findings import Settlement
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.patient_file.scalars_2 import CONTACT_KEYS
from plainleaf.vocabulary.quantities import read_quantity
from plainleaf.vocabulary.settling import OUTCOMES
from plainleaf.vocabulary.words_2 import (
    BOTH_WHY,
    CONDITIONS,
    DUTIES,
    DUTY_LIMITS,
    KEEP_AWAY,
    NEEDS,
    NO_HOLD_WATCH,
    PHARMACY_AS,
    POSITION_CHECKS,
    PREPARE,
    RELATIONS,
    SESSION_TOPICS,
    SETTINGS,
    TOPICS,
    WATER_KINDS,
)

WORDS = Wording(library(), Catalog("en", {}))
DAY = date(2026, 6, 5)


def plain(words: Words | None) -> str:
    return "" if words is None else words.plain.replace(NBSP, " ")


def patient(base: str, **changes: Any) -> Patient:
    return patient_of(data_with(changes, base))


# --- lists ---------------------------------------------------------------------------------------

LISTS = {
    "relation": RELATIONS, "learns": NEEDS, "duty": SESSION_TOPICS, "limit": DUTY_LIMITS,
    "interpreter": terms.INTERPRETER_MODES, "setting": SETTINGS, "condition": CONDITIONS,
    "done": tuple(OUTCOMES), "topic": TOPICS, "position": tuple(w.lower() for w in POSITION_CHECKS),
    "field-word": (*PREPARE, *PHARMACY_AS, *NO_HOLD_WATCH, *WATER_KINDS, *BOTH_WHY, *KEEP_AWAY,
                   *CONTACT_KEYS),
    "field": tuple(key for outcome in OUTCOMES.values() for key in outcome.needs + outcome.may),
}  # fmt: skip


@pytest.mark.parametrize(("prefix", "words"), LISTS.items())
def test_every_word_of_a_list_has_a_phrase(prefix: str, words: tuple[str, ...]) -> None:
    for word in words:
        name = f"{prefix}-{word.replace(' ', '-').replace('_', '-')}"
        assert name in library().phrases, name


# --- the patient ---------------------------------------------------------------------------------


def rows_of(given: Patient) -> dict[str, str]:
    return {plain(row.label): plain(row.value) for row in person_rows(given, WORDS)}


def test_the_person_stands_on_the_sheet_as_typed() -> None:
    data = data_with({
        "patient.allergies": ["penicillin", "latex"], "patient.height": "162 cm",
        "patient.weight_loss": "15 % in 5 mo", "patient.ate_little_for": "8 d",
        "patient.setting": ["home", "alone"],
    }, REFEEDING)  # fmt: skip
    rows = rows_of(patient_of(data))
    assert rows["Weight"].startswith("40.5 kg")
    assert rows["Height"] == "162 cm"
    assert rows["Weight lost"] == "15 % in 5 mo"
    assert rows["Ate next to nothing for"] == "8 days"
    assert rows["Allergies"] == "penicillin, latex"
    assert rows["Where"] == "at home, lives alone"


def test_what_has_no_page_of_its_own_stands_on_the_sheet() -> None:
    rows = rows_of(patient_of(data_with({"tube.placed_by": "radiology"}, RESTING)))
    assert rows["Tube put in by"] == "Radiology"
    assert rows["Water for a clog, as ordered"] == "20 mL"
    infant = rows_of(patient_of(data_with(base=INFANT)))
    assert infant["Feeding a day, as ordered"].endswith(" mL")
    assert "Water for a clog, as ordered" not in rows_of(patient(HOSPICE))


def test_no_allergy_and_nothing_written_are_two_things() -> None:
    assert rows_of(patient(HOSPICE))["Allergies"] == "None known"
    data = data_with(base=HOSPICE)
    del data["patient"]["allergies"]
    assert rows_of(patient_of(data))["Allergies"] == ""


def test_no_condition_and_not_recorded_are_two_things() -> None:
    assert "cancer treatment" in rows_of(patient(HOSPICE))["Conditions"]
    data = data_with(base=HOSPICE)
    data["patient"]["conditions"] = []
    assert rows_of(patient_of(data))["Conditions"] == "None of the list"
    del data["patient"]["conditions"]
    assert rows_of(patient_of(data))["Conditions"].startswith("Not recorded")


def test_a_file_of_format_1_has_no_such_lines() -> None:
    assert person_rows(patient_with(), WORDS) == []
    assert signer_rows(patient_with(), WORDS) == []


# --- learners ------------------------------------------------------------------------------------


def test_a_learner_with_some_duties_says_which_why_and_when() -> None:
    olga, ty, _ = sheet_learners(patient(GROUP_HOME), WORDS)
    assert olga.relation == "staff of the group home"
    assert plain(olga.care[0]) == "Everything"
    said = [plain(line) for line in ty.care]
    assert said[0] == "feeding, flushing, skin care, rescue medicine and low-sugar plan"
    assert said[1] == "Why not all: a rule of the agency"
    assert said[2] == "There: Saturday, Sunday, 7 am to 7 pm"


def test_a_learner_without_duties_is_asked_nothing() -> None:
    data = data_with(base=HOSPICE)
    data["learners"][1] = {
        "name": "Celia Ibarra", "relation": "daughter", "language": "en", "duties": "none",
        "needs": ["one-hand", "low-vision"], "phone": "+1 555 010 0171", "address": "her",
    }  # fmt: skip
    celia = sheet_learners(patient_of(data), WORDS)[1]
    assert [plain(line) for line in celia.care] == ["No care: nothing is asked of this person"]
    assert celia.needs == "uses one hand only, sees little"
    assert [plain(line) for line in celia.more] == ["Spoken to as her", "Phone +1 555 010 0171"]


@pytest.mark.parametrize("need", NEEDS)
def test_a_need_stands_before_the_questions_or_the_skills(need: str) -> None:
    data = data_with(base=HOSPICE)
    data["learners"][1]["needs"] = [need]
    given = patient_of(data)
    name = given.learners[1].name
    said = words_of("learns", (need,), WORDS)
    tell = [plain(line) for line in need_lines(given, WORDS, shown=False)]
    show = [plain(line) for line in need_lines(given, WORDS, shown=True)]
    assert tell or show
    assert all(line.startswith(f"{name}: {said}. ") for line in tell + show)
    hands, eyes = need in ("hands", "one-hand"), need in ("glasses", "low-vision")
    assert bool(tell) is not hands
    assert bool(show) is (hands or eyes)


@pytest.mark.parametrize("mode", terms.INTERPRETER_MODES)
def test_how_the_words_are_carried_across(mode: str) -> None:
    given = patient(HOSPICE, **{"interpreter.mode": mode})
    facts = derive(given, policy(), library().medicine_words)
    lines = [plain(line) for line in interpreter_lines(given, policy(), facts, "en", WORDS)]
    assert f"Planned: {mode}, Spanish, id INT-30417" in lines


def outcome(finding: str, do: str, about: tuple[str, ...] = (), **fields: Any) -> SettledOutcome:
    return SettledOutcome(finding, do, fields, about, (), "S. Park, RN", None, DAY)


def test_staff_who_teach_in_the_language_stand_in_for_an_interpreter() -> None:
    said = outcome("interpreter-missing", "bilingual-staff", who="M. Sol, RN", language="es")
    given = replace(patient(HOSPICE), outcomes=(said,), interpreter=None)
    facts = derive(given, policy(), library().medicine_words)
    lines = [plain(line) for line in interpreter_lines(given, policy(), facts, "es", WORDS)]
    assert lines == ["M. Sol, RN of qualified staff teaches in Spanish."]


def test_what_the_patient_showed_back_stands_with_its_day() -> None:
    shown = outcome("self-care-doubtful", "shown", date=DAY)
    given = replace(patient(INSULIN), outcomes=(shown,))
    own = next(x for x, y in zip(sheet_learners(given, WORDS), given.learners, strict=True)
               if y.relation == "self")  # fmt: skip
    assert "Showed it back safely on Friday, June 5, 2026" in [plain(line) for line in own.more]


@pytest.mark.parametrize(
    ("finding", "about", "said"),
    [
        (
            "duty-not-covered",
            ("medicines",),
            "Who steps in for medicines: Olga Marsh, 555 010 0172",
        ),
        ("one-trained-helper", (), "Who steps in: Olga Marsh, 555 010 0172"),
    ],
)
def test_a_stand_in_has_a_name_and_a_number(
    finding: str, about: tuple[str, ...], said: str
) -> None:
    fields = {"who": "Olga Marsh", "phone": "555 010 0172"}
    given = replace(patient(GROUP_HOME), outcomes=(outcome(finding, "backup", about, **fields),))
    assert [plain(line) for line in stand_in_lines(given, WORDS)] == [said]


# --- decisions -----------------------------------------------------------------------------------

# Outcome, its fields, how it is said.
SAID: list[tuple[str, dict[str, Any], str]] = [
    ("as-ordered", {}, "Checked with who ordered it: the order stands"),
    ("read-again", {"value": "7 mL"}, "Read again (value 7 mL)"),
    ("prepare", {"prepare": "crush", "gloves": True, "keep_away": ("children",)},
     "Made ready at home (how: crush, gloves: yes, keep away: children)"),
    ("pharmacy-prepares", {"as": "syringes", "keep_away": ("children", "pregnant people")},
     "The pharmacy makes it ready (as syringes, keep away: children, pregnant people)"),
    ("hold", {"before": read_quantity("1 h", "time span"),
              "after": read_quantity("2 h", "time span")},
     "Feeding is off around each dose (1 hour before, after 2 hours)"),
    ("no-hold", {"watch": "drug level", "check_date": DAY},
     "Given with feeding (watched instead: level of the medicine, "
     "checked on Friday, June 5, 2026)"),
    ("drink", {"amount": read_quantity("400 mL", "volume")}, "Drunk by mouth each day (400 mL)"),
    ("later", {"date": DAY}, "Reached later; until then as written (on Friday, June 5, 2026)"),
    ("backup", {"who": "Ona P", "phone": "555 010 0172"},
     "A stand-in was named (Ona P, phone 555 010 0172)"),
    ("shown", {"date": DAY}, "Shown back safely (on Friday, June 5, 2026)"),
    ("bilingual-staff", {"who": "M. Sol", "language": "es"},
     "Taught by qualified staff in the learner's language (M. Sol, in Spanish)"),
    ("none", {}, "There is none, or none is wanted"),
    ("throw-away", {"after": read_quantity("24 h", "time span")},
     "What is left is thrown away (after 24 hours)"),
    ("clean-mixing", {"water": "boiled"}, "Clean mixing is taught (water: boiled water)"),
    ("leave-open", {}, "Left open: the packet says whom to ask"),
    ("not-taught", {}, "Not taught: the packet says not to do it"),
    ("not-healed", {"until": DAY}, "Taught as a new opening (until Friday, June 5, 2026)"),
    ("both", {"why": "one as needed"}, "Both stand (why: one as needed)"),
    ("smaller-amount", {}, "The smaller amount is accepted"),
    ("by-mouth", {"cleared_by": "W. Idris, SLP"}, "Taken by mouth (cleared by W. Idris, SLP)"),
    ("use-other-thickener", {}, "A thickener without starch is used"),
    ("checked-by", {"who": "Home nurse"}, "Measured by somebody else (Home nurse)"),
    ("name-means", {"name": "levetiracetam"}, "The name was read (means levetiracetam)"),
    ("checked-by-hand", {}, "Looked up by hand; no rule looked at this name"),
    ("pause-feed", {}, "Feeding pauses for the dose"),
    ("call-instead", {"contact": "after_hours"},
     "Another contact is called at that time (call: the after-hours line)"),
    ("next-opening", {}, "The call waits until the line opens"),
    ("held", {}, "The session was held"),
    ("emergency-first", {}, "While nobody with the duty is there, the emergency number is called "
     "and nothing is given"),
]  # fmt: skip


def test_every_outcome_is_said_below() -> None:
    assert {row[0] for row in SAID} == set(OUTCOMES)


@pytest.mark.parametrize(("do", "fields", "said"), SAID, ids=[row[0] for row in SAID])
def test_an_outcome_in_words_with_its_fields(do: str, fields: dict[str, Any], said: str) -> None:
    line = decided_line(Decided("x", (), None, do, None, fields), WORDS)
    assert plain(line) == said


def test_who_settled_it_with_whom_when_and_the_note() -> None:
    one = Decided("hazardous-medicine", ("methotrexate",), None, "pharmacy-prepares",
                  "Label was held against it.", {"as": "syringes"})  # fmt: skip
    both = settled_lines(Settlement("O. Duarte, PharmD", "B. Quist, MD", DAY, (one,)), WORDS)
    assert [plain(line) for line in both] == [
        "Settled by O. Duarte, PharmD with B. Quist, MD on Friday, June 5, 2026:",
        "The pharmacy makes it ready (as syringes)",
        "Note: Label was held against it.",
    ]
    alone = settled_lines(Settlement("O. Duarte, PharmD", None, DAY, (one,)), WORDS)
    assert plain(alone[0]) == "Settled by O. Duarte, PharmD on Friday, June 5, 2026:"


def test_what_is_settled_gives_way_to_what_was_decided() -> None:
    found = sheet_findings(judged(with_codes(data_with(base=GROUP_HOME))).findings, WORDS)
    backup = next(one for one in found if one.id == "duty-not-covered")
    assert backup.instead == ""
    assert [plain(line) for line in backup.settled] == [
        "Settled by S. Park, RN on Thursday, July 9, 2026:",
        "A stand-in was named (Olga Marsh, phone +1 555 010 0172)",
    ]
    assert all(bool(one.instead) != bool(one.settled) for one in found)


@pytest.mark.parametrize("finding", ["refeeding-labs", "refeeding-suspected"])
def test_none_about_refeeding_is_said_with_who_decided(finding: str) -> None:
    line = Decided(finding, (), None, "none", None, {})
    said = settled_lines(Settlement("B. Quist, MD", None, DAY, (line,)), WORDS)
    assert plain(said[1]) == "There is none, or none is wanted"
    assert "B. Quist, MD" in plain(said[0])


def test_a_decision_of_the_review_stands_on_the_sheet() -> None:
    data = data_with({"visits": "REMOVE"}, REFEEDING)
    block = decided("refeeding-labs", "", "none", "B. Quist, MD")
    data["settled"] = [block]
    found = sheet_findings(judged(with_codes(data)).findings, WORDS)
    (labs,) = [one for one in found if one.id == "refeeding-labs"]
    assert plain(labs.settled[1]) == "There is none, or none is wanted"


def test_what_it_is_mixed_in_is_said_as_it_is_written() -> None:
    found = sheet_findings(judged(with_codes(data_with())).findings, WORDS)
    said = [plain(line) for one in found for line in one.settled]
    assert "The pharmacy makes it ready (in 20 mL water, as packets)" in said


# --- signers -------------------------------------------------------------------------------------


def signers(given: Patient) -> dict[str, str]:
    return {plain(label): plain(value) for label, value in signer_rows(given, WORDS)}


def test_each_block_names_who_ordered_it() -> None:
    said = signers(patient(HOSPICE, **{"drainage.by": "B. Quist, MD",
                                       "drainage.date": "2026-09-16",
                                       "overrides.by": "B. Quist, MD"}))  # fmt: skip
    assert said["The drain"] == "B. Quist, MD, Wednesday, September 16, 2026"
    assert said["Orders in place of usual settings"] == "B. Quist, MD"
    words = said["An order in words: medicines"]
    assert words.startswith("No morphine is planned between 10 pm and 6 am.")
    assert words.endswith("(B. Quist, MD, Thursday, September 17, 2026)")
    assert said["An order in words: living with the tube"].startswith("Comfort comes first.")
    assert said["The orders of this packet"].startswith("B. Quist, MD")


def test_blood_tests_name_who_reads_them() -> None:
    said = signers(patient(REFEEDING))
    rows = [key for key in said if key.startswith("Reads the blood tests: ")]
    assert rows
    assert "phosphate" in rows[0]


def test_a_recipe_a_check_and_an_eating_plan_name_who_made_them() -> None:
    infant = signers(patient("g-infant-fortified"))
    assert any(key.startswith("Recipe: ") for key in infant)
    home = signers(patient(GROUP_HOME, **{"patient.mouth_by": "W. Idris, SLP"}))
    assert "The place of the tube, by acid of the fluid (pH)" in home
    assert home["The plan for eating"] == "W. Idris, SLP"
    assert "The opening is healed" in home


def test_a_rest_names_who_ordered_it() -> None:
    said = signers(patient(RESTING, **{"tube.resting.by": "E. Fors, MD"}))
    assert said["The rest of the tube"] == "E. Fors, MD"


# --- sessions ------------------------------------------------------------------------------------

LEARNERS = (
    OutlineLearner("Elena", "wife", "en", "en", True, None, DUTIES),
    OutlineLearner("Celia", "daughter", "en", "en", True, None, ("flushing", "drainage")),
)
ITEMS = {item.id: item.asked_of for module in library().modules for item in module.asked()}


def outline() -> Outline:
    base = sheet_outline()
    items = tuple(
        replace(item, duty=ITEMS[item.id].duty, topic=ITEMS[item.id].topic) for item in base.items
    )
    return replace(base, items=items, learners=LEARNERS)


def session(who: tuple[str, ...], *topics: str, day: int = 17) -> Session:
    return Session(datetime(2026, 9, day, 15), read_quantity("40 min", "time span"), who, topics)


def lines(*sessions: Session, outcomes: tuple[SettledOutcome, ...] = ()) -> list[SheetSession]:
    given = replace(patient_with(base="gj-pump-overnight"), sessions=sessions, outcomes=outcomes)
    return sheet_sessions(outline(), given, WORDS)


def rows_in(line: SheetSession) -> set[str]:
    """Ids of the rows of a session."""
    numbers: set[int] = set()
    for part in filter(None, line.rows.split(", ")):
        first, _, last = part.partition("-")
        numbers |= set(range(int(first), int(last or first) + 1))
    return {item.id for item in outline().items if outline().row(item) in numbers}


def test_a_planned_session_is_filled_in_with_its_time_and_its_rows() -> None:
    first, *others = lines(session(("Elena", "Celia"), "drainage", "flushing", "emergencies"))
    assert (first.letter, first.start, first.minutes) == ("a", "2026-09-17 15:00", "40")
    assert [plain(line) for line in first.plan] == [
        "Session 1: Thursday, September 17, 2026, at 3 pm, 40 minutes",
        "With Elena, Celia. Topics: the drain, flushing, emergencies.",
    ]
    assert {"flushing.tb.when", "problems.tb.out", "flushing.sb.gravity"} <= rows_in(first)
    assert "medicines.sb.give" not in rows_in(first)
    assert [(one.letter, one.start, one.rows) for one in others] == [
        ("b", "", ""), ("c", "", ""), ("d", "", ""),
    ]  # fmt: skip


def test_a_row_stands_in_the_first_session_that_holds_it_for_somebody_new() -> None:
    first, second, *_ = lines(
        session(("Celia",), "flushing", "emergencies"),
        session(("Elena",), "medicines", "flushing", day=18),
    )
    assert "flushing.tb.when" in rows_in(first)
    # Of Elena it is not yet asked.
    assert {"flushing.tb.when", "medicines.sb.give"} <= rows_in(second)
    third, fourth, *_ = lines(
        session(("Elena", "Celia"), "flushing"), session(("Elena",), "flushing", day=18)
    )
    assert "flushing.tb.when" in rows_in(third)
    assert fourth.rows == ""


def test_a_session_that_took_place_says_so() -> None:
    held = outcome("session-past", "held", ("1",))
    first, second, *_ = lines(
        session(("Elena",), "flushing"), session(("Elena",), "medicines", day=18), outcomes=(held,)
    )
    assert plain(first.plan[-1]) == "This session was held on Thursday, September 17, 2026."
    assert len(second.plan) == 2
