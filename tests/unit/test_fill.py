"""Slots and tables: every value is the patient's, typed, and a missing one stops."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from builders import REMOVE, library, patient_with, policy
from small_library import small_decision, small_library

from plainleaf.compose.fill import BLOCKS as TABLE_MAKERS
from plainleaf.compose.fill import Cell, FilledBlock, FilledPacket, SlotSource, fill
from plainleaf.compose.fill.source import formula_text
from plainleaf.compose.word import NBSP, Wording
from plainleaf.facts import derive
from plainleaf.facts.derived import Value
from plainleaf.inputs.catalog import Catalog
from plainleaf.rules.decision import missing_slots
from plainleaf.vocabulary.errors import MissingFactError
from plainleaf.vocabulary.quantities import read_quantity

A, B, C = "g-balloon-syringe", "g-bumper-blended", "g-button-child"
GJ, J = "gj-pump-overnight", "j-surgical-continuous"
WORDS = Wording(library(), Catalog("en", {}))


def packet(tmp_path: Path, changes: dict[str, Any], base: str, **edits: str) -> FilledPacket:
    small = small_library(tmp_path, edits)
    return fill(small_decision(small, patient_with(changes, base), policy()))


def test_slots_get_this_patients_values(tmp_path: Path) -> None:
    (module,) = packet(tmp_path, {}, A).modules
    texts = {s.id: s.text for section in module.sections for s in section.statements}
    feed = texts["water.when.feed"]
    assert feed is not None
    assert [(name, str(value.value)) for name, value in feed.values] == [
        ("water_before_feed", "60 mL")
    ]
    assert (module.id, module.title.id) == ("water", "water/title")


@pytest.mark.parametrize(
    ("base", "identity"), [(A, "water.when.feed"), (C, "water.when.feed+child")]
)
def test_a_childs_words_have_their_own_message_id(base: str, identity: str, tmp_path: Path) -> None:
    (module,) = packet(tmp_path, {}, base).modules
    found = [s.text.id for s in module.sections[0].statements if s.text is not None]
    assert identity in found
    assert "water.when.why" in found


def test_prompts_listen_for_what_is_printed_and_skills_show_its_steps(tmp_path: Path) -> None:
    (with_order,) = packet(tmp_path, {}, A).modules
    (without,) = packet(tmp_path, {"water.before_feed": REMOVE}, A).modules
    assert with_order.prompts[0].listen_for == ("water.when.why", "water.when.feed")
    assert without.prompts[0].listen_for == ("water.when.why",)
    assert with_order.skills[0].steps == ("water.how.push", "water.how.close")
    assert [f.id for f in (with_order.prompts[0].ask, with_order.prompts[0].again)] == [
        "water.tb.when/ask", "water.tb.when/again",
    ]  # fmt: skip


def test_a_slot_without_value_stops_and_names_what_is_missing(tmp_path: Path) -> None:
    small = small_library(tmp_path, {"Water keeps the tube open.": "Size {button_length}."})
    decision = small_decision(small, patient_with(), policy())
    assert missing_slots(decision.selection, decision.facts) == ("button_length",)
    with pytest.raises(MissingFactError) as error:
        fill(decision)
    assert error.value.fact == "button_length"
    assert "length of the button" in str(error.value)


# --- tables -------------------------------------------------------------------------------------


def block(name: str, base: str, changes: dict[str, Any] | None = None) -> FilledBlock:
    patient = patient_with(changes, base)
    facts = derive(patient, policy(), library().medicine_words)
    return TABLE_MAKERS[name](SlotSource(patient, facts))


def said(cell: Cell) -> str:
    """A cell in words, its lines joined; only to make the tables below readable."""

    def one(value: Value) -> str:
        return WORDS.value(value).plain

    return " / ".join(one(value) for value in cell)


def table(name: str, base: str, changes: dict[str, Any] | None = None) -> list[tuple[str, ...]]:
    return [tuple(said(cell) for cell in row) for row in block(name, base, changes).rows]


VISIT = {"what": "Tube check", "when": "2026-03-18 09:00"}
PAST = {"what": "Gone", "when": "2026-03-01 09:00"}

# Right values: the patient files, read by hand. <id> stands for a sentence of the phrase file.
TABLES: list[tuple[str, str, dict[str, Any], list[tuple[str, ...]]]] = [
    ("contacts_box", A, {}, [
        ("Nights, weekends, holidays", "+1 555 010 0161"),
        ("By day / Monday to Friday, 8 am to 4 pm", "+1 555 010 0160"),
    ]),
    ("contacts_more", A, {"contacts.others": [{"name": "Dietitian", "phone": "555 0100"}]}, [
        ("Also / Dietitian", "555 0100"),
    ]),
    ("port_table", GJ, {}, [
        ("stomach port", "Medicines / Letting air out"),
        ("bowel port", "Feeding"),
        ("Balloon port / It is white.", "<use-balloon>"
         " / <use-balloon-never>"),
    ]),
    ("port_table", J, {}, [("feeding port", "Feeding / Medicines")]),
    ("port_table", C, {}, [
        ("feeding port", "Feeding / Medicines / Letting air out"),
        ("Balloon port", "<use-balloon>"
         " / <use-balloon-never>"),
    ]),
    ("tube_card", C, {"tube.position_checked":
                      {"by": "Dr. A", "how": "X-ray", "on": "2026-03-02"}}, [
        ("Name, born", "Noor Haddad / January 14, 2022 / DEMO-0502"),
        ("Kind of tube", "Gastrostomy: into the stomach / Button, flat on the skin / 14 Fr"),
        ("Opening made", "June 10, 2025"),
        ("This tube", "March 2, 2026"),
        ("Held by", "A balloon filled with water / 4 mL"),
        ("Length", "1.7 cm"),
        ("Place checked", "March 2, 2026 / X-ray"),
        ("Ports", "Feeding port: Feeding, Medicines, Letting air out / "
         "Balloon port: only balloon water, never feeding or medicine"),
        ("Clinic", "Cedar Row Children's Clinic, +1 555 010 0184"),
        ("Nights and weekends", "Children's nurse line, +1 555 010 0185"),
    ]),
    ("first_days_table", A, {"visits": [PAST, VISIT]}, [
        ("Shower", "From Thursday, March 5, at 2 pm"),
        ("Tube check / <ask-where>", "Wednesday, March 18, at 9 am"),
        ("Bath, after you ask us", "From Tuesday, March 31"),
    ]),
    # with another line, washing waits for an answer and not for a date
    ("first_days_table", B, {}, [
        ("Shower", "<when-ask>"),
        ("Bath, after you ask us", "<when-ask>"),
    ]),
    ("other_lines_list", B, {}, [("PICC",)]),
    ("other_lines_list", A, {"other_lines": []}, []),
    ("feed_table", GJ, {}, [
        ("6 pm to 6 am", "Standard adult formula, 1.5 kcal per mL / By pump / bowel port",
         "900 mL (30 oz) / 75 mL an hour"),
    ]),
    ("feed_table", J, {}, [
        ("All day and night. New start at midnight", "Peptide formula, 1 kcal per mL / By pump",
         "2,040 mL (68 oz) / 85 mL an hour"),
    ]),
    ("feed_table", C, {"feeding.0.times": ["07:00", "19:00"]}, [
        ("7 am", "Pediatric formula, 1 kcal per mL / By gravity bag",
         "180 mL (6 oz) / over 30 minutes"),
        ("7 pm", "Pediatric formula, 1 kcal per mL / By gravity bag",
         "180 mL (6 oz) / over 30 minutes"),
    ]),
    ("feed_table", B, {"feeding.0.times": ["08:00"]}, [
        ("8 am", "Home-blended food / By syringe", "300 mL (10 oz)"),
    ]),
    ("flush_table", GJ, {"medicines.1": REMOVE, "water.extra":
                         {"amount": "90 mL", "times": ["10:00"], "through": "gastric"}}, [
        ("Before each feeding / bowel port", "60 mL (2 oz)"),
        ("After each feeding / bowel port", "60 mL (2 oz)"),
        ("Before the first medicine, between two medicines, after the last one / stomach port",
         "15 mL (0.5 oz)"),
        ("Extra water at 10 am", "90 mL (3 oz)"),
    ]),
    ("flush_table", J, {}, [
        ("Every 4 hours", "30 mL (1 oz)"),
        ("Before the first medicine, between two medicines, after the last one",
         "15 mL (0.5 oz)"),
    ]),
    ("medicine_table", B, {}, [
        ("9 am", "lisinopril / tablet / 1 tablet",
         "<how-crush>"),
        ("9 pm", "insulin glargine / injection / 14 units", "<how-not-by-tube>"),
    ]),
    ("medicine_table", A, {}, [
        ("7:30 am", "omeprazole / delayed-release capsule / 1 capsule",
         "<how-never-crush>"),
        ("<time-only-when-needed>", "acetaminophen / liquid / 20 mL",
         "<how-liquid> / <needed-ask-reason>"
         " / <needed-ask-often>"),
    ]),
    ("medicine_table", GJ, {"medicines": [
        {"name": "a", "form": "liquid", "dose": "2.5 mL", "times": "as needed",
         "through": "gastric", "for": "pain", "at_most": "4 times a day"},
        {"name": "b", "form": "tablet", "dose": "half tablet", "times": ["08:00"],
         "through": "gastric"},
        {"name": "c", "form": "tablet", "dose": "1 tablet", "times": ["08:00"],
         "through": "gastric", "crush": "never"},
        {"name": "d", "form": "powder", "dose": "1 packet", "times": ["08:00"],
         "through": "gastric", "prepare": "Mix it with 30 mL of water."},
    ]}, [
        ("8 am", "b / tablet / half a tablet",
         "Through the stomach port"
         " / <how-ask-pharmacist>"),
        ("8 am", "c / tablet / 1 tablet", "Through the stomach port"
         " / <how-never-crush>"),
        ("8 am", "d / powder / 1 packet",
         "Through the stomach port / Mix it with 30 mL of water."),
        ("<time-only-when-needed>", "a / liquid / 2.5 mL",
         "Through the stomach port / <how-liquid> / For pain"
         " / At most 4 times a day"),
    ]),
    ("day_schedule", B, {"feeding.0.times": ["08:00"]}, [
        ("8 am", "Water 30 mL (1 oz) / <blended-food> / Feeding by syringe: 300 mL (10 oz)"
         " / Water 60 mL (2 oz)"),
        ("9 am", "Water 30 mL (1 oz) / lisinopril: 1 tablet / <ready-crush-in-water>"
         " / Water 30 mL (1 oz)"),
        ("9 pm", "insulin glargine, injection: 14 units, <dose-way-outside>"),
    ]),
    ("day_schedule", A, {}, [
        ("7:30 am", "Water 15 mL (0.5 oz) / omeprazole, delayed-release capsule: 1 capsule"
         " / <how-never-crush> / Water 15 mL (0.5 oz)"),
        ("8 am / noon / 4 pm / 8 pm", "Water 60 mL (2 oz)"
         " / Feeding by syringe: 355 mL (about 12 oz) / Water 60 mL (2 oz)"),
        ("<time-only-when-needed>", "acetaminophen, liquid: 20 mL / <needed-ask-reason>"
         " / <needed-ask-often>"),
        ("<time-each-feeding>", "Standard adult formula, 1.2 kcal per mL"),
    ]),
    ("day_schedule", GJ, {"medicines": REMOVE}, [
        ("6 am / bowel port", "Stop the pump / Water 60 mL (2 oz)"),
        ("9 am / stomach port", "Water 60 mL (2 oz)"),
        ("6 pm / bowel port", "Water 60 mL (2 oz) / Standard adult formula, 1.5 kcal per mL"
         " / Start the pump: 75 mL an hour, 900 mL (30 oz) in all, over 12 hours"),
    ]),
    ("day_schedule", J, {"water.every": REMOVE, "water.each": REMOVE}, [
        ("9 am", "Pause the pump / Water 15 mL (0.5 oz) / sertraline, liquid: 2.5 mL"
         " / Water 15 mL (0.5 oz) / Start the pump again"),
        ("midnight", "Peptide formula, 1 kcal per mL"
         " / New start of the pump: 85 mL an hour, 2,040 mL (68 oz) a day"),
    ]),
    ("day_log", B, {"feeding.0.times": ["08:00"]}, [
        ("8 am", "Flush / Feeding", "", ""), ("9 am", "Flush / Medicine", "", ""),
        ("9 pm", "Medicine", "", ""), *[("", "", "", "")] * 3,
    ]),
    ("supplies_table", A, {}, [
        ("Standard adult formula, 1.2 kcal per mL, 237 mL each / Up to 6 a day", "198"),
        ("Large feeding syringes", "5"),
    ]),
    ("supplies_table", C, {}, [
        ("Pediatric formula, 1 kcal per mL, 237 mL each / Up to 4 a day", "101"),
        ("Gravity feeding bags", "33"),
        ("Large feeding syringes", "5"),
    ]),
    ("supplies_table", J, {}, [
        ("Peptide formula, 1 kcal per mL, 1,000 mL each / Up to 3 a day"
         " / Some is left and thrown away. Once open, it keeps only so long.", "99"),
        ("Feeding bags or sets for the pump", "33"),
        ("Large feeding syringes", "5"),
    ]),
    ("visits_table", A, {"visits": [{**VISIT, "where": "desk 2"},
                                    {"what": "Early", "when": "2026-03-10 08:30"}, PAST]}, [
        ("Tuesday, March 10, 2026, at 8:30 am", "Early", "Ask us where"),
        ("Wednesday, March 18, 2026, at 9 am", "Tube check", "desk 2"),
    ]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "energy", "words"),
    [
        ("Pediatric formula, 1.0", "1 kcal/mL", "Pediatric formula, 1 kcal per mL"),
        ("Adult formula 1.5", "1.5 kcal/mL", "Adult formula, 1.5 kcal per mL"),
        # Not the strength, or with its own unit: the name of the label stays.
        ("Formula type 2", "1.5 kcal/mL", "Formula type 2, 1.5 kcal per mL"),
        ("Formula 1.0 kcal/mL", "1 kcal/mL", "Formula 1.0 kcal/mL"),
    ],
)
def test_the_strength_of_a_formula_has_its_unit(name: str, energy: str, words: str) -> None:
    """Row h-unit: no bare number, no trailing zero."""
    value = formula_text(name, read_quantity(energy, "energy density"))
    assert WORDS.value(value).plain.replace(NBSP, " ") == words


@pytest.mark.parametrize(
    ("name", "base", "changes", "rows"),
    TABLES,
    ids=[f"{r[0]}-{r[1]}-{n}" for n, r in enumerate(TABLES)],
)
def test_a_table_holds_this_patients_rows(
    name: str, base: str, changes: dict[str, Any], rows: list[tuple[str, ...]]
) -> None:
    def phrase(marked: re.Match[str]) -> str:
        return WORDS.phrase(marked[1]).plain

    expected = [tuple(re.sub("<([a-z-]+)>", phrase, cell) for cell in row) for row in rows]
    assert table(name, base, changes) == expected


def test_every_block_has_a_table_above() -> None:
    # test_by_mouth and test_medicine_rows
    of_format_2 = {"mouth_table", "sugar_scale", "dose_steps"}
    of_format_2 |= {"drain_table", "drain_log", "vent_table"}  # test_purposes
    of_format_2 |= {"low_sugar_box", "watch_calls", "watch_calls_now", "watch_table"}  # test_calls
    of_format_2 |= {"recipe_table", "step_rules", "feeds_by_order", "additives_table"}
    of_format_2 |= {"flush_kept_back"}  # these test_feeding_words
    assert {row[0] for row in TABLES} | of_format_2 == set(TABLE_MAKERS)


@pytest.mark.parametrize("name", TABLE_MAKERS)
@pytest.mark.parametrize("base", [A, B, C, GJ, J])
def test_every_row_has_as_many_cells_as_the_head(name: str, base: str) -> None:
    made = block(name, base)
    assert {len(row) for row in made.rows} <= {2 if made.look == "card" else len(made.head)}
    assert set(made.head) <= set(library().phrases)
