"""Low sugar, a feeding that is off, checks at home, whom to call: what is ordered is printed."""

from __future__ import annotations

import re
from typing import Any

import pytest
import yaml
from builders import REMOVE, _words, library, teaching
from format_2 import (
    GROUP_HOME,
    HOSPICE,
    INSULIN,
    REFEEDING,
    data_with,
    decided,
    facility,
    judged,
    patient_of,
    with_codes,
)

from plainleaf import decide
from plainleaf.compose.fill import FilledBlock, SlotSource, filler_of
from plainleaf.compose.fill.tables_contacts import contacts_box, contacts_more
from plainleaf.compose.fill.tables_doses import sugar_scale
from plainleaf.compose.fill.tables_sugar import low_sugar_box, watch_calls, watch_table
from plainleaf.compose.fill.tables_tube import tube_card
from plainleaf.compose.word import NBSP, Wording
from plainleaf.facts import derive
from plainleaf.facts.calls import hours_phrase
from plainleaf.facts.derived import Typed
from plainleaf.inputs.catalog import Catalog
from plainleaf.rules.outcomes import resolved
from plainleaf.teach_back.call_script import now_do
from plainleaf.teach_back.reteach_sheet import first_call_to
from plainleaf.vocabulary.opening_hours import read_hours
from plainleaf.vocabulary.patient_file.scalars_2 import CONTACT_KEYS, SUGAR_FOODS

WORDS = Wording(library(), Catalog("en", {}))
Changes = dict[str, Any]


def source_of(changes: Changes | None = None, base: str = INSULIN) -> SlotSource:
    """A given patient with some keys changed."""
    patient = patient_of(data_with(changes, base))
    return SlotSource(patient, derive(patient, facility(), library().medicine_words))


def decided_source(changes: Changes | None = None, base: str = INSULIN) -> SlotSource:
    """The same, as it was decided."""
    data = with_codes(data_with(changes, base))
    patient = resolved(patient_of(data), judged(data).outcomes)
    return SlotSource(patient, derive(patient, facility(), library().medicine_words))


def rows_of(block: FilledBlock) -> list[str]:
    return [
        " | ".join(" / ".join(str(WORDS.value(line)) for line in cell) for cell in row).replace(
            NBSP, " "
        )
        for row in block.rows
    ]


def slot_of(name: str, changes: Changes | None = None, base: str = INSULIN) -> str:
    return str(WORDS.value(source_of(changes, base).facts.values[name])).replace(NBSP, " ")


# --- hours ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        ("always", "day and night"),
        ("Mon-Fri 08:00-16:00", "Monday to Friday, 8 am to 4 pm"),
        ("Mon-Sun 07:00-19:00", "every day, 7 am to 7 pm"),
        ("Mon-Fri 08:00-18:00; Sat 09:00-12:00",
         "Monday to Friday, 8 am to 6 pm; Saturday, 9 am to noon"),
        ("Fri-Mon 22:00-06:30", "Friday to Monday, 10 pm to 6:30 am"),
        ("Sat,Sun 00:00-12:30", "Saturday, Sunday, midnight to 12:30 pm"),
        ("Mon,Wed,Fri 09:00-10:00", "Monday, Wednesday, Friday, 9 am to 10 am"),
    ],
)  # fmt: skip
def test_hours_are_words(hours: str, said: str) -> None:
    assert str(WORDS.value(hours_phrase(read_hours(hours)))).replace(NBSP, " ") == said


# --- low sugar -----------------------------------------------------------------------------------


def test_the_low_sugar_box_says_the_whole_plan_in_order() -> None:
    assert rows_of(low_sugar_box(source_of())) == [
        "Do this when blood sugar is below | 70 mg/dL",
        "First, give | 120 mL (4 oz) of apple juice / through the feeding port",
        "Then measure again after | 15 minutes",
        "Still below 70 mg/dL | Give it again. Give it 2 times in all, no more.",
        "Below 70 mg/dL after that | Call 911.",
        "Confused, hard to wake or a seizure | Put nothing in the mouth. Call 911 at once.",
    ]


