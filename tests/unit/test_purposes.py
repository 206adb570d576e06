"""What a tube is for: what a draining, venting or resting port must say, and what it never says."""

from __future__ import annotations

import re
from typing import Any

import pytest
from builders import REMOVE, library, teaching
from format_2 import (
    GROUP_HOME,
    HOSPICE,
    INFANT,
    INSULIN,
    RESTING,
    Data,
    data_with,
    decided,
    facility,
    patient_of,
    with_codes,
    with_setting,
)

from plainleaf.compose.fill import SlotSource
from plainleaf.compose.fill.filling import Filler, filler_of
from plainleaf.compose.fill.picture_slots import fill_picture
from plainleaf.compose.fill.tables_drain import drain_table, vent_table
from plainleaf.compose.fill.tables_tube import first_days_table, port_table, tube_card
from plainleaf.compose.word import Wording
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.load_inputs import inputs_for
from plainleaf.rules.decision import Decision, decide
from plainleaf.vocabulary import words_2

WORDS = Wording(library(), Catalog("en", {}))
TABLES = {
    "drain_table": drain_table,
    "vent_table": vent_table,
    "port_table": port_table,
    "tube_card": tube_card,
    "first_days_table": first_days_table,
}


OF_THE_TUBE = ("body-tube", "tube-parts", "mark-check", "vent", "twist-lock", "skin-look")


def decision_of(data: Data) -> Decision:
    return decide(inputs_for(patient_of(with_codes(data)), facility(), teaching(), "en"))


def said(data: Data) -> dict[str, str]:
    """Id → words of each statement, heading, question, skill and label, and of the tables here."""
    decision = decision_of(data)
    source = SlotSource(decision.patient, decision.facts)
    filler, words = filler_of(source, decision.selection), {}
    for chosen in decision.selection.modules:
        module = chosen.module
        words[module.id] = _text(filler, module.id, module.title, module.child_title)
        for opened in chosen.sections:
            heading = opened.section
            words[heading.id] = _text(filler, heading.id, heading.heading, heading.child_heading)
            for st in opened.statements:
                if st.kind != "block":
                    words[st.id] = _text(filler, st.id, st.text, st.child_text)
                elif st.text in TABLES:
                    words[st.id] = rows_of(TABLES[st.text](source).rows)
                if st.picture in OF_THE_TUBE and st.alt is not None:
                    words[f"{st.id}/alt"] = _text(filler, f"{st.id}/alt", st.alt, None)
                    labels = fill_picture(st.picture, decision.patient, decision.facts).labels
                    words[f"{st.id}/labels"] = rows_of([[lines for _, lines in labels]])
        for ask in chosen.teach_back:
            words[ask.id] = _text(filler, ask.id, ask.ask, ask.child_ask)
            words[f"{ask.id}/again"] = _text(filler, ask.id, ask.again, ask.child_again)
        for show in chosen.show_back:
            words[show.id] = _text(filler, show.id, show.title, show.child_title)
    return words


def _text(filler: Filler, identity: str, adult: str, child: str | None) -> str:
    filled = filler.text(identity, adult, child)
    return str(WORDS.substitute(filled.text, dict(filled.values)).plain)


def rows_of(rows: Any) -> str:
    lines = [" ".join(WORDS.value(line).plain for line in cell) for row in rows for cell in row]
    return " | ".join(lines)


def all_said(changes: dict[str, Any], base: str) -> str:
    return "\n".join(said(data_with(changes, base)).values())


# --- what must not be said -----------------------------------------------------------------------

# Names of things stay as they are.
NAMES = re.compile(r"[Ff]eeding (tube|syringe)s?")
OF_FEEDING = re.compile(r"\b(feed(ing)?s?|formula|pump|blend(ed)?|fed)\b", re.IGNORECASE)
CAPPED = re.compile(r"\bcapped\b|(?<!not )[Kk]eep (it|the cap) closed|^Close the cap\.$", re.M)
# The title of the pages about the mouth names the tube too.
TITLES = {"feeding"}

MEDICINES_ONLY = {
    "feeding": [],
    "additives": REMOVE,
    "water.before_feed": REMOVE,
    "water.after_feed": REMOVE,
    "tube.ports.gastric": ["medicines"],
}


