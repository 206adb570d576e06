"""The day by the clock, its log, the feedings, flushes and supplies of dated order sets."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
import yaml
from builders import REMOVE, ROOT, _words, library
from format_2 import (
    GROUP_HOME,
    HOSPICE,
    INFANT,
    INSULIN,
    REFEEDING,
    RESTING,
    data_with,
    facility,
    with_codes,
)

from plainleaf import decide, open_teaching
from plainleaf.compose.fill import BLOCKS, SlotSource
from plainleaf.compose.fill.day_picture import day_shown
from plainleaf.compose.word import NBSP, WordedBlock, Wording, word_block
from plainleaf.inputs.catalog import Catalog
from plainleaf.packet.sheet.sheet_words import totals_rows

WORDS = Wording(library(), Catalog("en", {}))
Rows = dict[str, list[str]]


def source(base: str, changes: dict[str, Any] | None = None) -> SlotSource:
    """The decided patient of a given file with some keys changed."""
    data = with_codes(data_with(changes, base))
    text = yaml.safe_dump(_words(data), allow_unicode=True, sort_keys=False)
    made = decide(text, open_teaching(), facility(), name="patient.yaml")
    return SlotSource(made.patient, made.facts)


def rows(block: WordedBlock) -> Rows:
    """First cell → lines of the last; of rows with the same first cell one after the other."""
    found: Rows = {}

    def line(words: object) -> str:
        return str(words).replace(NBSP, " ")

    for row in block.rows:
        found.setdefault(" / ".join(map(line, row[0])), []).extend(line(one) for one in row[-1])
    return found


def table(name: str, base: str, changes: dict[str, Any] | None = None) -> Rows:
    return rows(word_block(WORDS, BLOCKS[name](source(base, changes))))


def day(base: str, changes: dict[str, Any] | None = None) -> Rows:
    return table("day_schedule", base, changes)


# --- each of the six patients, by the README of the contract -------------------------------------


def test_a_pump_that_goes_up_by_date_has_its_rates_and_dates_in_one_row() -> None:
    thrown = "– Throw away what is left 24 hours later, at 4 pm the next day. Hang a new one."
    assert day(REFEEDING)["4 pm"] == [
        "Use a new feeding set",
        "Water 60 mL (2 oz)",
        "Standard adult formula, 1 kcal per mL",
        "Until Thursday, August 13:",
        "– Start the pump: 20 mL an hour, 320 mL (about 10.5 oz) in all, over 16 hours",
        thrown,
        "From Friday, August 14 to Saturday, August 15:",
        "– Start the pump: 35 mL an hour, 560 mL (about 18.5 oz) in all, over 16 hours",
        thrown,
        "From Sunday, August 16 to Monday, August 17: Start the pump: 50 mL an hour,"
        " 800 mL (about 26.5 oz) in all, over 16 hours",
        "From Tuesday, August 18: Start the pump: 65 mL an hour, 1,040 mL (about 35 oz) in all,"
        " over 16 hours",
    ]


def test_the_rest_of_that_day() -> None:
    found = day(REFEEDING)
    # the first run begins on August 12 at 4 pm, so that no pump is stopped that morning
    assert found["8 am"] == ["From Thursday, August 13:", "– Stop the pump", "– Water 60 mL (2 oz)"]
    # 1000 mL at 65 mL an hour last 15 h 23 min from 4 pm on, for the first time on August 19
    assert found["7:23 am"] == [
        "From Wednesday, August 19: Hang the next container: 40 mL (about 1.25 oz) still to run"
    ]
    assert found["3 pm"] == [
        "Water 15 mL (0.5 oz)",
        "Until Friday, August 21:",
        "– vitamin B1, liquid, 50 mg in 5 mL: 10 mL (100 mg)",
        "– Water 15 mL (0.5 oz)",
        "multivitamin, liquid: 15 mL",
        "Water 15 mL (0.5 oz)",
    ]
    assert found["7 am"] == ["Every 2 days, next on Friday, August 14: Check the weight"]
    # times that follow each other and are alike share a row
    assert found["8 pm / midnight / 4 am"] == ["Water 30 mL (1 oz)"]
    assert found["Through the day"] == ["Drink 400 mL (about 13.5 oz) by mouth in all."]
    # the sums of five plans stand on the nurse's sheet
    assert "The day adds up to" not in found


def test_a_taper_weekly_doses_a_patch_and_a_scale() -> None:
    found = day(INSULIN)
    water = "Water 15 mL (0.5 oz)"
    assert found["8 am"] == [
        water,
        "From Saturday, June 6 to Wednesday, June 10:",
        "– dexamethasone, liquid, 1 mg in 1 mL: 4 mL (4 mg)",
        f"– {water}",
        "From Thursday, June 11 to Monday, June 15:",
        "– dexamethasone, liquid, 1 mg in 1 mL: 2 mL (2 mg)",
        f"– {water}",
        "From Tuesday, June 16:",
        "– dexamethasone, liquid, 1 mg in 1 mL: 1 mL (1 mg)",
        "– Small dose: use the small syringe with the low-dose tip.",
        f"– {water}",
        "carvedilol, packet of powder: 1 packet (6.25 mg), from the pharmacy's packet,"
        " in 20 mL of water",
        water,
    ]
    assert found["10 am"] == [
        "On Thursday:",
        f"– {water}",
        "– methotrexate, liquid, 2 mg in 1 mL: 7.5 mL (15 mg)",
        "– The pharmacy makes it ready in syringes. Do not fill them at home. Wear gloves."
        " Children stay away from it. Pregnant people stay away from it.",
        f"– {water}",
        "On Saturday:",
        f"– {water}",
        "– folic acid: 1 tablet (1 mg), crushed, in 15 mL of water",
        f"– {water}",
    ]
    assert found["9 am"] == [
        "Every 7 days, next on Tuesday, June 9:",
        "– clonidine, 100 mcg: 1 patch, on the skin",
        "– Where: upper arm",
    ]
    assert found["8:30 am"] == [
        "From Saturday, June 6 to Sunday, June 14: chlorhexidine, mouth rinse: 15 mL,"
        " swabbed in the mouth"
    ]
    for time in ("7 am", "noon", "6 pm"):
        before = ["Use a new gravity set"] if time == "7 am" else []
        assert found[time] == [
            *before, "Check the blood sugar", water,
            "metoclopramide, liquid, 5 mg in 5 mL: 10 mL (10 mg)", water,
            "insulin regular, injection: by the table, by injection",
            "No dose if feeding is off for 30 minutes or more.",
            "Water 60 mL (2 oz)",
            "Feeding by gravity bag: 355.5 mL (about 12 oz), 1.5 cartons, over 45 minutes",
            "Water 60 mL (2 oz)",
        ]  # fmt: skip
    assert found["9 pm"] == ["insulin glargine, injection pen: 16 units, by injection"]
    assert found["Each feeding"] == ["Fiber formula, 1.2 kcal per mL"]


def test_the_table_that_a_dose_is_looked_up_in_has_its_page() -> None:
    made = replace(source(INSULIN), pages={"medicines": 6})
    found = rows(word_block(WORDS, BLOCKS["day_schedule"](made)))
    assert "insulin regular, injection: by the table on page 6, by injection" in found["noon"]


def test_staff_with_different_duties_are_named_where_somebody_there_may_not() -> None:
    found = day(GROUP_HOME)
    water = "Water 30 mL (1 oz)"
    assert found["7:30 am"] == [
        water,
        "lamotrigine, tablet that falls apart in water: 1 tablet (100 mg)",
        "Monday to Friday: Olga Marsh",
        "Saturday, Sunday: call Olga Marsh for this, +1 555 010 0172",
        "Let it fall apart in 30 mL of water. Swirl it and give it at once."
        " Rinse, and give that too.",
        water,
    ]
    # at 7:30 pm there is one person, who may do it all
    assert not any("June Abara" in line for line in found["7:30 pm"])
    assert found["3 pm"] == [water, "Protein powder: 2 scoops (14 g), in 90 mL of water", water]
    assert found["10:22 am"][0] == found["7:22 pm"][0] == "Stop the pump"
    assert (
        "Start the pump: 150 mL an hour, 355.5 mL (about 12 oz) in all, 1.5 cartons,"
        " over 2 hours 22 minutes" in found["8 am"]
    )
    assert found["11 am"] == ["Give 150 mL (5 oz) of extra water"]


def test_what_has_no_time_stands_below_with_for_what_and_how_often() -> None:
    found = day(GROUP_HOME)["Only when you need it"]
    assert found[-4:] == [
        "midazolam, nose spray: 1 spray (5 mg), into the nose",
        "For a seizure (fit)",
        "Give it when this has lasted 5 minutes.",
        "At most 2 doses in 24 hours",
    ]
    assert sum(line.startswith("morphine") for line in day(HOSPICE)["Only when you need it"]) == 1


def test_who_alone_may_do_a_row_is_said_once() -> None:
    text = (ROOT / "tests" / "oracles" / "dictated" / "gj-drain-phenytoin.yaml").read_text("utf-8")
    data = with_codes(yaml.load(text, Loader=yaml.BaseLoader))
    text = yaml.safe_dump(data, allow_unicode=True, sort_keys=False)
    made = decide(text, open_teaching(), facility(), language="en", name="patient.yaml")
    found = rows(word_block(WORDS, BLOCKS["day_schedule"](SlotSource(made.patient, made.facts))))
    # two doses at 11 am that the sister may not give; one at 5 pm
    assert found["11 am / bowel port"][-1] == "Only Noor Dupree may do these."
    assert not any("(only" in line for line in found["11 am / bowel port"])
    assert any(line.endswith("(only Noor Dupree)") for line in found["5 pm / bowel port"])
    # the feeding begins on May 14: what never changes from then on stands under that day once
    assert found["6 pm / bowel port"][:3] == [
        "From Thursday, May 14:", "Use a new feeding set", "Water 30 mL (1 oz)",
    ]  # fmt: skip
    # what begins with no other change keeps its day beside it
    assert found["8:17 am / bowel port"][0].startswith("From Thursday, May 21: Hang the next")


def test_a_second_filling_and_air_before_a_feeding() -> None:
    found = day(INFANT)
    vent = "Let air out of the feeding port for 5 minutes"
    assert found["11 pm"] == [
        "Use a new feeding set",
        # the night nurse, who is there on four nights, lets no air out
        f"{vent} (only Huda Nasser, Karim Nasser)",
        "Water 5 mL",
        "Pour 120 mL (4 oz) into the bag",
        "Start the pump: 30 mL an hour, 180 mL (6 oz) in all, over 6 hours",
    ]
    assert found["3 am"] == ["Fill the bag again with 60 mL (2 oz)"]
    assert vent in found["11 am"]
    assert found["8 am"][0] == "On Wednesday: Check the weight"
    assert "Feeding by gravity bag: 110 mL (about 3.75 oz), over 30 to 40 minutes" in found["7 am"]


def test_a_port_that_drains_by_night() -> None:
    found = day(HOSPICE)
    assert found["8 pm / stomach port"] == ["Open the stomach port: let it drain into the bag"]
    # each port of a time has a row of its own, in order of use
    assert found["6 am / stomach port"] == ["Close the stomach port: no more draining"]
    assert "6 am / bowel port" in found
    assert found["9 pm / stomach port"] == ["Water 30 mL (1 oz) (it drains out again)"]
    assert found["7 am / stomach port"] == ["Water 30 mL (1 oz)"]
    morphine = "morphine, liquid, 10 mg in 5 mL: 2.5 mL (5 mg)"
    # the daughter, who is there by day from Friday to Sunday, gives no medicine
    assert f"{morphine} (only Elena Ibarra)" in found["10 am / bowel port"]
    assert morphine in found["10 pm / bowel port"]
    assert found["The day adds up to"] == ["Water: 280 mL (about 9.5 oz)"]


def test_a_resting_tube() -> None:
    assert day(RESTING) == {
        "8 am": ["Water 30 mL (1 oz)"],
        "9 am": ["On Monday: Check the weight"],
        "10 am": [
            "On Monday, Wednesday, Friday:",
            "– iron: 1 tablet (65 mg), by mouth",
            "– Keep it 2 hours apart from calcium.",
        ],
        "1 pm": ["calcium, chewable tablet: 1 tablet (500 mg), by mouth (only Greta Almqvist)"],
        "2 pm / 8 pm": ["Water 30 mL (1 oz)"],
        "The day adds up to": ["Water: 90 mL (3 oz)"],
    }


# --- changes -------------------------------------------------------------------------------------


def test_the_last_night_of_a_pump_is_still_stopped() -> None:
    """A feeding that ends on August 15 runs until the morning of the 16th."""
    steps = [{"for": "2 d", "rate": "20 mL/h"}, {"for": "2 d", "rate": "35 mL/h"}]
    found = day(REFEEDING, {"feeding.0.steps": steps})
    assert found["8 am"] == [
        "From Thursday, August 13 to Sunday, August 16:", "– Stop the pump",
        "– Water 60 mL (2 oz)",
    ]  # fmt: skip
    assert "From Friday, August 14 to Saturday, August 15:" in found["4 pm"]


def test_a_pump_on_some_nights_is_stopped_on_the_mornings_after() -> None:
    feed = {
        "method": "pump", "through": "gastric", "formula": "standard-10-rth", "rate": "50 mL/h",
        "starts": "20:00", "runs_for": "10 h", "days": ["Mon", "Thu"],
    }  # fmt: skip
    found = day(REFEEDING, {"feeding": [feed]})
    assert any(line.startswith("On Monday, Thursday") for line in found["8 pm"])
    assert found["6 am"][:2] == ["On Tuesday, Friday:", "– Stop the pump"]


def test_a_dose_after_midnight_goes_by_the_date_of_the_new_day() -> None:
    medicine = {
        "name": "multivitamin", "form": "liquid", "dose": "15 mL", "route": "gastric",
        "times": ["01:00"], "until": "2026-08-14",
    }  # fmt: skip
    found = day(REFEEDING, {"medicines.1": medicine})
    (cell,) = (lines for time, lines in found.items() if time.startswith("1 am"))
    assert "1 am / Dates here are those of the new day." in found
    assert cell[0] == "Until Friday, August 14:"
    assert cell[1:4:2] == ["– Pause the pump", "– multivitamin, liquid: 15 mL"]


def test_ranges_and_water_to_drink() -> None:
    found = day(GROUP_HOME, {"water.before_feed": "30 to 40 mL", "water.extra.why": "flush"})
    assert "Water 30 mL to 40 mL (about 1.25 oz)" in found["8 am"]
    assert found["11 am"] == ["Water 150 mL (5 oz)"]


def test_a_draining_port_closes_for_a_feeding() -> None:
    feed = {
        "method": "gravity", "through": "gastric", "formula": "fiber-12", "amount": "1 carton",
        "over": "30 min", "times": ["12:00"],
    }  # fmt: skip
    found = day(
        HOSPICE,
        {
            "feeding": [feed], "tube.ports.gastric": ["drainage", "feeding"],
            "drainage.times": "all the time", "drainage.for": REMOVE,
        },
    )  # fmt: skip
    assert found["noon / stomach port"][0] == "Close the stomach port before the feeding"
    assert found["12:30 pm / stomach port"][-1] == (
        "Open the stomach port again after the feeding: let it drain into the bag"
    )


# --- the other tables ----------------------------------------------------------------------------


def test_the_feedings_with_their_dates() -> None:
    assert table("feed_table", REFEEDING) == {
        "4 pm to 8 am": [
            "Until Thursday, August 13: 320 mL (about 10.5 oz), 20 mL an hour",
            "From Friday, August 14 to Saturday, August 15: 560 mL (about 18.5 oz), 35 mL an hour",
            "From Sunday, August 16 to Monday, August 17: 800 mL (about 26.5 oz), 50 mL an hour",
            "From Tuesday, August 18: 1,040 mL (about 35 oz), 65 mL an hour",
        ]
    }
    assert table("feed_table", GROUP_HOME) == {
        "8 am to 10:22 am, 5 pm to 7:22 pm": [
            "355.5 mL (about 12 oz)", "1.5 cartons", "150 mL an hour",
        ],
        "12:30 pm, 8:30 pm": ["237 mL (about 8 oz)", "1 carton", "over 30 minutes"],
    }  # fmt: skip


@pytest.mark.parametrize(
    ("record", "line", "often"),
    [("each emptying", "Bag emptied: how much", 4), ("daily", "Drained in 24 hours: how much", 1),
     ("not needed", "", 0)],
)  # fmt: skip
def test_the_log_has_room_for_what_drains(record: str, line: str, often: int) -> None:
    block = word_block(WORDS, BLOCKS["day_log"](source(HOSPICE, {"drainage.record": record})))
    found = [str(row[1][0]).replace(NBSP, " ") for row in block.rows if row[1] and not row[0]]
    assert found == [line] * often


def test_the_log_says_on_which_days() -> None:
    block = word_block(WORDS, BLOCKS["day_log"](source(INSULIN)))
    found = {str(row[0][0]).replace(NBSP, " "): row[1] for row in block.rows if row[0]}
    assert [str(words) for words in found["10 am"]] == [
        "Flush", "Medicine", "On some days: see the schedule",
    ]  # fmt: skip


def test_the_supplies() -> None:
    assert table("supplies_table", RESTING) == {
        "Large feeding syringes": ["5"],
        "Sterile water": ["2,970 mL"],
    }
    found = table("supplies_table", GROUP_HOME)
    assert found["Fiber formula, 1.2 kcal per mL, 237 mL each / Up to 5 a day"] == ["165"]
    assert found["Protein powder"] == ["462 g"]
    infant = table("supplies_table", INFANT)
    assert infant["Extension sets"] == ["5"]
    assert infant["Low-dose syringes for small doses"] == ["10"]
    hospice = table("supplies_table", HOSPICE)
    assert hospice["Drainage bags"] == ["11"]
    # a dressing when it gets wet: nothing says how often
    assert hospice["Tape"] == hospice["Gauze"] == ["Ask us how many"]
    assert table("supplies_table", INSULIN)["Pairs of gloves"] == ["4"]


def test_the_sheet_has_the_sums_of_each_plan() -> None:
    facts = source(REFEEDING).facts
    said = [f"{label.plain}: {value.plain}" for label, value in totals_rows(facts, WORDS)]
    lines = [line.replace(NBSP, " ") for line in said]
    assert [line for line in lines if line.endswith(": ")] == [
        "From Wednesday, August 12 to Thursday, August 13: ",
        "From Friday, August 14 to Saturday, August 15: ",
        "From Sunday, August 16 to Monday, August 17: ",
        "From Tuesday, August 18 to Friday, August 21: ",
        "From Saturday, August 22: ",
    ]
    # what is the same in every plan stands there once
    assert lines.count("To drink, as ordered: 400 mL (about 13.5 oz)") == 1
    assert "Water in all: 1,514 mL (about 50 oz)" in lines


def test_the_picture_shows_every_time_of_any_date_and_when_a_port_drains() -> None:
    shown = day_shown(source(HOSPICE).facts)
    # from 8 pm for 10 hours; the strip begins with the first hour of the day, 6 am
    assert (shown.starts, shown.drains) == (6 * 60, ((20 * 60, 30 * 60),))
    assert shown.feeds == shown.runs == ()
    insulin = day_shown(source(INSULIN).facts)
    assert 10 * 60 in insulin.medicines  # on Thursday and Saturday
    assert day_shown(source(REFEEDING).facts).runs == ((16 * 60, 31 * 60), (7 * 60, 8 * 60))[::-1]


@pytest.mark.parametrize(
    ("changes", "finding", "time", "note"),
    [
        ({"feeding.1.times": ["12:30", "13:30"]}, "feeds-too-close", "1:30 pm", "(as ordered)"),
        ({"feeding.1.times": ["09:00", "20:30"]}, "feeds-overlap", "9 am",
         "(as ordered: keep the pump running)"),
    ],
)  # fmt: skip
def test_feedings_that_meet_by_order_say_so(
    changes: dict[str, Any], finding: str, time: str, note: str
) -> None:
    settled = {
        "by": "R. Adeyemi, RD", "date": "2026-07-09",
        "decided": [{"finding": finding, "do": "as-ordered"}],
    }  # fmt: skip
    old = data_with(base=GROUP_HOME)["settled"]
    found = day(GROUP_HOME, {**changes, "settled": [*old, settled]})
    (fed,) = (line for line in found[time] if line.startswith("Feeding by gravity bag"))
    assert fed.endswith(note)