@pytest.mark.parametrize("food", SUGAR_FOODS)
def test_each_sugar_food_has_its_words(food: str) -> None:
    box = rows_of(low_sugar_box(source_of({"low_sugar.give": f"90 mL {food}"})))
    assert f"90 mL (3 oz) of {food}" in box[1]


def test_a_gel_is_given_in_grams() -> None:
    changes = {"low_sugar.give": "15 g glucose gel", "low_sugar.route": "cheek"}
    assert rows_of(low_sugar_box(source_of(changes)))[1] == (
        "First, give | 15 g of glucose gel / inside the cheek"
    )


@pytest.mark.parametrize(
    ("changes", "base", "way"),
    [
        ({"low_sugar.route": "gastric"}, INSULIN, "through the feeding port"),
        ({"low_sugar.route": "mouth"}, INSULIN, "by mouth"),
        ({"low_sugar.route": "cheek"}, INSULIN, "inside the cheek"),
        ({"low_sugar.route": "gastric"}, HOSPICE, "through the stomach port"),
        ({"low_sugar.route": "jejunal"}, HOSPICE, "through the bowel port"),
    ],
)
def test_each_way_has_its_words(changes: Changes, base: str, way: str) -> None:
    plan = data_with(base=INSULIN)["low_sugar"] | {"route": changes["low_sugar.route"]}
    box = rows_of(low_sugar_box(source_of({"low_sugar": plan}, base)))
    assert box[1].endswith(f" / {way}")


def test_one_try_is_not_repeated() -> None:
    box = rows_of(low_sugar_box(source_of({"low_sugar.tries": "1"})))
    assert not any("again." in row for row in box)
    assert any(row.startswith("Below 70 mg/dL after that") for row in box)


def first_call(key: str) -> Changes:
    """Beside a hospice the file must say who is called first."""
    return {"contacts.first_call": "emergency"} if key == "hospice" else {}


@pytest.mark.parametrize("key", CONTACT_KEYS)
def test_the_call_after_low_sugar_names_its_contact(key: str) -> None:
    contact = {"name": "Example Line", "phone": "555 010 0123", "hours": "Mon-Fri 08:00-16:00"}
    named = {} if key == "emergency" else {f"contacts.{key}": contact, **first_call(key)}
    last = rows_of(low_sugar_box(source_of({"low_sugar.then_call": key, **named})))[4]
    if key == "emergency":
        assert last.endswith("| Call 911.")
    elif key == "after_hours":
        assert last.endswith("| Call Example Line, 555 010 0123.")
    else:
        assert "Call Example Line, 555 010 0123 (Monday to Friday, 8 am to 4 pm)." in last
        assert last.endswith("At other times call Quillmere nurse line, +1 555 010 0141.")


def test_who_measures_is_named_where_nobody_at_home_does() -> None:
    settled = decided(
        "insulin-without-sugar-checks", "insulin glargine", "checked-by", "B. Quist, MD",
        who="Example Nurse", phone="555 010 0124",
    )  # fmt: skip
    settled["decided"][0].pop("about")
    changes = {"watch": REMOVE, "medicines": data_with()["medicines"][:1], "settled": [settled]}
    assert "Who measures it | Example Nurse / 555 010 0124" in rows_of(
        low_sugar_box(decided_source(changes | {"if_feeding_stops.hold": REMOVE}))
    )


def test_a_page_where_a_feed_stops_has_the_number_and_the_first_action() -> None:
    assert slot_of("low_sugar_below") == "70 mg/dL"
    assert slot_of("low_sugar_first") == (
        "Give 120 mL (4 oz) of apple juice through the feeding port."
    )


# --- a feeding that is off -----------------------------------------------------------------------


def test_the_plan_for_feeding_off_says_check_hold_and_call_with_the_night_line() -> None:
    assert slot_of("feed_stop_after") == "30 minutes"
    assert slot_of("feed_stop_do") == (
        "Check the blood sugar. Do not give insulin regular. Ask about it when you call. "
        "Call Diabetes nurse, +1 555 010 0147 (Monday to Friday, 8 am to 5 pm). "
        "At other times call Quillmere nurse line, +1 555 010 0141."
    )


