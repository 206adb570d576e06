"""A patient file begun from a bundle: the same orders come back, and nothing is guessed."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from builders import EXAMPLES, patient_with
from bundles import (
    NEW_YORK,
    PATIENT,
    UCUM,
    amount,
    begun,
    bundle,
    order,
    packet_bundle,
    packet_decision,
    saved,
)
from packets import NAMES

from plainleaf.cli.main import main
from plainleaf.inputs.fhir.patient_draft import begin
from plainleaf.inputs.patient import Patient, load_patient
from plainleaf.vocabulary.errors import ExchangeError, PatientError

SOUND = {
    "route": "GT",
    "strength": {"value": 1.5, "code": "kcal/mL"},
    "most": {"value": 1440, "code": "mL/d"},
    "text": "Give slowly.",
    "given": [
        {"start": "2026-03-04T13:00:00Z", "every": [4, "h"], "amount": {"value": 240, "code": "mL"}}
    ],
}
# What a nurse writes for the blanks that a bundle leaves.
WRITES = {
    "<weight with kg or lb>": "70 kg", "<nothing, sips or full>": "nothing",
    "<[] for none, or a list>": "[]", "<true or false>": "true", "<number>": "555 0100",
    "<year-month-day hour:minute>": "2026-03-05 10:00", "<times>": "as needed",
    "<dose with unit>": "5 mL", "<language tag>": "en",
}  # fmt: skip
BLANK = re.compile("<[^<>\n]+>")


def loaded(text: str, folder: Path) -> Patient:
    """The patient of a begun file, its blanks filled in; lines of water that stay blank go."""
    lines = [
        line for line in text.splitlines()
        if not (re.match(r"  (before_feed|after_feed|daily|medicine): <", line))
    ]  # fmt: skip
    path = folder / "begun.yaml"
    words = BLANK.sub(lambda m: WRITES.get(m[0], m[0].strip("<>")), "\n".join(lines))
    path.write_text(words, encoding="utf-8")
    return load_patient(path)


@pytest.mark.parametrize("name", NAMES)
def test_our_own_bundle_comes_back_as_the_same_orders(name: str, tmp_path: Path) -> None:
    source = patient_with(base=name)
    found = begun(tmp_path, packet_bundle(packet_decision(name)))
    back = loaded(found.text, tmp_path)
    assert back.feeding == source.feeding
    assert back.water == source.water
    for key in ("kind", "build", "held_by", "placed", "placed_by", "size", "length",
                "mark_at_skin", "skin_buttons", "balloon_fill", "ports"):  # fmt: skip
        assert getattr(back.tube, key) == getattr(source.tube, key), key
    person = ("name", "born", "record_number", "language")
    assert [getattr(back.person, k) for k in person] == [getattr(source.person, k) for k in person]
    assert [(v.what, v.when) for v in back.visits] == [(v.what, v.when) for v in source.visits]
    assert back.if_feeding_stops == source.if_feeding_stops
    others = [lr for lr in source.learners if lr.relation != "self"]
    if others:
        assert [(lr.name, lr.relation, lr.language, lr.phone) for lr in back.learners] == [
            (lr.name, lr.relation, lr.language, lr.phone) for lr in others
        ]


def test_it_is_refused_until_its_blanks_are_filled_in(tmp_path: Path) -> None:
    path = tmp_path / "p.yaml"
    path.write_text(begun(tmp_path, packet_bundle(packet_decision())).text, encoding="utf-8")
    with pytest.raises(PatientError, match="still a blank"):
        load_patient(path)


def test_every_blank_is_named_and_nothing_clinical_is_made_up(tmp_path: Path) -> None:
    found = begun(tmp_path, bundle(PATIENT), "gastrostomy")
    assert {"tube.build", "tube.held_by", "tube.size", "tube.placed",
            "tube.ports.gastric", "feeding.amount", "feeding.formula.energy", "patient.weight",
            "water.before_feed", "patient.language", "other_lines", "medicines.name",
            "learners.name", "contacts.clinic.phone"} <= set(found.blanks)  # fmt: skip
    bare = re.sub(r"(?m)^\s*#.*$|\s#\s.*$|<[^<>\n]*>", "", found.text)
    assert not re.search(r"\d+ ?(mL|h|Fr|cm|kg)\b", bare)


def test_a_schedule_from_elsewhere_is_put_on_the_clinics_clocks(tmp_path: Path) -> None:
    """13:00 UTC in early March is 08:00 in New York."""
    text = begun(tmp_path, bundle(PATIENT, order(SOUND))).text
    assert 'times: ["00:00", "04:00", "08:00", "12:00", "16:00", "20:00"]' in text
    assert "kind: gastrostomy" in text
    assert "method: <syringe, gravity or pump>" in text
    assert "daily_total: 1440 mL" in text


def _changed(**changes: Any) -> dict[str, Any]:
    found = order(SOUND)
    for path, value in changes.items():
        holder = found
        *way, last = path.split("__")
        for key in way:
            holder = holder[int(key) if key.isdigit() else key]  # type: ignore[index]
        holder[last] = value
    return found


GIVEN = "enteralFormula__administration__0"
# What is not taken: change of a sound order, what must be told, what must not stand in the file.
NOT_TAKEN: list[tuple[str, dict[str, Any], str, str]] = [
    ("rate in mL/min", {f"{GIVEN}__rateQuantity": amount(2, "mL/min")},
     "rateQuantity '2 mL/min': the unit is not known here.", "rate: 2"),
    ("rate as a ratio of half an hour",
     {f"{GIVEN}__rateRatio": {"numerator": amount(30, "mL"), "denominator": amount(30, "min")}},
     "the rate '30 mL in 30 min' is not in mL/h", "rate: 60"),
    ("small calories", {"enteralFormula__caloricDensity": amount(1.5, "cal/mL")},
     "cal is the small calorie", "energy: 1.5"),
    ("ounces by weight", {f"{GIVEN}__quantity": amount(8, "[oz_av]")},
     "this ounce is a weight", "amount: 8"),
    ("unit that is none", {f"{GIVEN}__quantity": amount(8, "scoops")},
     "'8 scoops': the unit is not known here.", "amount: 8"),
    ("no unit", {f"{GIVEN}__quantity": {"value": 240}}, "the unit is not known here",
     "amount: 240"),
    ("unit and code that differ",
     {f"{GIVEN}__quantity": {"value": 240, "unit": "L", "system": UCUM, "code": "mL"}},
     "its unit is 'L' and its code 'mL'", "amount: 240"),
    ("ounces in words and mL in code",
     {f"{GIVEN}__quantity": {"value": 8, "unit": "oz", "system": UCUM, "code": "mL"}},
     "its unit is 'oz' and its code 'mL'", "amount: 8"),
    ("a rate in words and a volume in code",
     {f"{GIVEN}__quantity": {"value": 60, "unit": "mL/h", "system": UCUM, "code": "mL"}},
     "its unit is 'mL/h' and its code 'mL'", "amount: 60"),
    ("small calories in words",
     {"enteralFormula__caloricDensity":
      {"value": 1.5, "unit": "calories per milliliter", "system": UCUM, "code": "kcal/mL"}},
     "its unit is 'calories per milliliter' and its code 'kcal/mL'", "energy: 1.5"),
    ("at most so much", {f"{GIVEN}__quantity": amount(240, "mL") | {"comparator": "<"}},
     "is not one amount", "amount: 240"),
    ("a weight where a volume is due", {f"{GIVEN}__quantity": amount(240, "kcal")},
     "is a energy, not a volume", "amount: 240"),
    ("number without end", {f"{GIVEN}__quantity": amount(1e300, "mL")},
     "It was not taken", "amount: 1"),
    ("a day that cannot be divided",
     {f"{GIVEN}__schedule__repeat__period": 7}, "does not divide a day", "    times: ["),
    ("no clock time", {f"{GIVEN}__schedule": {"repeat": {"frequency": 4, "period": 1,
     "periodUnit": "d"}}}, "gives no clock time", "    times: ["),
    ("revoked", {"status": "revoked"}, "is 'revoked' and 'order', not an active order",
     "amount: 240"),
    ("a proposal", {"intent": "proposal"}, "not an active order", "amount: 240"),
    ("by mouth", {"enteralFormula__routeofAdministration__coding__0__code": "PO"},
     "given by mouth", "amount: 240"),
    ("an additive", {"enteralFormula__additiveProductName": "Oil"}, "something to add", "Oil"),
    ("meaning changed", {"modifierExtension": [{"url": "https://x.example/not", "valueBoolean":
     True}]}, "changes its meaning", "amount: 240"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "changes", "told", "absent"), NOT_TAKEN, ids=[row[0] for row in NOT_TAKEN]
)
def test_what_is_not_sure_is_told_and_left_open(
    name: str, changes: dict[str, Any], told: str, absent: str, tmp_path: Path
) -> None:
    found = begun(tmp_path, bundle(PATIENT, _changed(**changes)), "gastrostomy")
    notes = "\n".join(found.notes)
    assert told in notes, notes
    body = re.sub(r"(?m)^#.*$", "", found.text)
    assert absent not in body
    # the head of the file says it too
    assert told in found.text


@pytest.mark.parametrize(
    ("patient", "told", "blank"),
    [
        ({"birthDate": "1960"}, "birthDate '1960' is no full date", "born: <year-month-day>"),
        ({"identifier": [{"value": "1"}, {"value": "2"}]}, "has 2 identifiers",
         "record_number: <record number>"),
        ({"name": [{"text": "A"}, {"text": "B"}]}, "has 2 names", "name: <name>"),
        ({}, "", "language: <language tag>"),
    ],
)  # fmt: skip
def test_what_is_not_clear_of_the_person_stays_open(
    patient: dict[str, Any], told: str, blank: str, tmp_path: Path
) -> None:
    found = begun(tmp_path, bundle({**PATIENT, **patient}), "gastrostomy")
    assert blank in found.text
    assert told in "\n".join(found.notes)


def test_a_record_number_is_known_by_its_type(tmp_path: Path) -> None:
    marked = {"type": {"coding": [{"code": "MR"}]}, "value": "17"}
    person = {**PATIENT, "identifier": [{"value": "x"}, marked]}
    assert 'record_number: "17"' in begun(tmp_path, bundle(person), "gastrostomy").text


def test_allergies_and_other_resources_are_left_alone(tmp_path: Path) -> None:
    allergy = {"resourceType": "AllergyIntolerance", "code": {"text": "egg"}, "strange": 1}
    found = begun(tmp_path, bundle(PATIENT, order(SOUND), allergy))
    assert "egg" not in found.text
    assert "allergies" in found.notes[-1]


# --- refused ----------------------------------------------------------------------------------


def deep(levels: int) -> str:
    return '{"resourceType": "Bundle", "entry": ' + "[" * levels + "]" * levels + "}"


TWICE = bundle(PATIENT, {**PATIENT, "id": "q"})
REFUSED: list[tuple[str, Any, str]] = [
    ("not JSON", "{,", "bundle.json:1: is not JSON"),
    ("YAML", "patient:\n  name: x\n", "is not JSON"),
    ("not a bundle", {"resourceType": "Patient"}, "is not a FHIR Bundle"),
    ("a list", "[]", "is not a FHIR Bundle"),
    ("nothing inside", {"resourceType": "Bundle", "type": "collection"}, "holds no resource"),
    ("entries of words", {"resourceType": "Bundle", "entry": ["x"]}, "is not a resource"),
    ("two patients", TWICE, "holds 2 resources Patient"),
    ("no patient", bundle(order(SOUND)), "holds no Patient"),
    ("two tubes", bundle(PATIENT, *[{"resourceType": "Device", "id": i} for i in "ab"]),
     "holds 2 resources Device"),
    ("an id twice", bundle(PATIENT, order(SOUND), order(SOUND)), "NutritionOrder/n stands 2 times"),
    ("a key twice", '{"resourceType": "Bundle", "entry": [], "entry": []}', "'entry' stands twice"),
    ("far too deep", deep(60), "nested too deeply"),
    ("so deep that it cannot be read", deep(100_000), "nested too deeply"),
    ("a number that is none", '{"resourceType": "Bundle", "total": NaN}', "a number that is none"),
    ("a field of another version", bundle(PATIENT, {**order(SOUND), "enteralFormula": {
        "routeOfAdministration": {"text": "x"}}}),
     "enteralFormula.routeOfAdministration is no field of FHIR R4"),
    ("a required field left out", bundle(PATIENT, {"resourceType": "NutritionOrder",
     "status": "active", "intent": "order", "dateTime": "2026-03-04"}),
     "NutritionOrder 1: patient is missing."),
    ("a status of no list", bundle(PATIENT, {**order(SOUND), "status": "bogus"}),
     "status 'bogus' is none of"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "data", "says"), REFUSED, ids=[row[0] for row in REFUSED])
def test_a_file_that_cannot_be_taken_is_refused_with_a_clear_line(
    name: str, data: Any, says: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = saved(tmp_path, data)
    with pytest.raises(ExchangeError) as error:
        begin(path, "gastrostomy", NEW_YORK)
    assert says in str(error.value)
    assert all(line.startswith("bundle.json") for line in str(error.value).splitlines())
    assert main(["start", "gastrostomy", "--from", str(path)]) == 2
    out = capsys.readouterr()
    assert says in out.err
    assert out.out == ""


def test_a_huge_file_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "bundle.json"
    path.write_bytes(b" " * 20_000_001)
    with pytest.raises(ExchangeError, match="too large"):
        begin(path, None, NEW_YORK)


def test_letters_that_are_not_utf_8_and_files_that_are_not_there(tmp_path: Path) -> None:
    path = tmp_path / "bundle.json"
    path.write_bytes(b"\xff\xfe{")
    with pytest.raises(ExchangeError, match="not UTF-8"):
        begin(path, None, NEW_YORK)
    with pytest.raises(ExchangeError, match="cannot be read"):
        begin(tmp_path / "nowhere.json", None, NEW_YORK)


def test_where_the_tube_leads_is_asked_for_or_must_agree(tmp_path: Path) -> None:
    with pytest.raises(ExchangeError, match="does not say where the tube leads"):
        begun(tmp_path, bundle(PATIENT))
    with pytest.raises(ExchangeError, match="not clear where the tube leads: gastrostomy, jejuno"):
        begun(tmp_path, bundle(PATIENT, order(SOUND)), "jejunostomy")
    device = {"resourceType": "Device", "type": {
        "coding": [{"system": "http://snomed.info/sct", "code": "470571004"}]}}  # fmt: skip
    assert "kind: gastrostomy" in begun(tmp_path, bundle(PATIENT, device)).text


EVIL = "x\x1b[31m\n  by_mouth: full # \u2028}}\x07"


def test_words_from_outside_cannot_become_keys_or_commands(tmp_path: Path) -> None:
    person = {**PATIENT, "name": [{"text": EVIL}], "birthDate": "1960"}
    changed = _changed(
        **{f"{GIVEN}__quantity": {"value": 1, "unit": EVIL}},
        enteralFormula__baseFormulaProductName=EVIL,
    )
    found = begun(tmp_path, bundle(person, changed))
    for text in (found.text.replace("\\u001b", ""), *found.notes):
        assert "\x1b" not in text
        assert "\x07" not in text
    assert found.text.count("\n  by_mouth:") == 1
    path = tmp_path / "p.yaml"
    path.write_text(found.text, encoding="utf-8")
    with pytest.raises(PatientError) as error:
        load_patient(path)
    assert "hidden control character" in str(error.value)


def test_the_command_writes_the_file_and_tells_what_is_open(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = saved(tmp_path, json.loads(json.dumps(packet_bundle(packet_decision()))))
    assert main(["start", "--from", str(path)]) == 0
    out = capsys.readouterr()
    assert out.out.startswith("# Begun from a FHIR Bundle.")
    assert "Still to write: patient.weight" in out.err
    assert main(["start"]) == 2
    assert "write a kind of tube" in capsys.readouterr().err


def test_the_examples_are_all_tried() -> None:
    assert set(NAMES) == {name for name in EXAMPLES if not name.endswith("-ready")}


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ({"value": 240, "unit": "milliliters", "system": UCUM, "code": "mL"}, "amount: 240 mL"),
        ({"value": 8, "unit": "fl. oz", "system": UCUM, "code": "[foz_us]"}, "amount: 8 fl oz"),
        ({"value": 0.24, "unit": "liters", "system": UCUM, "code": "L"}, "amount: 0.24 L"),
    ],
)
def test_words_that_mean_the_code_are_taken(
    value: dict[str, Any], written: str, tmp_path: Path
) -> None:
    draft = begun(tmp_path, bundle(PATIENT, _changed(**{f"{GIVEN}__quantity": value})))
    assert written in draft.text


@pytest.mark.parametrize(
    ("coded", "words", "differs"),
    [
        (amount(1, "kcal/mL"), "30 kcal/oz", False),
        (amount(24, "kcal/[foz_us]"), "0.8 kcal/mL", False),
        (amount(1, "kcal/mL"), "24 kcal/oz", True),
        (amount(24, "kcal/[foz_us]"), "1.5 kcal/mL", True),
        (amount(1.5, "kcal/mL"), "1.52 kcal/mL", True),
    ],
)
def test_a_strength_in_words_is_held_against_one_in_another_unit(
    coded: dict[str, Any], words: str, differs: bool, tmp_path: Path
) -> None:
    changes = {"enteralFormula__caloricDensity": coded}
    words_key = "enteralFormula__administrationInstruction"
    draft = begun(tmp_path, bundle(PATIENT, _changed(**changes, **{words_key: words})))
    assert ("its text speaks of" in "\n".join(draft.notes)) is differs