@pytest.mark.parametrize(
    ("changes", "base"),
    [
        ({}, HOSPICE),
        ({"drainage.into": "diaper", "drainage.call_none": REMOVE}, HOSPICE),
        ({"patient.setting": ["home"]}, HOSPICE),
        ({}, RESTING),
        (MEDICINES_ONLY, GROUP_HOME),
    ],
)
def test_nothing_is_said_of_feeding_where_nothing_is_fed(
    changes: dict[str, Any], base: str
) -> None:
    words = said(data_with(changes, base))
    wrong = {
        place: text
        for place, text in words.items()
        if OF_FEEDING.search(NAMES.sub("", text)) and place not in TITLES
    }
    assert wrong == {}


@pytest.mark.parametrize("changes", [{}, {"drainage.times": "all the time"}])
def test_a_port_that_drains_is_not_kept_closed(changes: dict[str, Any]) -> None:
    words = said(data_with(changes, HOSPICE))
    assert {place: text for place, text in words.items() if CAPPED.search(text)} == {}


def test_where_something_is_fed_it_is_said() -> None:
    assert OF_FEEDING.search(NAMES.sub("", all_said({}, INSULIN)))
    assert CAPPED.search(all_said({}, INSULIN))


def test_no_color_of_what_drains_is_called_usual() -> None:
    for changes, base in (({}, HOSPICE), ({"drainage.times": "all the time"}, HOSPICE)):
        words = said(data_with(changes, base)).values()
        assert not [text for text in words if "usual" in text and "reen" in text]


# --- a draining port -----------------------------------------------------------------------------

CLOSE = {
    "after-sips": "After sips",
    "after-medicines": "After medicines",
    "shower": "For a shower",
    "walking": "For a walk",
    "comfortable": "When all feels well",
    "sleep": "For sleep",
}
OPEN = {
    "nausea": "an upset stomach",
    "vomiting": "vomiting",
    "fullness": "a full feeling",
    "cramps": "cramps",
    "pain": "belly pain",
    "leaking": "leaking at the skin",
}
FULL = {"1/3 full": "is one third full", "1/2 full": "is half full",
        "2/3 full": "is two thirds full", "400 mL": "holds 400 mL"}  # fmt: skip


def test_the_words_of_each_list_are_all_tested() -> None:
    assert tuple(CLOSE) == words_2.CLOSE_WHEN and tuple(OPEN) == words_2.OPEN_IF


@pytest.mark.parametrize("word", CLOSE)
def test_each_closing_has_its_most(word: str) -> None:
    words = said(data_with({"drainage.may_close": {word: "25 min"}}, HOSPICE))
    assert f"{CLOSE[word]}: 25 minutes at most" in words["drainage.plan.table"]


@pytest.mark.parametrize("word", OPEN)
def test_each_sign_opens_it_at_any_hour(word: str) -> None:
    words = said(data_with({"drainage.open_if": [word]}, HOSPICE))
    assert words["drainage.plan.open"] == f"Open it at once, at any hour, with {OPEN[word]}."


@pytest.mark.parametrize("word", FULL)
def test_when_the_bag_is_emptied(word: str) -> None:
    words = said(data_with({"drainage.empty_at": word}, HOSPICE))
    assert words["drainage.empty.at"].replace("\xa0", " ") == f"Empty the bag when it {FULL[word]}."


RECORD = {"daily": "Once a day", "each emptying": "Each time you empty it", "not needed": None}


@pytest.mark.parametrize("word", RECORD)
def test_what_is_written_down(word: str) -> None:
    words = said(data_with({"drainage.record": word}, HOSPICE))
    told = RECORD[word]
    assert (told is not None) == ("drainage.log" in words) == ("drainage.empty.write" in words)
    assert told is None or told in words["drainage.plan.table"]


def test_the_hours_of_a_drain_and_its_calls() -> None:
    words = said(data_with(base=HOSPICE))
    table = words["drainage.plan.table"]
    assert "8 in the evening to 6 in the morning" in table.replace("\xa0", " ")
    assert "A drain bag" in table and "For a shower: 20 minutes at most" in table
    plain = {place: text.replace("\xa0", " ") for place, text in words.items()}
    assert plain["drainage.call.over"] == "More than 1,200 mL drains in one day."
    assert plain["drainage.call.none"].startswith("Nothing drains for 6 hours in the time when")
    assert plain["drainage.call.vomit"] == "Vomiting while the stomach port is open."
    assert plain["drainage.change.every"].startswith("Use a new bag every 3 days.")
    assert {"drainage.sb.empty", "drainage.sb.open", "drainage.sb.close"} <= set(words)
    assert words["problems.vomit.drain"] == "Open the stomach port, if it is closed."