@pytest.mark.parametrize(
    ("check", "said"),
    [
        ("blood sugar", "Check the blood sugar."),
        ("temperature", "Take the temperature."),
        ("how the person feels", "Look how the person feels."),
    ],
)
def test_each_check_has_its_sentence(check: str, said: str) -> None:
    words = slot_of("feed_stop_do", {"if_feeding_stops.check": [check]})
    assert words.startswith(said)


# --- checks at home ------------------------------------------------------------------------------


def check(**keys: Any) -> Changes:
    return {"watch": [{"what": "weight", "times": ["08:00"], "call": "after_hours", **keys}]}


CALL = "Call Quillmere nurse line, +1 555 010 0141."


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"what": "blood sugar", "call_below": "70 mg/dL"},
         f"Blood sugar below 70 mg/dL | First do what the box for low sugar says. {CALL}"),
        ({"what": "blood sugar", "call_above": "340 mg/dL"},
         f"Blood sugar of 340 mg/dL or more | {CALL}"),
        ({"call_up": "1 kg"}, f"Weight up by 1 kg (2.2 lb) or more since the last time | {CALL}"),
        ({"call_up": "3 %"}, f"Weight up by 3% or more since the last time | {CALL}"),
        # 71 kg less 3 %: 68.87 kg.
        ({"call_down": "3 %"}, f"Weight down by 3%: 68.9 kg (151.8 lb) or less | {CALL}"),
        ({"call_below": "68 kg"}, f"Weight below 68 kg (149.9 lb) | {CALL}"),
        ({"what": "temperature", "call_above": "38.3 °C"},
         "Temperature of 100.9 °F (38.3 °C) or more | "
         f"This fever is an emergency: first do what page 1 says. {CALL}"),
        ({"what": "temperature", "call_above": "37.5 °C"},
         f"Temperature of 99.5 °F (37.5 °C) or more | {CALL}"),
        ({"what": "stool", "call_none_for": "3 d"}, f"Stool: none for 3 days | {CALL}"),
        ({"what": "urine", "call_none_for": "8 h"}, f"Urine: none for 8 hours | {CALL}"),
        ({"what": "urine", "call_below": "500 mL"},
         f"Urine below 500 mL (about 16.5 oz) | {CALL}"),
        ({"what": "drainage", "call_above": "1200 mL"},
         f"Drainage of 1,200 mL (40 oz) or more | {CALL}"),
    ],
)  # fmt: skip
def test_each_limit_says_at_what_whom_is_called(keys: Changes, said: str) -> None:
    source = SlotSource(patient_of(data_with(check(**keys))), source_of().facts)
    assert rows_of(watch_calls(source)) == [said]


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({}, "every day, at 8 am"),
        ({"times": ["08:00", "20:00"], "days": ["Mon", "Thu"]}, "Monday, Thursday, at 8 am, 8 pm"),
        ({"times": REMOVE, "days": ["Sun"]}, "Sunday"),
        ({"times": REMOVE, "every": "2 d", "next": "2026-06-07 07:00"},
         "Every 2 days, next Sunday, June 7, 2026, at 7 am"),
        ({"times": "before each feed"}, "Before each feeding"),
        ({"times": "with each feed"}, "With each feeding"),
        ({"times": "after each feed"}, "After each feeding"),
        ({"from": "2026-06-06", "until": "2026-06-20"},
         "every day, at 8 am / From Saturday, June 6, 2026 / Until Saturday, June 20, 2026"),
    ],
)  # fmt: skip
def test_when_it_is_measured_is_said_in_each_of_its_forms(keys: Changes, said: str) -> None:
    changes = check(call_up="1 kg", **keys)
    changes["watch"] = [{k: v for k, v in changes["watch"][0].items() if v is not REMOVE}]
    source = SlotSource(patient_of(data_with(changes)), source_of().facts)
    assert rows_of(watch_table(source)) == [
        f"Weight | {said} | Weight up by 1 kg (2.2 lb) or more since the last time / {CALL}"
    ]


CLOSED = {"watch.0.times": ["20:00"], "watch.0.call": "clinic", "contacts.clinic": "tube-clinic"}


