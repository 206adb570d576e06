"""The medicine page of format 2: what stands on it because of an order or a decision."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from builders import library, patient_with
from format_2 import HOSPICE, INSULIN, NAMES, REFEEDING, data_with, facility, patient_of

from plainleaf.facts import derive
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import SettledOutcome
from plainleaf.rules.outcomes import resolved
from plainleaf.rules.select import select

TABLET = {
    "name": "folic acid", "form": "tablet", "dose": "1 tablet (1 mg)", "route": "gastric",
    "times": ["08:00"], "prepare": "crush", "in": "15 mL water",
}  # fmt: skip


def printed(patient: Patient) -> set[str]:
    """Ids of the statements, questions and skills that are printed."""
    facts = derive(patient, facility(), library().medicine_words)
    modules = select(library(), facts).modules
    said = {st.id for m in modules for sec in m.sections for st in sec.statements}
    asked = {prompt.id for m in modules for prompt in m.teach_back}
    return said | asked | {skill.id for m in modules for skill in m.show_back}


def page(*medicines: dict[str, Any], **more: Any) -> set[str]:
    """What is printed of a patient with these medicines."""
    return printed(patient_of(data_with({"medicines": list(medicines), **more}, REFEEDING)))


def settled(patient: Patient, finding: str, do: str, **fields: object) -> Patient:
    """The patient after something was decided about the first medicine."""
    outcome = SettledOutcome(
        finding, do, fields, ("it",), (0,), "O. Duarte, PharmD", None, date(2026, 6, 5)
    )
    return resolved(patient, [outcome])


@pytest.mark.parametrize(
    ("allergies", "says"),
    [
        (["penicillin", "latex"], {"medicines.table.allergies"}),
        ([], {"medicines.table.no-allergies"}),
        (None, set()),
    ],
)
def test_allergies_stand_at_the_head_as_far_as_they_are_written(
    allergies: list[str] | None, says: set[str]
) -> None:
    data = data_with(base=INSULIN)
    data["patient"].pop("allergies")
    if allergies is not None:
        data["patient"]["allergies"] = allergies
    ids = printed(patient_of(data))
    assert {name for name in ids if "allerg" in name} == says


def test_all_allergies_are_named() -> None:
    data = data_with({"patient.allergies": ["penicillin", "latex", "iodine"]}, INSULIN)
    names = derive(patient_of(data), facility(), library().medicine_words).values["allergy_names"]
    assert all(name in str(names) for name in ("penicillin", "latex", "iodine"))


def test_the_patient_on_insulin_is_asked_what_could_kill() -> None:
    ids = printed(
        settled(patient_of(data_with(base=INSULIN)), "hazardous-medicine", "pharmacy-prepares",
                **{"as": "syringes"})
    )  # fmt: skip
    for prompt in ("medicines.tb.scale", "medicines.tb.days", "medicines.tb.hazard"):
        assert prompt in ids
    assert "medicines.tb.feeding-off" not in ids
    critical = {p.id for m in library().modules for p in m.teach_back if p.critical}
    asked = ("scale", "days", "hazard", "feeding-off")
    assert {f"medicines.tb.{name}" for name in asked} <= critical


def test_feeding_off_around_a_medicine_is_taught() -> None:
    liquid = {"name": "x", "form": "liquid", "dose": "5 mL", "route": "gastric",
              "times": ["08:00"]}  # fmt: skip
    assert "medicines.tb.feeding-off" in page({**liquid, "hold_before": "1 h"})
    assert "medicines.feeding-off.times" not in page(liquid)


def test_a_dose_as_needed_that_says_how_often_leaves_nothing_to_ask() -> None:
    assert "medicines.table.no-set-time" not in printed(patient_of(data_with(base=HOSPICE)))
    assert "medicines.table.no-set-time" in printed(patient_with())


@pytest.mark.parametrize(
    ("order", "crushes"),
    [
        ({"prepare": "crush"}, True),
        ({"prepare": "pharmacy packets"}, False),
        ({"prepare": "dissolve"}, False),
    ],
)
def test_how_to_crush_is_taught_where_somebody_crushes(
    order: dict[str, str], crushes: bool
) -> None:
    ids = page({**TABLET, **order})
    assert ("medicines.crushed.powder" in ids) is crushes
    assert ("medicines.sb.crushed" in ids) is crushes


def test_after_the_pharmacy_prepares_nobody_is_taught_to_crush() -> None:
    data = data_with({"medicines": [TABLET]}, REFEEDING)
    tablet = {k: v for k, v in TABLET.items() if k not in ("prepare", "in")}
    ready = {**tablet, "prepare": "pharmacy liquid"}
    data["medicines"] = [ready]
    patient = settled(
        patient_of(data), "crush-not-cleared", "pharmacy-prepares", **{"as": "liquid"}
    )
    assert not any(name.startswith("medicines.crushed") for name in printed(patient))


def test_what_was_decided_of_laxative_and_thickener_replaces_the_question() -> None:
    powder = {"name": "polyethylene glycol 3350", "form": "powder", "route": "mouth",
              "dose": "17 g", "times": ["08:00"]}  # fmt: skip
    more = {"patient.conditions": ["thickened-fluids"], "patient.thickness": "mildly thick"}
    patient = patient_of(data_with({"medicines": [powder], **more}, REFEEDING))
    assert "problems.hard.thick" in printed(patient)
    decided = settled(patient, "laxative-and-thickener", "use-other-thickener")
    assert "problems.hard.thick" not in printed(decided)


@pytest.mark.parametrize("name", NAMES)
def test_each_order_set_has_the_tables_that_it_needs(name: str) -> None:
    ids = printed(patient_of(data_with(base=name)))
    assert "medicines.table.list" in ids
    assert ("medicines.scale.table" in ids) is (name == INSULIN)
    assert ("medicines.steps.table" in ids) is (name == INSULIN)