def test_all_day_and_into_a_diaper() -> None:
    changes = {"drainage.times": "all the time", "drainage.into": "diaper",
               "drainage.call_none": REMOVE}  # fmt: skip
    words = said(data_with(changes, HOSPICE))
    assert "All day and all night" in words["drainage.plan.table"]
    assert "A diaper" in words["drainage.plan.table"]
    assert words["drainage.diaper.at"].startswith("Use a new diaper when it is half full")
    assert not {"drainage.empty", "drainage.change", "drainage.call.none"} & set(words)
    assert not [text for place, text in words.items()
                if place.startswith("drainage.") and "the bag" in text]  # fmt: skip


def test_a_bowel_port_drains_by_its_own_name() -> None:
    changes = {"tube.ports.gastric": ["medicines"], "tube.ports.jejunal": ["drainage"],
               "drainage.through": "jejunal"}  # fmt: skip
    words = said(data_with(changes, HOSPICE))
    assert words["drainage.open.bag"] == "Join the drain bag to the bowel port."
    assert "Draining the bowel" in words["your-tube.ports.table"]


# --- letting air out -----------------------------------------------------------------------------

VENT = {
    "before each feed": "Before each feeding",
    "after each feed": "After each feeding",
    "during feed": "During a feeding",
    "bloating": "When the belly is bloated",
    "as needed": "When it feels full of air",
}


@pytest.mark.parametrize("word", VENT)
def test_when_air_is_let_out(word: str) -> None:
    assert tuple(VENT) == words_2.VENT_WHEN
    words = said(data_with({"venting.when": [word], "venting.for": "7 min"}, INFANT))
    table = words["venting.plan.table"].replace("\xa0", " ")
    assert VENT[word] in table and "7 minutes" in table
    assert "for 7 minutes" in words["venting.steps.open"].replace("\xa0", " ")
    assert "problems.bloat" not in words and "venting.sb.steps" in words


@pytest.mark.parametrize(
    ("how", "table", "step"),
    [
        ("syringe", "An open syringe", "venting.steps.syringe"),
        ("bag", "A bag", "venting.steps.bag"),
    ],
)
def test_with_what_air_is_let_out(how: str, table: str, step: str) -> None:
    words = said(data_with({"venting.how": how}, INFANT))
    assert table in words["venting.plan.table"] and step in words
    assert len({"venting.steps.syringe", "venting.steps.bag"} & set(words)) == 1


# --- a resting tube ------------------------------------------------------------------------------

ASK = {
    "dietitian": "the dietitian",
    "clinic": "the clinic",
    "surgeon": "the surgeon",
    "oncology": "the cancer team",
    "prescriber": "the doctor or nurse who ordered it",
}
CALL = {
    "cannot swallow": "trouble swallowing",
    "eats less than half": "eating less than half of each meal",
    "choking": "choking",
    "cannot take medicines": "medicines that cannot be taken",
}


@pytest.mark.parametrize("word", ASK)
def test_who_says_when_a_resting_tube_is_used(word: str) -> None:
    assert tuple(ASK) == words_2.RESTING_ASK
    words = said(data_with({"tube.resting.ask": [word]}, RESTING))
    assert words["your-tube.rest.ask"].startswith(f"Only {ASK[word]}")


@pytest.mark.parametrize("word", CALL)
def test_what_starts_that_call(word: str) -> None:
    assert tuple(CALL) == words_2.RESTING_CALL
    words = said(data_with({"tube.resting.call_if": [word]}, RESTING))
    assert CALL[word] in words["your-tube.rest.call"]
    assert "your-tube.rest.call" not in said(data_with({"tube.resting.call_if": REMOVE}, RESTING))


def test_a_resting_tube_is_flushed_and_no_more() -> None:
    words = said(data_with(base=RESTING))
    assert words["your-tube.rest.what"].startswith("The tube port rests now. It gets a flush")
    assert "nothing else" in words["your-tube.ports.table"]
    assert "your-tube.tb.rest" in words and "your-tube.rest" not in said(data_with(base=HOSPICE))


# --- the tube's own orders -----------------------------------------------------------------------


def test_a_tube_without_marks_is_measured_and_never_read() -> None:
    words = said(data_with(base=RESTING))
    measured = [text for text in words.values() if "14\xa0cm" in text or "14 cm" in text]
    assert len(measured) >= 4 and "Measure" in words["your-tube.size.measure"]
    assert not [text for text in words.values() if re.search(r"[Rr]ead the number|\bmark\b", text)]
    assert "From the skin to the connector, measured" in words["your-tube.card.card"]