@pytest.mark.parametrize(
    ("do", "fields", "said"),
    [
        ("call-instead", {"contact": "after_hours"}, CALL),
        ("next-opening", {}, "Call Quillmere Tube Clinic, +1 555 010 0140, when they next answer: "
         "Monday to Friday, 8 am to 4 pm."),
    ],
)  # fmt: skip
def test_a_check_while_its_contact_is_closed_says_what_was_settled(
    do: str, fields: Changes, said: str
) -> None:
    settled = decided("contact-closed", "blood sugar", do, "S. Park, RN", **fields)
    block = [*data_with()["settled"], settled]
    source = decided_source(CLOSED | {"settled": block})
    assert rows_of(watch_calls(source))[1] == f"Blood sugar of 340 mg/dL or more | {said}"


# --- feeding after little food -------------------------------------------------------------------


def test_the_signs_of_falling_salts_hold_until_five_days_after_the_last_step() -> None:
    # Steps on August 12, 14, 16 and 18; refeed: changes within 5 days.
    assert slot_of("restart_until", base=REFEEDING) == "Sunday, August 23, 2026"


def test_without_a_written_start_somebody_says_when_the_time_is_over() -> None:
    assert slot_of("restart_until") == "we say that this time is over"


# --- contacts ------------------------------------------------------------------------------------


def test_page_one_holds_the_night_row_first_and_the_day_row_with_its_hours() -> None:
    box = contacts_box(source_of())
    assert box.name == "phones"
    assert rows_of(box) == [
        "Nights, weekends, holidays | +1 555 010 0141",
        "By day / Monday to Friday, 8 am to 4 pm | +1 555 010 0140",
    ]


def test_one_number_for_all_hours_is_one_row() -> None:
    box = contacts_box(source_of({"contacts.clinic": "nurse-line"}))
    assert (box.name, rows_of(box)) == ("phones_one", ["Any hour | +1 555 010 0141"])


def test_more_contacts_stand_by_name_with_hours_and_number() -> None:
    assert rows_of(contacts_more(source_of())) == [
        "Pharmacy / Quillmere pharmacy / Monday to Saturday, 8 am to 8 pm | +1 555 010 0146",
        "Diabetes care / Diabetes nurse / Monday to Friday, 8 am to 5 pm | +1 555 010 0147",
    ]


# Whom other pages name: page 1 and 2, and the supplies.
ELSEWHERE = ("emergency", "clinic", "after_hours", "supplies")


def test_clinic_and_nights_stand_on_the_second_page_and_supplies_with_the_supplies() -> None:
    card = rows_of(tube_card(source_of()))
    assert any(row.startswith("Clinic | Quillmere Tube Clinic") for row in card)
    assert any("Quillmere nurse line, +1 555 010 0141" in row for row in card)
    assert "Harbor Home Supply" in slot_of("supplies_call")
    assert "+1 555 010 0117" in slot_of("supplies_call")


@pytest.mark.parametrize("key", [key for key in CONTACT_KEYS if key not in ELSEWHERE])
def test_each_kind_of_contact_is_in_the_table(key: str) -> None:
    contact = {"name": "Example Line", "phone": "555 010 0123", "hours": "always"}
    source = source_of({f"contacts.{key}": contact, **first_call(key)})
    rows = rows_of(contacts_more(source))
    assert sum("Example Line | 555 010 0123" in row for row in rows) == 1


def test_others_stand_in_the_table_by_name() -> None:
    other = {"name": "Example School", "phone": "555 010 0125", "hours": "Mon-Fri 08:00-15:00"}
    box = rows_of(contacts_more(source_of({"contacts.others": [other]})))
    assert sum("Example School" in row and "| 555 010 0125" in row for row in box) == 1


def test_with_hospice_first_the_emergency_number_is_last_and_for_no_answer() -> None:
    box = contacts_box(source_of(base=HOSPICE))
    assert (box.name, rows_of(box)) == ("phones_hospice", ["Hospice | +1 555 010 0143"])
    assert rows_of(contacts_more(source_of(base=HOSPICE)))[-1] == (
        "Only if nobody else answers | 911"
    )
    assert slot_of("emergency_phone", base=HOSPICE) == "+1 555 010 0143"
    assert slot_of("next_phone", base=HOSPICE) == "911"


