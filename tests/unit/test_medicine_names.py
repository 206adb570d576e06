"""Reading a medicine's name as it was typed."""

from __future__ import annotations

from typing import Any

import pytest
from builders import findings_with, library, policy
from order_sets import GROUP_HOME, order_set

from plainleaf.facts import noting
from plainleaf.facts.medicine_names import read_name
from plainleaf.inputs.content import MedicineLists
from plainleaf.rules.raised import raise_all


def lists() -> MedicineLists:
    return library().medicine_words


@pytest.mark.parametrize(
    ("typed", "means"),
    [
        ("Fenitoína", "phenytoin"),
        ("PARACETAMOL", "acetaminophen"),
        ("metoprolol succ er 50", "metoprolol succinate"),
        ("Metoprolol Tart. 25mg BID", "metoprolol"),
        ("morphine sulf er 15", "morphine"),
        ("losartan potassium 50", "losartan"),
        ("KCl 20 mEq", "potassium chloride"),
        ("vitamin D3 1000 IU", "vitamin D"),
        ("carbidopa/levodopa 25-100", "levodopa"),
        ("sodium bicarbonate", "sodium bicarbonate"),
        ("potassium chloride", "potassium chloride"),
    ],
)
def test_case_accents_salts_strengths_and_suffixes_are_folded(typed: str, means: str) -> None:
    reading = read_name(lists(), typed)
    assert (reading.meant, reading.changed) == (means, False)


@pytest.mark.parametrize(
    ("typed", "means"),
    [
        ("levothyroxin", "levothyroxine"),
        ("hydralzine 25", "hydralazine"),
        ("penicilin v potassium", "penicillin V"),
        ("ferous sulfate", "ferrous sulfate"),
        ("prednisolon", "prednisolone"),
        # A second word that is no name is not passed over.
        ("morphine zorbivaxin", "morphine"),
    ],
)
def test_a_close_name_is_read_and_said(typed: str, means: str) -> None:
    reading = read_name(lists(), typed)
    assert (reading.meant, reading.changed) == (means, True)


@pytest.mark.parametrize("typed", ["zorbivaxin 20 mg", "xyz", "tablet 5 mg", "fever medicine"])
def test_what_is_close_to_nothing_is_not_read(typed: str) -> None:
    assert read_name(lists(), typed).substances == ()


@pytest.mark.parametrize(
    ("typed", "near"),
    [
        # One letter from each: a pharmacist says which.
        ("prednisolne", {"prednisolone", "prednisone"}),
        ("hydroxyurea", set()),
    ],
)
def test_look_alikes_are_kept_apart(typed: str, near: set[str]) -> None:
    assert set(read_name(lists(), typed).near) == near


def test_every_listed_name_is_read_as_itself() -> None:
    for substance in lists().substances:
        for name in (substance.name, *substance.also):
            reading = read_name(lists(), name)
            assert (reading.meant, reading.changed) == (substance.name, False), name


def test_a_lost_last_letter_is_never_read_as_another_in_silence() -> None:
    listed = {name.casefold() for s in lists().substances for name in (s.name, *s.also)}
    for substance in lists().substances:
        typed = substance.name[:-1]
        reading = read_name(lists(), typed)
        same = reading.meant in ("", substance.name)
        assert reading.changed or same or typed.casefold() in listed, typed


def _raised(medicine: dict[str, Any], **more: Any) -> set[str]:
    patient = order_set(GROUP_HOME, {"medicines": [medicine], **more})
    noted = noting(patient, policy(), lists())
    return {raised.finding.id for raised in raise_all(library().rules, noted, patient)}


TYPED = {
    "name": "zorbivaxin",
    "form": "liquid",
    "dose": "5 mL",
    "route": "gastric",
    "times": ["10:00"],
}


def test_the_rules_go_by_the_name_that_a_pharmacist_says_it_means() -> None:
    line = {
        "finding": "name-not-known",
        "do": "name-means",
        "name": "methotrexate",
        "code": "c3fa91c",
    }
    block = {"by": "O. Duarte, PharmD", "date": "2026-08-14", "decided": [line]}
    assert "hazardous-medicine" not in _raised(TYPED)
    raised = _raised(TYPED, settled=[block])
    assert {"hazardous-medicine", "name-not-known", "weekly-medicine-daily"} <= raised


def test_a_meaning_that_the_table_lacks_is_said_on_the_sheet() -> None:
    line = {"finding": "name-not-known", "do": "name-means", "name": "zorbiline", "code": "c3fa91c"}
    block = {"by": "O. Duarte, PharmD", "date": "2026-08-14", "decided": [line]}
    assert "names-not-listed" not in _raised(TYPED)
    assert "names-not-listed" in _raised(TYPED, settled=[block])


def test_a_name_that_was_read_as_another_is_looked_at_as_that_one() -> None:
    raised = _raised({**TYPED, "name": "metotrexate"})
    assert {"hazardous-medicine", "name-read-as", "weekly-medicine-daily"} <= raised


@pytest.mark.parametrize(("name", "asked"), [("zorbivaxin", True), ("acetaminphen", True),
                                             ("acetaminophen", False)])  # fmt: skip
def test_a_file_of_format_1_is_not_asked_and_gets_a_note(name: str, asked: bool) -> None:
    raised = {f.id: f.level for f in findings_with({"medicines.1.name": name})}
    assert raised.get("names-not-listed") == ("note" if asked else None)
    assert not {"name-read-as", "name-not-known"} & set(raised)