HELD = {
    "outside holder": "From then on, an outside holder holds the tube.",
    "tape": "From then on, tape holds the tube.",
    "new stitches": "New stitches hold the tube then.",
    "tube comes out too": "The tube comes out then, too.",
}


@pytest.mark.parametrize("word", HELD)
def test_what_holds_the_tube_after_the_stitches(word: str) -> None:
    assert tuple(HELD) == words_2.HELD_AFTER_STITCHES
    words = said(data_with({"tube.held_after_stitches": word}, RESTING))
    text = words["your-tube.held.stitches-dated"]
    assert text.endswith(f"Wednesday, November\xa04, 2026. {HELD[word]}") or text.replace(
        "\xa0", " "
    ).endswith(f"Wednesday, November 4, 2026. {HELD[word]}")


def test_stitches_without_a_date_are_asked_about() -> None:
    data = data_with({"visits.1": REMOVE, "tube.held_after_stitches": REMOVE}, RESTING)
    data["settled"] = [decided("stitches-no-date", "", "leave-open", "B. Quist, MD")]
    words = said(data)
    assert "Ask us who takes the stitches out, and when." in words["your-tube.held.stitches"]
    assert "your-tube.held.stitches-dated" not in words


def test_skin_buttons_come_off_by_date_or_are_asked_about() -> None:
    words = said(data_with(base=HOSPICE))
    dated = words["skin-care.buttons.dated"].replace("\xa0", " ")
    assert "We take them off on Monday, October 12, 2026." in dated
    assert "skin-care.buttons.ask" not in words
    assert "Skin buttons fall off" not in words["first-days.dates.table"]
    data = data_with({"dates": REMOVE}, HOSPICE)
    data["settled"].append(decided("skin-buttons-no-date", "", "leave-open", "B. Quist, MD"))
    words = said(data)
    assert "Ask us when they come off, and by whom." in words["skin-care.buttons.ask"]
    assert "skin-care.buttons.dated" not in words
    assert "Skin buttons fall off" not in words["first-days.dates.table"]


def test_a_change_by_date_takes_the_place_of_the_usual_time() -> None:
    words = said(data_with(base=GROUP_HOME))
    dated = words["supplies.change.dated"].replace("\xa0", " ")
    assert dated == "This tube is changed on Thursday, October 8, 2026."
    assert "supplies.change.balloon" not in words
    assert "supplies.change.balloon" in said(data_with({"visits": REMOVE}, GROUP_HOME))


BALLOON = {
    "family": ("skin-care.balloon.when", "Check the water in the balloon every 7 days."),
    "staff": ("skin-care.balloon.staff", "The staff check the water in the balloon every 7 days."),
    "nurse": ("skin-care.balloon-port.nurse", "A nurse checks the balloon every 7 days."),
    "nobody": ("skin-care.balloon-port.nobody", "no one checks the balloon at home."),
}


@pytest.mark.parametrize("who", BALLOON)
def test_who_checks_the_balloon_by_order(who: str) -> None:
    assert tuple(BALLOON) == words_2.BALLOON_BY
    words = said(data_with({"overrides.balloon_check_by": who}, GROUP_HOME))
    place, text = BALLOON[who]
    assert text in words[place].replace("\xa0", " ")
    assert len({each for each, _ in BALLOON.values()} & set(words)) == 1


def test_the_first_check_of_the_balloon_by_date() -> None:
    words = said(data_with({"dates.balloon_check_from": "2026-07-20"}, GROUP_HOME))
    first = words["skin-care.balloon-port.first"].replace("\xa0", " ")
    assert first == "The first check of the balloon is on Monday, July 20, 2026."


@pytest.mark.parametrize("color", words_2.COLORS)
def test_the_color_of_the_balloon_port(color: str) -> None:
    words = said(data_with({"tube.balloon_port_color": color}, HOSPICE))
    assert f"It is {color}." in words["your-tube.ports.table"]


@pytest.mark.parametrize("how", words_2.POSITION_CHECKS)
def test_how_the_place_was_checked_stands_on_the_card(how: str) -> None:
    card = said(data_with({"tube.position_checked.how": how}, GROUP_HOME))["your-tube.card.card"]
    label = WORDS.phrase(f"check-{how.replace(' ', '-')}").plain
    assert label in card
    assert "Found healed" in card and "by B. Quist, MD" in card.replace("\xa0", " ")