def test_with_hospice_first_another_line_is_the_next_to_call() -> None:
    assert slot_of("next_phone", {"contacts.after_hours": "nurse-line"}, HOSPICE) == (
        "+1 555 010 0141"
    )


# --- who steps in --------------------------------------------------------------------------------


def test_who_steps_in_stands_with_duty_times_and_phone() -> None:
    # Nobody who may give medicines is there on Saturday at 7:30 am; Olga Marsh is.
    source = decided_source(base=GROUP_HOME)
    (row,) = (row for row in rows_of(tube_card(source)) if "Olga Marsh" in row)
    assert row.startswith("Steps in | Olga Marsh / medicines / ")
    assert "Saturday" in row
    assert "7:30 am" in row
    assert row.endswith(" / +1 555 010 0172")


def test_who_steps_in_for_the_one_trained_helper_stands_on_the_sheet() -> None:
    settled = decided("one-trained-helper", [], "backup", "S. Park, RN", who="Example Neighbor",
                      phone="555 010 0127")  # fmt: skip
    changes = {
        "learners.1": {"name": "Mae Calloway", "relation": "sister", "language": "en",
                       "duties": "none"},
        "patient.conditions": ["diabetes", "immune-suppressed", "steroids", "needs-full-care"],
        "settled": [*data_with()["settled"], settled],
    }  # fmt: skip
    source = decided_source(changes)
    assert source.patient.outcomes
    (row,) = (row for row in rows_of(tube_card(source)) if "Example Neighbor" in row)
    assert row.endswith(" / 555 010 0127")


def test_hours_without_help_stand_among_the_emergencies_of_page_one() -> None:
    settled = decided("rescue-not-covered", "rescue", "emergency-first", "B. Quist, MD")
    changes = {
        "learners.0.duties": ["feeding"], "learners.0.limit": "own wish",
        "learners.0.there": "always",
        "learners.1.duties": ["rescue", "medicines", "flushing", "injections", "sugar-checks"],
        "learners.1.limit": "own wish", "learners.1.there": "Mon-Fri 08:00-20:00",
        "settled": [*data_with()["settled"], settled],
    }  # fmt: skip
    assert sentences(INSULIN, changes)["getting-help.now.nobody"] == (
        "Nobody here who may help: Monday to Thursday, 8 pm to 8 am; Friday, 8 pm, to Monday, "
        "8 am. With low sugar or a seizure give nothing."
    )


# --- hospice first, over all that is said --------------------------------------------------------


def sentences(base: str, changes: Changes | None = None) -> dict[str, str]:
    """Id → words of every statement, heading, question and way to say it again."""
    data = with_codes(data_with(changes, base))
    text = yaml.safe_dump(_words(data), allow_unicode=True, sort_keys=False)
    decision = decide(text, teaching(), facility(), name="patient.yaml")
    filler = filler_of(SlotSource(decision.patient, decision.facts), decision.selection)
    said: dict[str, str] = {}
    for chosen in decision.selection.modules:
        for selected in chosen.sections:
            texts = [filler.text(selected.section.id, selected.section.heading, None)]
            texts += [
                filler.text(s.id, s.text, s.child_text)
                for s in selected.statements
                if s.kind != "block"
            ]
            said |= {t.id: str(WORDS.text(t)).replace(NBSP, " ") for t in texts}
        for prompt in chosen.teach_back:
            said[prompt.id] = f"{prompt.ask} {prompt.again}"
    return said


def test_where_hospice_comes_first_no_sentence_sends_elsewhere() -> None:
    said = sentences(HOSPICE)
    assert {name for name, words in said.items() if "911" in words} == {
        "getting-help.contacts.no-answer-hospice"
    }
    assert said["getting-help.now"] == said["getting-help.us"] == "Call Evenlight Hospice now"
    elsewhere = ("emergency room", "emergency help", "in an emergency", "stop feeding",
                 "stop the feeding", "way to the hospital")  # fmt: skip
    assert {
        name: words
        for name, words in said.items()
        if any(words_of in words.lower() for words_of in elsewhere)
    } == {}
    assert said["getting-help.now.stop-drains"] == (
        "Put nothing in the tube. Leave it open to drain. Call +1 555 010 0143."
    )


