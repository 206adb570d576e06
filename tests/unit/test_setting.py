"""Where and with whom the patient lives: what holds then, and what is not said."""

from __future__ import annotations

from typing import Any

import pytest
from builders import library
from format_2 import GROUP_HOME, HOSPICE, INSULIN, data_with, facility, patient_of

from plainleaf.facts import derive
from plainleaf.inputs.content import condition_of
from plainleaf.vocabulary.conditions import Answer
from plainleaf.vocabulary.words_2 import SETTINGS


def said(base: str, changes: dict[str, Any] | None = None) -> set[str]:
    """Ids of the statements of living, questions and supplies that hold."""
    facts = derive(patient_of(data_with(changes, base)), facility(), library().medicine_words)
    return {
        statement.id
        for module in library().modules
        if module.id in ("living", "questions", "supplies")
        for section, statement in module.statements()
        if condition_of(module, section, statement).ask(facts.answers) is Answer.TRUE
    }


OWN = {
    "home": "living.work.back",
    "alone": "living.alone.phone",
    "group-home": "living.group-home.shift",
    "hospice": "living.feelings.talk",
}


@pytest.mark.parametrize("setting", SETTINGS)
def test_each_setting_has_its_words(setting: str) -> None:
    hospice = {"contacts.hospice": "hospice-team", "contacts.first_call": "emergency"}
    changes = {"patient.setting": [setting], **(hospice if setting == "hospice" else {})}
    found = said(INSULIN, changes)
    assert OWN[setting] in found
    others = {"living.alone.phone": "alone", "living.group-home.shift": "group-home"}
    assert not {name for name, where in others.items() if where != setting} & found


def test_with_hospice_nothing_is_said_of_sports_work_and_getting_rid_of_the_tube() -> None:
    found = said(HOSPICE)
    assert not {
        "living.move.sport", "living.work.back", "living.school.back", "living.stay.time",
        "living.travel.ask", "questions.out.yes",
    } & found  # fmt: skip
    assert "supplies.change.keep" in found


def test_staff_of_a_group_home_are_spoken_to_as_staff() -> None:
    found = said(GROUP_HOME)
    assert {"living.group-home.packet", "living.group-home.who"} <= found
    assert "living.work.back" not in found