def test_only_those_who_are_named_put_a_spare_in() -> None:
    place = with_setting(tube_back_at_home=True)
    data = data_with({"tube.may_put_back": {"who": ["Olga Marsh"]}}, GROUP_HOME)
    inputs = inputs_for(patient_of(with_codes(data, place), place), place, teaching(), "en")
    decision = decide(inputs)
    assert decision.facts.answers["put_back_named"] == "true"
    assert str(decision.facts.values["put_back_who"].value) == "Olga Marsh"


def test_an_order_to_put_back_needs_no_date_of_its_own() -> None:
    data = data_with({"tube.may_put_back": {"who": ["Olga Marsh"]}}, GROUP_HOME)
    assert [f for f in decision_of(data).findings if f.id == "put-back-against-policy"]


@pytest.mark.parametrize(
    ("word", "there", "gone"),
    [
        ("none", "skin-care.dressing.none", "skin-care.dressing.over"),
        ("daily", "skin-care.dressing.daily", "skin-care.dressing.none"),
        ("when wet", "skin-care.dressing.dry", "skin-care.dressing.daily"),
    ],
)
def test_the_dressing_by_order(word: str, there: str, gone: str) -> None:
    words = said(data_with({"overrides.dressing": word}, HOSPICE))
    assert there in words and gone not in words


def test_an_ordered_cream_is_a_step() -> None:
    assert "skin-care.dressing.cream" in said(data_with(base=HOSPICE))
    assert "skin-care.dressing.cream" not in said(data_with(base=RESTING))


def test_not_healed_is_taught_as_new_until_the_day() -> None:
    changes = {"tube.placed": "2026-03-02 15:00", "ordered.date": "2026-06-05"}
    data = data_with(changes)
    until = {"until": "2026-07-01"}
    data["settled"].append(
        decided("healing-not-certain", "", "not-healed", "B. Quist, MD", **until)
    )
    words = said(data)
    healed = words["first-days.dates.healed"].replace("\xa0", " ")
    assert "new until at least Wednesday, July 1, 2026" in healed
    assert "first-days" not in said(data_with(changes))


def test_past_days_of_an_older_opening_are_not_printed_of_a_changed_tube() -> None:
    changes = {"tube.opening_made": "2026-06-25", "tube.opening_healed": REMOVE, "dates": REMOVE}
    table = said(data_with(changes, GROUP_HOME))["first-days.dates.table"]
    assert "First dressing comes off" not in table and "Shower" not in table
    ordered = {**changes, "dates": {"shower_from": "2026-07-09"}}
    assert "Shower" in said(data_with(ordered, GROUP_HOME))["first-days.dates.table"]


def test_what_an_order_dates_is_not_asked_about_again() -> None:
    words = said(data_with(base=GROUP_HOME))
    assert words["living.swim.ordered-now"] == "You may swim in a clean pool now, by order."
    assert "living.swim.ask-now" not in words
    later = said(data_with({"dates.swim_from": "2026-07-20"}, GROUP_HOME))
    assert "before Monday, July 20." in later["living.swim.ordered-later"].replace("\xa0", " ")
    assert "living.swim.ask-now" in said(data_with({"dates": REMOVE}, GROUP_HOME))


def test_an_ordered_shower_is_told_with_another_line_too() -> None:
    with_line = {"other_lines": ["PICC"]}
    ordered = {**with_line, "dates.shower_from": "2026-07-20"}
    mature = said(data_with(ordered, GROUP_HOME))
    line = mature["living.wash.shower-ordered-line"].replace("\xa0", " ")
    assert "from Monday, July 20" in line and "keep the other line or tube dry" in line
    assert "living.wash.shower-ask" not in mature
    assert "living.wash.shower-ask" in said(data_with(with_line, GROUP_HOME))
    new = {**with_line, "dates.shower_from": "2026-06-12"}
    table = said(data_with(new, INSULIN))["first-days.dates.table"].replace("\xa0", " ")
    assert "From Friday, June 12 |" in table
    assert "June 12" not in said(data_with(with_line, INSULIN))["first-days.dates.table"]


@pytest.mark.parametrize(
    ("word", "told"),
    [
        ("endoscopy", "With a camera through the mouth"),
        ("radiology", "With X-ray pictures"),
        ("surgery", "By surgery"),
    ],
)
def test_how_the_tube_was_put_in_stands_on_the_card(word: str, told: str) -> None:
    assert told in said(data_with({"tube.placed_by": word}, RESTING))["your-tube.card.card"]