def test_where_something_is_fed_the_hospice_is_called_after_feeding_stops() -> None:
    hospice = {
        "patient.setting": ["home", "hospice"],
        "contacts.hospice": "hospice-team",
        "contacts.first_call": "hospice",
    }
    said = sentences(INSULIN, hospice)
    assert said["getting-help.now.stop"] == (
        "Stop the feeding. Put nothing in the tube. Call +1 555 010 0143."
    )
    # The night line has another number, so the emergency number stands in no sentence.
    assert not [name for name, words in said.items() if "911" in words]
    box = rows_of(low_sugar_box(source_of(hospice)))
    assert box[4] == "Below 70 mg/dL after that | Call Evenlight Hospice, +1 555 010 0143."
    assert box[5].endswith("Call +1 555 010 0143 at once.")


def test_the_papers_of_the_follow_up_call_the_hospice_too() -> None:
    phones = {"emergency": Typed("phone", "911"), "hospice": Typed("phone", "555 010 0143")}
    for words in (now_do(WORDS, phones), first_call_to(WORDS, phones)):
        assert "555 010 0143" in str(words).replace(NBSP, " ")
        assert "911" not in str(words)
        assert "emergency" not in str(words)


def test_with_insulin_page_one_says_low_sugar_and_the_feeding_page_what_comes_first() -> None:
    said = sentences(INSULIN)
    assert "nothing by mouth" in said["getting-help.now.sugar"]
    assert said["getting-help.us.feeding-off"].startswith(
        "Feeding off for 30 minutes: Check the blood sugar. Do not give insulin regular."
    )
    assert said["feeding.position.sugar"].startswith(
        "Blood sugar below 70 mg/dL: Give 120 mL (4 oz) of apple juice through the feeding port."
    )
    assert "getting-help.us.shaky" not in said
    assert said["getting-help.now.sugar-still"] == (
        "Sugar: still below 70 mg/dL after all that the plan gives."
    )


def test_another_way_to_explain_names_no_colors() -> None:
    # Pages are printed in black and white: the higher the band, the faster one acts.
    colors = re.compile(r"traffic light|\b(red|yellow|green)\b.{0,12}\b(light|list|lamp)\b")
    prompts = [prompt for module in library().modules for prompt in module.teach_back]
    assert prompts
    assert not [p.id for p in prompts if colors.search(f"{p.again} {p.child_again}".lower())]


def test_a_drain_that_runs_too_much_or_not_at_all_stands_on_page_one() -> None:
    said = sentences(HOSPICE)
    assert said["getting-help.drain.over"] == "Draining: more than 1,200 mL in a day."
    assert said["getting-help.drain.none"] == "Nothing drains: for 6 hours when it should."


def test_the_supply_company_stands_with_its_hours_and_who_answers_at_others() -> None:
    assert sentences(INSULIN)["supplies.month.company"] == (
        "To order: Call Harbor Home Supply, +1 555 010 0117 (Monday to Friday, 8 am to 6 pm; "
        "Saturday, 9 am to noon). At other times call Quillmere nurse line, +1 555 010 0141."
    )


@pytest.mark.parametrize(
    ("do", "fields", "said"),
    [
        ("call-instead", {"contact": "after_hours"},
         "Call Quillmere nurse line, +1 555 010 0141."),
        ("next-opening", {},
         "Call Quillmere Tube Clinic, +1 555 010 0140, when they next answer: Monday to Friday, "
         "8 am to 4 pm."),
    ],
)  # fmt: skip
def test_a_scale_that_calls_a_closed_line_says_what_was_settled(
    do: str, fields: Changes, said: str
) -> None:
    scale = dict(data_with()["medicines"][1]["scale"])
    scale["340 mg/dL or more"] = "9 units, then call clinic"
    settled = decided("contact-closed", "insulin regular", do, "S. Park, RN", **fields)
    source = decided_source(
        {"medicines.1.scale": scale, "settled": [*data_with()["settled"], settled]}
    )
    assert said in rows_of(sugar_scale(source))[-1]
