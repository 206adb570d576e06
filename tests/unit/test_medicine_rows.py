"""The medicine table of format 2: each word of each list, each way of timing, each outcome."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

import pytest
from builders import library
from format_2 import (
    GROUP_HOME,
    HOSPICE,
    INFANT,
    INSULIN,
    NAMES,
    REFEEDING,
    RESTING,
    data_with,
    facility,
    judged,
    patient_of,
    with_codes,
)

from plainleaf.compose.fill import BLOCKS, SlotSource
from plainleaf.compose.word import NBSP, Wording
from plainleaf.facts import derive
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import SettledOutcome
from plainleaf.rules.outcomes import resolved
from plainleaf.vocabulary import words_2
from plainleaf.vocabulary.patient_file.scalars_2 import LIQUID, SPAN, Mix

WORDS = Wording(library(), Catalog("en", {}))
Rows = list[list[list[str]]]
LIQUID_BY_TUBE = {
    "name": "lactulose", "form": "liquid", "dose": "15 mL", "route": "gastric", "times": ["08:00"],
}  # fmt: skip
TABLET = {
    "name": "folic acid", "form": "tablet", "dose": "1 tablet (1 mg)", "route": "gastric",
    "times": ["08:00"], "prepare": "crush", "in": "15 mL water",
}  # fmt: skip


def rows_of(patient: Patient, block: str = "medicine_table") -> Rows:
    """The rows of a table in English, cell by cell and line by line."""
    facts = derive(patient, facility(), library().medicine_words)
    table = BLOCKS[block](SlotSource(patient, facts))
    return [
        [[WORDS.value(line).plain.replace(NBSP, " ") for line in cell] for cell in row]
        for row in table.rows
    ]


def listed(*medicines: dict[str, Any], base: str = REFEEDING, **more: Any) -> Patient:
    """A patient with these medicines and no other."""
    return patient_of(data_with({"medicines": list(medicines), **more}, base))


def row(*medicines: dict[str, Any], base: str = REFEEDING, **more: Any) -> list[list[str]]:
    """The first row of these medicines."""
    return rows_of(listed(*medicines, base=base, **more))[0]


def settled(finding: str, do: str, **fields: object) -> SettledOutcome:
    """An outcome about the first medicine."""
    return SettledOutcome(
        finding, do, fields, ("it",), (0,), "O. Duarte, PharmD", None, date(2026, 6, 5)
    )


def decided(medicine: dict[str, Any], *outcomes: SettledOutcome, **more: Any) -> list[str]:
    """How a medicine is given after something was decided."""
    return rows_of(resolved(listed(medicine, **more), outcomes))[0][2]


# --- when ----------------------------------------------------------------------------------------


def test_a_medicine_has_one_row_with_all_its_times() -> None:
    when, what, how = row({**LIQUID_BY_TUBE, "times": ["08:00", "20:30"]})
    assert when == ["8 am, 8:30 pm"]
    assert what == ["lactulose", "liquid", "15 mL"]
    assert how == ["Through the tube"]


@pytest.mark.parametrize(
    ("timed", "says"),
    [
        ({"times": ["10:00"], "days": ["Mon", "Fri"]}, ["10 am", "Only on: Monday, Friday"]),
        ({"times": "before each feed"}, ["Before each feeding"]),
        ({"times": "with each feed"}, ["With each feeding"]),
        ({"times": "after each feed"}, ["After each feeding"]),
        (
            {"times": None, "every": "7 d", "next": "2026-08-16 09:00"},
            ["Once every 7 days", "Next dose: Sunday, August 16, 2026, at 9 am"],
        ),
        (
            {"from": "2026-08-13", "until": "2026-08-14"},
            [
                "8 am",
                "From Thursday, August 13, 2026",
                "Last dose: Friday, August 14, 2026, at 8 am. Then stop.",
            ],
        ),
        (
            {"times": "before each feed", "until": "2026-08-14"},
            ["Before each feeding", "Last day: Friday, August 14, 2026. Then stop."],
        ),
    ],
)
def test_when(timed: dict[str, Any], says: list[str]) -> None:
    medicine = {key: value for key, value in {**LIQUID_BY_TUBE, **timed}.items() if value}
    assert row(medicine)[0] == says


def test_a_patch_says_where_it_goes_and_when_it_is_changed() -> None:
    (patch,) = [r for r in rows_of(patient_of(data_with(base=INSULIN))) if r[1][0] == "clonidine"]
    assert patch[0] == ["Once every 7 days", "Next change: Tuesday, June 9, 2026, at 9 am"]
    assert patch[1] == ["clonidine", "patch", "Strength: 100 mcg", "1 patch"]
    assert patch[2] == [
        "As a patch on the skin, as your pharmacist showed you",
        "Where: upper arm",
    ]


def test_a_course_that_has_begun_starts_with_the_dose_to_come() -> None:
    """Prepared on August 12 at 1 pm: the dose at 8 am of that day is over."""
    patient = listed({**LIQUID_BY_TUBE, "from": "2026-08-01", "until": "2026-08-20"})
    assert patient.prepared_on == datetime(2026, 8, 12, 13, 0)
    assert rows_of(patient)[0][0][1:3] == [
        "It has begun.",
        "Next dose: Thursday, August 13, 2026, at 8 am",
    ]


# --- what ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("form", words_2.FORMS)
def test_each_form_has_words(form: str) -> None:
    what = row({**LIQUID_BY_TUBE, "form": form, "route": "mouth"})[1]
    assert what[1] and what[1] != form.upper()


def test_no_two_forms_have_the_same_words() -> None:
    said = [row({**LIQUID_BY_TUBE, "form": f, "route": "mouth"})[1][1] for f in words_2.FORMS]
    assert len(set(said)) == len(words_2.FORMS) == 33


@pytest.mark.parametrize(
    ("strength", "says"),
    [
        ("5 mg/5 mL", "5 mg in 5 mL"),
        ("10 mg/mL", "10 mg in 1 mL"),
        ("25 mcg/h", "25 mcg an hour"),
        ("1 mg/24 h", "1 mg in 24 hours"),
        ("100 mg/tablet", "100 mg in 1 tablet"),
        ("100 mcg", "100 mcg"),
    ],
)
def test_the_strength_is_printed(strength: str, says: str) -> None:
    assert row({**LIQUID_BY_TUBE, "strength": strength})[1][2] == f"Strength: {says}"


@pytest.mark.parametrize(
    ("dose", "says"),
    [
        ("10 mL (100 mg)", "10 mL (100 mg)"),
        ("half tablet", "half a tablet"),
        ("2 scoops", "2 scoops"),
        ("1 nebule", "1 nebule"),
        ("1 pea-size", "1 pea-size amount"),
        ("20 mEq", "20 mEq"),
        ("14 units", "14 units"),
    ],
)
def test_the_dose_is_printed_as_it_is_ordered(dose: str, says: str) -> None:
    assert row({**LIQUID_BY_TUBE, "dose": dose})[1][-1] == says


# --- how -----------------------------------------------------------------------------------------

ROUTES = {
    "mouth": "By mouth", "under tongue": "Under the tongue", "cheek": "Inside the cheek",
    "mouth swab": "In the mouth with a swab", "injection": "By injection (a shot)",
    "patch": "As a patch on the skin", "rectal": "Into the bottom (rectum)",
    "inhaled": "Breathed in", "nose": "Into the nose", "eye": "Into the eye",
    "ear": "Into the ear", "skin": "On the skin", "vein line": "Into the vein line",
}  # fmt: skip


@pytest.mark.parametrize("route", ROUTES)
def test_each_route_besides_the_tube_says_how_and_nothing_of_the_tube(route: str) -> None:
    how = row({**LIQUID_BY_TUBE, "route": route})[2]
    assert how == [f"{ROUTES[route]}, as your pharmacist showed you"]
    assert not any("lush" in line or "tube" in line for line in how)


def test_every_route_is_tried() -> None:
    assert {"gastric", "jejunal", *ROUTES} == set(words_2.ROUTES)


@pytest.mark.parametrize(
    ("port", "says"),
    [("gastric", "Through the stomach port"), ("jejunal", "Through the bowel port")],
)
def test_a_port_is_named_where_there_are_two(port: str, says: str) -> None:
    ports = {"gastric": ["medicines"], "jejunal": ["feeding", "medicines"]}
    more = {"tube.kind": "gastrojejunostomy", "tube.ports": ports}
    assert row({**LIQUID_BY_TUBE, "route": port}, **more)[2][0] == says


@pytest.mark.parametrize(
    ("prepare", "says"),
    [
        ("as it is", ["Give it as it is."]),
        ("crush", ["Crush it to a fine powder.", "Mix it with 15 mL of water."]),
        (
            "open and do not crush",
            ["Open it. Do not crush what is inside.", "Mix it with 15 mL of water."],
        ),
        ("dissolve", ["Let it fall apart in 15 mL of water. Do not crush it."]),
        ("dilute", ["Thin it first.", "Mix it with 15 mL of water."]),
        ("mix and do not crush", ["Mix it. Do not crush it.", "Mix it with 15 mL of water."]),
        (
            "pharmacy packets",
            ["The pharmacy makes it ready in packets.", "Mix it with 15 mL of water."],
        ),
        ("pharmacy liquid", ["The pharmacy makes it ready as a liquid."]),
        ("whole", ["Give it whole. Do not crush or open it."]),
    ],
)
def test_each_way_to_make_ready(prepare: str, says: list[str]) -> None:
    medicine = {**TABLET, "prepare": prepare}
    if prepare not in words_2.MIXED:
        del medicine["in"]
    assert row(medicine)[2] == ["Through the tube", *says]


def test_each_way_to_make_ready_is_tried() -> None:
    marks = test_each_way_to_make_ready.pytestmark  # type: ignore[attr-defined]
    assert [case[0] for case in marks[0].args[1]] == list(words_2.PREPARE)


@pytest.mark.parametrize(
    ("mix", "says"),
    [
        ("10 to 20 mL apple juice", "10 mL to 20 mL of apple juice"),
        ("15 mL orange juice", "15 mL of orange juice"),
        ("30 mL milk", "30 mL of milk"),
        ("puree", "smooth mashed food"),
        ("applesauce", "applesauce"),
        ("thickened water", "thickened water"),
    ],
)
def test_what_it_is_mixed_in(mix: str, says: str) -> None:
    assert row({**TABLET, "in": mix})[2][-1] == f"Mix it with {says}."


@pytest.mark.parametrize(
    ("form", "says"),
    [
        (
            "effervescent tablet",
            "Drop it whole into 15 mL of water. Wait until the fizz is gone.",
        ),
        (
            "dispersible tablet",
            "Let it fall apart in 15 mL of water. Swirl it and give it at once."
            " Rinse, and give that too.",
        ),
    ],
)
def test_what_falls_apart_in_water(form: str, says: str) -> None:
    assert row({**TABLET, "form": form, "prepare": "dissolve"})[2][1] == says


@pytest.mark.parametrize(
    ("order", "says"),
    [
        ({"hold_before": "1 h"}, "Feeding is off for 1 hour before it."),
        ({"hold_after": "2 h"}, "Feeding is off for 2 hours after it."),
        (
            {"hold_before": "1 h", "hold_after": "30 min"},
            "Feeding is off for 1 hour before it and 30 minutes after it.",
        ),
        ({"sit_up": "30 min"}, "Stay upright for 30 minutes after it."),
        (
            {"away_from": ["calcium", "iron"], "away_by": "2 h"},
            "Keep it 2 hours apart from calcium, iron.",
        ),
        ({"gloves": "true"}, "Wear gloves."),
        ({"dose": "0.6 mL"}, "Small dose: use the small syringe with the low-dose tip."),
    ],
)
def test_what_goes_with_a_dose(order: dict[str, Any], says: str) -> None:
    assert row({**LIQUID_BY_TUBE, **order})[2][-1] == says


def test_only_the_small_step_asks_for_the_small_syringe() -> None:
    rows = steps_from("2026-08-12", {"for": "5 d", "dose": "4 mL"}, {"dose": "0.5 mL"})
    assert [r[2] for r in rows] == [
        ["4 mL"],
        ["0.5 mL", "Small dose: use the small syringe with the low-dose tip."],
    ]


# --- as needed -----------------------------------------------------------------------------------

NEEDED = {
    **LIQUID_BY_TUBE, "times": "as needed", "for": ["pain"], "at_most": "4 doses in 24 h",
}  # fmt: skip


@pytest.mark.parametrize("reason", words_2.PRN_FOR)
def test_each_reason_of_a_dose_as_needed_has_words(reason: str) -> None:
    when, _, how = row({**NEEDED, "for": [reason]})
    assert when == ["Only when you need it"]
    assert how[1].startswith("For ")
    assert how[2] == "At most 4 doses in 24 hours"


def test_no_two_reasons_have_the_same_words() -> None:
    said = [row({**NEEDED, "for": [reason]})[2][1] for reason in words_2.PRN_FOR]
    assert len(set(said)) == len(words_2.PRN_FOR) == 17


def test_how_often_a_dose_as_needed_may_be_given() -> None:
    how = row({**NEEDED, "for": ["pain", "fever"], "after": "1 h", "between": "6 h"})[2]
    assert how[1:] == [
        "For pain, fever",
        "Give it when this has lasted 1 hour.",
        "Wait at least 6 hours between doses.",
        "At most 4 doses in 24 hours",
    ]


def test_the_most_is_said_to_count_where_the_time_between_allows_more() -> None:
    """Every 4 hours is 6 times in 24 hours; 4 doses are reached before."""
    assert row({**NEEDED, "between": "4 h"})[2][-1] == (
        "At most 4 doses in 24 hours, even if you waited long enough between doses"
    )


def test_the_most_may_be_an_amount() -> None:
    assert row({**NEEDED, "at_most": "60 mL in 1 d"})[2][-1] == "At most 60 mL in 24 hours"


# --- what was decided ----------------------------------------------------------------------------


def test_what_the_pharmacy_makes_ready_nobody_crushes() -> None:
    tablet = {k: v for k, v in TABLET.items() if k not in ("in", "prepare")} | {
        "prepare": "pharmacy packets", "in": "20 mL water"
    }  # fmt: skip
    mix = LIQUID.read("20 mL water")
    outcome = settled("crush-not-cleared", "pharmacy-prepares", **{"as": "packets", "in": mix})
    how = decided(tablet, outcome)
    assert how[1:] == ["The pharmacy makes it ready in packets.", "Mix it with 20 mL of water."]
    assert not any("crush" in line.lower() for line in how)


@pytest.mark.parametrize(
    ("as_what", "says"),
    [
        ("syringes", "The pharmacy makes it ready in syringes. Do not fill them at home."),
        ("liquid", "The pharmacy makes it ready as a liquid."),
    ],
)
def test_as_what_the_pharmacy_makes_it_ready(as_what: str, says: str) -> None:
    outcome = settled(
        "hazardous-medicine", "pharmacy-prepares",
        **{"as": as_what, "gloves": True, "keep_away": ("children", "pregnant people")},
    )  # fmt: skip
    assert decided({**LIQUID_BY_TUBE, "name": "methotrexate"}, outcome)[1:] == [
        says,
        "Wear gloves.",
        "Children stay away from it.",
        "Pregnant people stay away from it.",
    ]


def test_how_it_is_made_ready_may_be_decided() -> None:
    tablet = {**TABLET, "form": "effervescent tablet", "prepare": "dissolve", "in": "50 mL water"}
    outcome = settled(
        "effervescent-dissolve", "prepare", prepare="dissolve", wait=SPAN.read("5 min")
    )
    assert decided(tablet, outcome)[1:] == [
        "Drop it whole into 50 mL of water. Wait until the fizz is gone.",
        "Let it stand for 5 minutes.",
    ]


def test_a_hold_that_was_decided_is_on_the_row() -> None:
    outcome = settled(
        "clashes-with-feeding", "hold", before=SPAN.read("1 h"), after=SPAN.read("1 h")
    )
    assert decided(LIQUID_BY_TUBE, outcome)[-1] == (
        "Feeding is off for 1 hour before it and 1 hour after it."
    )


def test_no_hold_says_what_is_checked_instead_and_holds_nothing() -> None:
    outcome = settled(
        "clashes-with-feeding", "no-hold", watch="drug level", check_date=date(2026, 8, 17)
    )
    how = decided({**LIQUID_BY_TUBE, "hold_before": "1 h"}, outcome)
    assert how[1:] == [
        "Feeding goes on, by order. We check this on Monday, August 17, 2026:"
        " how much of it is in the blood."
    ]


@pytest.mark.parametrize("watch", words_2.NO_HOLD_WATCH)
def test_each_thing_checked_instead_has_words(watch: str) -> None:
    outcome = settled("lump-with-feeding", "no-hold", watch=watch)
    line = decided(LIQUID_BY_TUBE, outcome)[-1]
    assert line.startswith("Feeding goes on, by order. We check this: ")


def test_levodopa_is_never_stopped_suddenly() -> None:
    outcome = settled(
        "levodopa-and-feeding", "hold", before=SPAN.read("30 min"), after=SPAN.read("1 h")
    )
    assert decided(LIQUID_BY_TUBE, outcome)[-1] == "Never stop it suddenly."


@pytest.mark.parametrize(
    ("outcome", "says"),
    [
        (settled("medicine-twice", "both", why="different strengths"), "two strengths."),
        (settled("medicine-twice", "both", why="different times"), "other times."),
        (settled("medicine-twice", "both", why="one as needed"), "only for when you need it."),
        (
            settled("weekly-medicine-daily", "as-ordered"),
            "The days were checked with the pharmacist.",
        ),
        (settled("injection-through-tube", "as-ordered"), "by order. Do not inject it."),
        (settled("scale-without-sugar-check", "as-ordered"), "Measure the blood sugar first,"),
        (settled("medicine-in-feed", "pause-feed"), "Start the feeding again at once."),
        (settled("laxative-and-thickener", "use-other-thickener"), "Use one without starch."),
        (settled("opioid-modified-release", "prepare", prepare="as it is"), "stop breathing."),
        (
            settled("insulin-without-sugar-checks", "checked-by", who="Ann Bo"),
            "Ann Bo measures the blood sugar. Nobody at home does.",
        ),
        (
            settled("insulin-without-sugar-checks", "checked-by", who="Ann Bo", phone="555 010 9"),
            "Ann Bo measures the blood sugar: 555 010 9. Nobody at home does.",
        ),
    ],
)
def test_what_was_decided_is_on_the_row(outcome: SettledOutcome, says: str) -> None:
    assert says in " ".join(decided(LIQUID_BY_TUBE, outcome))
    assert says not in " ".join(decided(LIQUID_BY_TUBE))


def test_a_medicine_by_mouth_although_nothing_else_is() -> None:
    outcome = settled(
        "by-mouth-while-nothing", "by-mouth", cleared_by="W. Idris, SLP", **{"in": Mix("puree")}
    )
    tablet = {k: v for k, v in TABLET.items() if k not in ("in", "prepare")}
    how = decided({**tablet, "route": "mouth"}, outcome)
    assert how == [
        "By mouth, as your pharmacist showed you",
        "Mix it with smooth mashed food.",
        "Nothing else by mouth.",
        "W. Idris, SLP said this is safe.",
    ]


def test_the_generic_name_stands_in_brackets() -> None:
    patient = listed({**LIQUID_BY_TUBE, "name": "Lactosirup"})
    named = resolved(patient, [settled("name-not-known", "name-means", name="lactulose")])
    assert rows_of(named)[0][1][0] == "Lactosirup (lactulose)"


def test_what_is_left_out_while_feeding_is_off() -> None:
    patient = patient_of(data_with(base=INSULIN))
    (insulin,) = [r for r in rows_of(patient) if r[1][0] == "insulin regular"]
    assert insulin[1][-1] == "by the table"
    assert insulin[2][-1] == "No dose if feeding is off for 30 minutes or more."


def test_where_nobody_may_give_it_the_hours_and_the_emergency_number_stand_on_the_row() -> None:
    aide = {
        "name": "Ann Bo", "relation": "home aide", "language": "en", "duties": ["rescue"],
        "limit": "agency rule", "there": "Mon-Sun 08:00-20:00",
    }  # fmt: skip
    outcome = settled("rescue-not-covered", "emergency-first")
    how = decided({**NEEDED, "for": ["seizure"]}, outcome, learners=[aide])
    assert how[-1].startswith("Nobody may give it at these times: ")
    assert "8 pm to 8 am" in how[-1]
    assert how[-1].endswith(". Call 911 at once then. Give nothing.")
    other = decided(NEEDED, outcome, learners=[aide])
    assert not any("Nobody" in line for line in other)


def test_a_resting_tube_has_rows_by_mouth_alone() -> None:
    iron, calcium = rows_of(patient_of(data_with(base=RESTING)))
    assert iron[0] == ["10 am", "Only on: Monday, Wednesday, Friday"]
    assert iron[2] == [
        "By mouth, as your pharmacist showed you", "Keep it 2 hours apart from calcium.",
    ]  # fmt: skip
    assert calcium[1] == ["calcium", "chewable tablet", "1 tablet (500 mg)"]


# --- doses that differ ---------------------------------------------------------------------------


def test_each_line_of_a_scale_says_what_to_do() -> None:
    """The order: none from 70 to 159, below it the plan, at 340 or more a dose and a call."""
    assert rows_of(patient_of(data_with(base=INSULIN)), "sugar_scale") == [
        [["Below 70 mg/dL"], ["No insulin regular. Do the low-sugar plan at once."]],
        [["70 mg/dL to 159 mg/dL"], ["No insulin regular this time."]],
        [["160 mg/dL to 219 mg/dL"], ["insulin regular: 3 units"]],
        [["220 mg/dL to 279 mg/dL"], ["insulin regular: 5 units"]],
        [["280 mg/dL to 339 mg/dL"], ["insulin regular: 7 units"]],
        [
            ["340 mg/dL or more"],
            ["insulin regular: 9 units", "Then: Call Quillmere nurse line, +1 555 010 0141."],
        ],
    ]


def test_a_call_before_giving_names_who_answers_when_that_contact_is_closed() -> None:
    scale = {"below 4 mmol/L": "low-sugar plan", "4 mmol/L or more": "call diabetes before giving"}
    data = data_with({"medicines.1.scale": scale}, INSULIN)
    (*_, last) = rows_of(patient_of(data), "sugar_scale")
    assert last == [
        ["4 mmol/L or more"],
        [
            "Do not give insulin regular before you have called.",
            "Call Diabetes nurse, +1 555 010 0147 (Monday to Friday, 8 am to 5 pm)."
            " At other times call Quillmere nurse line, +1 555 010 0141.",
        ],
    ]


def steps_from(first: str, *steps: dict[str, Any]) -> Rows:
    """The table by date of one medicine in steps."""
    medicine = {k: v for k, v in LIQUID_BY_TUBE.items() if k != "dose"}
    patient = listed({**medicine, "from": first, "steps": list(steps)})
    return rows_of(patient, "dose_steps")


def test_steps_have_dates_over_the_end_of_a_month() -> None:
    """By hand: August has 31 days, so 5 days from August 29 are 29, 30, 31, 1, 2, and 30 days
    from September 3 end on October 2."""
    assert steps_from(
        "2026-08-29",
        {"for": "5 d", "dose": "4 mL (4 mg)"},
        {"for": "30 d", "dose": "2 mL (2 mg)", "times": ["09:00", "21:00"]},
    ) == [
        [
            ["Saturday, August 29, 2026 to Wednesday, September 2, 2026"],
            ["lactulose"],
            ["4 mL (4 mg)"],
        ],
        [
            [
                "Thursday, September 3, 2026 to Friday, October 2, 2026",
                "Last dose: Friday, October 2, 2026, at 9 pm. Then stop.",
            ],
            ["lactulose"],
            ["2 mL (2 mg)", "9 am, 9 pm"],
        ],
    ]


def test_the_last_step_without_a_length_goes_on() -> None:
    rows = steps_from("2026-08-12", {"for": "5 d", "dose": "4 mL"}, {"dose": "2 mL"})
    assert rows[-1][0] == ["From Monday, August 17, 2026"]


def test_steps_that_are_over_are_left_out() -> None:
    rows = steps_from("2026-08-01", {"for": "5 d", "dose": "4 mL"}, {"dose": "3 mL"})
    assert [r[2] for r in rows] == [["3 mL"]]


# --- the six order sets, as they were decided -----------------------------------------------------


def decided_set(name: str) -> Patient:
    """An order set with its decisions in force."""
    data = with_codes(data_with(base=name))
    return resolved(patient_of(data), judged(data).outcomes)


def row_of(name: str, medicine: str, number: int = 0) -> list[list[str]]:
    """The row of a medicine of an order set; of a name that stands twice, one of them."""
    return [r for r in rows_of(decided_set(name)) if r[1][0] == medicine][number]


def test_methotrexate_comes_ready_on_one_day_and_keeps_others_away() -> None:
    when, what, how = row_of(INSULIN, "methotrexate")
    assert when == ["10 am", "Only on: Thursday"]
    assert what == ["methotrexate", "liquid", "Strength: 2 mg in 1 mL", "7.5 mL (15 mg)"]
    assert how == [
        "Through the tube",
        "The pharmacy makes it ready in syringes. Do not fill them at home.",
        "Wear gloves.",
        "Children stay away from it.",
        "Pregnant people stay away from it.",
    ]


def test_packets_of_the_pharmacy_are_mixed_and_not_crushed() -> None:
    assert row_of(INSULIN, "carvedilol")[2] == [
        "Through the tube",
        "The pharmacy makes it ready in packets.",
        "Mix it with 20 mL of water.",
    ]
    assert row_of(INSULIN, "folic acid")[2][1:] == [
        "Crush it to a fine powder.", "Mix it with 15 mL of water.",
    ]  # fmt: skip


def test_a_course_of_mouth_rinse_ends_with_its_last_dose() -> None:
    assert row_of(INSULIN, "chlorhexidine")[0] == [
        "8:30 am, 1:30 pm, 7:30 pm",
        "From Saturday, June 6, 2026",
        "Last dose: Sunday, June 14, 2026, at 7:30 pm. Then stop.",
    ]


def test_morphine_stands_twice_and_says_why() -> None:
    """Every 2 hours is 12 times in 24 hours; 6 doses are reached before."""
    planned, needed = (row_of(HOSPICE, "morphine", number) for number in (0, 1))
    assert planned[0] == ["6 am, 10 am, 2 pm, 6 pm, 10 pm"]
    assert needed[0] == ["Only when you need it"]
    assert needed[2] == [
        "Through the bowel port",
        "For pain, short breath",
        "Wait at least 2 hours between doses.",
        "At most 6 doses in 24 hours, even if you waited long enough between doses",
        "It stands here twice on purpose: one is only for when you need it.",
    ]
    assert planned[2][-1] == needed[2][-1]


def test_the_infants_small_dose_has_its_syringe() -> None:
    _, what, how = row_of(INFANT, "furosemide")
    assert what[-1] == "0.6 mL (6 mg)"
    assert how == [
        "Through the tube", "Small dose: use the small syringe with the low-dose tip.",
    ]  # fmt: skip


def test_the_spray_for_a_seizure() -> None:
    assert row_of(GROUP_HOME, "midazolam")[2][:4] == [
        "Into the nose, as your pharmacist showed you",
        "For a seizure (fit)",
        "Give it when this has lasted 5 minutes.",
        "At most 2 doses in 24 hours",
    ]


@pytest.mark.parametrize("name", NAMES)
def test_every_medicine_of_an_order_set_has_a_row(name: str) -> None:
    patient = decided_set(name)
    assert sorted(r[1][0] for r in rows_of(patient)) == sorted(m.name for m in patient.medicines)


@pytest.mark.parametrize(("form", "says"), [("extended-release capsule", True), ("capsule", False)])
def test_never_crush_is_said_of_what_is_released_slowly(form: str, says: bool) -> None:
    how = row({**TABLET, "form": form, "prepare": "dilute"})[2]
    assert ("Never crush it." in how) is says
