"""Format 2 of the patient file: six files, their published schema, and what the reader makes.

tests/oracles/format-2 holds the schema, the files and a facility's entries as they were given;
right values are read off the files.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml
from builders import EXAMPLES, ROOT
from format_2 import REFEEDING as ORDERS_BY_STEPS
from format_2 import data_with, patient_of
from jsonschema import Draft202012Validator
from single_changes import REMOVE, changed, spots

from plainleaf.cli.main import main
from plainleaf.inputs.patient import Dose, Facility, Patient, read_patient
from plainleaf.inputs.patient.loading import read_table
from plainleaf.inputs.patient_schema import schema_of
from plainleaf.inputs.patient_upgrade import upgraded
from plainleaf.inputs.policy import load_policy
from plainleaf.inputs.strict_yaml import parse
from plainleaf.vocabulary.errors import PatientError, PolicyError
from plainleaf.vocabulary.patient_file import FORMAT_2
from plainleaf.vocabulary.quantities import Quantity
from plainleaf.vocabulary.settling import ROLES, SETTLED_BY

GIVEN = ROOT / "tests" / "oracles" / "format-2"
FILES = sorted((GIVEN / "patients").glob("*.yaml"))
NAMES = [path.stem for path in FILES]
REFEEDING, GROUP_HOME, INFANT, INSULIN, HOSPICE, RESTING = NAMES
PUBLISHED = json.loads((GIVEN / "schema.json").read_text(encoding="utf-8"))
OURS = schema_of(FORMAT_2)


def text_of(name: str) -> str:
    path: Path = GIVEN / "patients" / f"{name}.yaml"
    return path.read_text(encoding="utf-8")


def texts_of(name: str) -> Any:
    """A file as data in which every scalar is a text, as the published schema asks."""
    return yaml.load(text_of(name), Loader=yaml.BaseLoader)


@pytest.fixture(name="settings", scope="module")
def _settings() -> Path:
    """The example facility's file, with its directory and formulary."""
    return ROOT / "teaching" / "policy" / "example-facility.yaml"


@pytest.fixture(name="facility", scope="module")
def _facility(settings: Path) -> Facility:
    return load_policy(settings).named


def faults_of(text: str, facility: Facility) -> list[str]:
    try:
        read_patient(parse(text, "p.yaml"), facility)
    except PatientError as error:
        return [str(fault) for fault in error.faults]
    return []


@pytest.mark.parametrize(
    ("name", "was", "typed", "says"),
    [
        (GROUP_HOME, '"+1 555', '"+\u0661 555', "digits that no phone dials. Write the digits 0"),
        (REFEEDING, "Ingrid", "\u0644\u064e\u0645\u0627", "vowel marks, which not every page"),
    ],
    ids=["other digits", "vowel marks"],
)  # fmt: skip
def test_what_no_page_gives_back_is_refused_with_its_line(
    name: str, was: str, typed: str, says: str, facility: Facility
) -> None:
    text = text_of(name)
    fault, *_ = faults_of(text.replace(was, typed, 1), facility)
    line = text[: text.index(was)].count("\n") + 1
    assert fault.startswith(f"p.yaml:{line}: ")
    assert says in fault


def amount(value: str, unit: str) -> Quantity:
    return Quantity(Decimal(value), unit)


# --- what the files hold ----------------------------------------------------------------------

HOLDS: list[tuple[str, Any, Any]] = [
    (RESTING, lambda p: (p.format, p.person.mouth, p.person.by_mouth),
     (2, ("soft", "full liquids"), "unknown")),
    (RESTING, lambda p: (p.person.allergies, p.person.conditions_recorded), ((), True)),
    (RESTING, lambda p: [(one.hands_on, one.duties and one.duties[:2]) for one in p.learners][1],
     (True, ("flushing", "site-care"))),
    (RESTING, lambda p: p.learners[1].there.spans[0].days, ("Sat", "Sun")),
    (RESTING, lambda p: (p.tube.outside_length, p.tube.held_after_stitches),
     (amount("14", "cm"), "outside holder")),
    (RESTING, lambda p: p.tube.resting.ask, ("surgeon",)),
    (RESTING, lambda p: (p.water.extra.amount, p.water.extra.why), (amount("30", "mL"), "flush")),
    (RESTING, lambda p: (p.medicines[0].days, p.medicines[0].away_from),
     (("Mon", "Wed", "Fri"), ("calcium",))),
    (RESTING, lambda p: (p.medicines[0].through, p.medicines[0].route), (None, "mouth")),
    (RESTING, lambda p: (p.contacts.clinic.name, p.contacts.clinic.entry, p.contacts.clinic.hours),
     ("Surgeon's office", "surgeon-office", "Mon-Fri 09:00-16:00")),
    (RESTING, lambda p: (p.visits[1].kind, p.visits[1].when, p.visits[1].place.phone),
     ("stitches out", datetime(2026, 11, 4, 9, 15), "+1 555 010 0148")),
    (RESTING, lambda p: p.prepared_on, datetime(2026, 10, 8, 11, 30)),
    (HOSPICE, lambda p: (p.drainage.times, p.drainage.lasts), ((time(20),), amount("10", "h"))),
    (HOSPICE, lambda p: dict(p.drainage.may_close),
     {"shower": amount("20", "min"), "walking": amount("45", "min")}),
    (HOSPICE, lambda p: (p.drainage.empty_at, p.drainage.call_over),
     ("1/2 full", amount("1200", "mL"))),
    (HOSPICE, lambda p: len(p.water.extras), 2),
    (HOSPICE, lambda p: (p.medicines[1].as_needed, p.medicines[1].reasons, p.medicines[1].at_most),
     (True, ("pain", "breathlessness"), "6 doses in 24 h")),
    (HOSPICE, lambda p: p.medicines[0].dose,
     Dose(Decimal("2.5"), "mL", Dose(Decimal(5), "mg"))),
    (HOSPICE, lambda p: (p.contacts.first_call, p.contacts.emergency.phone), ("hospice", "911")),
    (HOSPICE, lambda p: (p.visits[0].every, p.visits[0].begins, p.visits[0].when),
     (amount("2", "d"), date(2026, 9, 18), None)),
    (HOSPICE, lambda p: (p.dates["skin_buttons_off"], p.whole_days),
     (datetime(2026, 10, 12), {"skin_buttons_off"})),
    (HOSPICE, lambda p: set(p.orders[0].say), {"en", "es"}),
    (HOSPICE, lambda p: (p.sessions[0].lasts, p.sessions[0].who),
     (amount("40", "min"), ("Elena Ibarra", "Celia Ibarra"))),
    (HOSPICE, lambda p: p.settled[0].decided[0].about, ("morphine", "haloperidol")),
    (HOSPICE, lambda p: dict(p.settled[0].decided[1].fields), {"why": "one as needed"}),
    (REFEEDING, lambda p: [(s.lasts, s.rate) for s in p.feeding[0].steps][3],
     (None, amount("65", "mL/h"))),
    (REFEEDING, lambda p: (p.feeding[0].formula.entry, p.feeding[0].formula.container),
     ("standard-10-rth", amount("1000", "mL"))),
    (REFEEDING, lambda p: (p.watch[0].every, p.watch[0].call_up),
     (amount("2", "d"), amount("1", "kg"))),
    (REFEEDING, lambda p: p.settled[0].decided[2].about, ("2026-08-12", "2026-08-14")),
    (INFANT, lambda p: (p.feeding[0].over, p.feeding[0].over_least),
     (amount("40", "min"), amount("30", "min"))),
    (INFANT, lambda p: [(part.of, part.amount.weight) for part in
                        p.feeding[0].formula.recipe.take],
     [("breast milk", None), ("infant formula powder", amount("6.5", "g"))]),
    (INFANT, lambda p: (p.venting.when, p.venting.lasts),
     (("before each feed", "bloating"), amount("5", "min"))),
    (INFANT, lambda p: (p.overrides["head_up_how"], p.overrides["head_up_angle"]),
     ("on a lap", "30 degrees")),
    # 1.5 cartons of 237 mL.
    (GROUP_HOME, lambda p: (p.feeding[0].amount, p.feeding[0].cartons.count),
     (amount("355.5", "mL"), Decimal("1.5"))),
    (GROUP_HOME, lambda p: (p.additives[0].amount.equals, p.additives[0].mix.liquid),
     (Dose(Decimal(14), "g"), "water")),
    (GROUP_HOME, lambda p: p.medicines[0].mix.amount.most, amount("30", "mL")),
    (INSULIN, lambda p: (p.medicines[1].dose, p.medicines[1].tied, len(p.medicines[1].scale)),
     (None, "before each feed", 6)),
    (INSULIN, lambda p: [step.dose.value for step in p.medicines[2].steps], [4, 2, 1]),
    (INSULIN, lambda p: (p.medicines[6].every, p.medicines[6].next),
     (amount("7", "d"), datetime(2026, 6, 9, 9))),
    (INSULIN, lambda p: (p.low_sugar.below, p.low_sugar.give, p.low_sugar.tries),
     (amount("70", "mg/dL"), "120 mL apple juice", 2)),
    (INSULIN, lambda p: (p.feeding_stops.hold, p.if_feeding_stops), (("insulin regular",), None)),
    (INSULIN, lambda p: (p.settled[0].by, p.settled[0].other),
     ("O. Duarte, PharmD", "B. Quist, MD")),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "look", "is_"), HOLDS, ids=[f"{row[0]}-{n}" for n, row in enumerate(HOLDS)]
)
def test_a_file_holds_what_it_says(name: str, look: Any, is_: Any, facility: Facility) -> None:
    assert look(_patient(name, facility)) == is_


def _patient(name: str, facility: Facility) -> Patient:
    return read_patient(parse(text_of(name), f"{name}.yaml"), facility)


def test_no_value_of_a_file_is_lost(facility: Facility) -> None:
    """Each value stands in the record: two files that differ in one word give two records."""
    for name in NAMES:
        text, whole = text_of(name), repr(_patient(name, facility))
        for path in spots(data := texts_of(name)):
            value = data
            for key in path:
                value = value[key]
            if isinstance(value, str) and value.isalpha() and len(value) > 3 and value in text:
                assert value in whole or value in ("true", "none"), (name, path)


# --- the published schema and ours ------------------------------------------------------------


def test_our_schema_is_one_and_all_six_files_pass_both() -> None:
    Draft202012Validator.check_schema(OURS)
    for name in (RESTING, HOSPICE):
        for schema in (PUBLISHED, OURS):
            assert Draft202012Validator(schema).is_valid(texts_of(name))


def parts(schema: Mapping[str, Any]) -> dict[str, Draft202012Validator]:
    """A validator for each key of the file: no rule of the schema reaches over two of them."""
    assert "allOf" not in schema
    own = {"$defs": schema.get("$defs", {})}
    return {k: Draft202012Validator({**own, **s}) for k, s in schema["properties"].items()}


PARTS = {"published": parts(PUBLISHED), "ours": parts(OURS)}


def passes(schema: Mapping[str, Any], which: str, data: Mapping[str, Any], key: str) -> bool:
    """Whether data in which one key was changed passes still."""
    there = all(name in data for name in schema["required"])
    return there and (key not in data or PARTS[which][key].is_valid(data[key]))


# What a value may be changed into; one of them at each place, in turn.
INTO: tuple[Any, ...] = (
    "x", [], {}, "", "60 mL", "60mL", "2026-13-01", "03/04/2026", "<x>", "true", "false", "none",
    "7", "5 to 10 mL", "nothing", "2 puffs", "as needed", ["08:00"], ["x"], ["x", "x"],
    "S. Park, RN", "S. Park, XX", "B. Quist, MD", "always", None, "0 mL", "2026-02-30",
    "10 to 5 mL",
)  # fmt: skip
# Where the reader asks more than the published schema, which allows stricter checks.
STRICTER = {"0 mL": "zero is no amount", "2026-02-30": "no day of the calendar",
            "10 to 5 mL": "the larger first"}  # fmt: skip


def reads(data: Any) -> bool:
    try:
        read_table(parse(json.dumps(data), "p.json"), FORMAT_2)
    except PatientError:
        return False
    return True


@pytest.mark.thorough
@pytest.mark.parametrize("name", NAMES)
def test_any_one_change_is_taken_by_both_schemas_and_the_reader_or_by_none(name: str) -> None:
    data = texts_of(name)
    assert reads(data)
    differs = []
    for place, path in enumerate(spots(data)):
        for value in (REMOVE, INTO[place * 11 % len(INTO)]):
            new, key = changed(data, path, value), path[0]
            published = passes(PUBLISHED, "published", new, key)
            taken = passes(OURS, "ours", new, key), reads(new)
            stricter = value in STRICTER if isinstance(value, str) else False
            if taken != (published, published) and not (stricter and not taken[1]):
                differs.append((path, value, published, taken))
    # How long it drains each time: the published table asks for it, the published schema not.
    assert [row[0] for row in differs if row[1] is REMOVE] == (
        [("drainage", "for")] if name == HOSPICE else []
    )
    assert [row for row in differs if row[1] is not REMOVE] == []


def test_who_settles_what_is_what_the_published_schema_says() -> None:
    lines = PUBLISHED["properties"]["settled"]["items"]
    said = {}
    for rule in lines["allOf"]:
        pattern = rule["if"]["properties"].get("by", {}).get("pattern", "")
        if pattern:
            finding = rule["then"]["properties"]["decided"]["items"]["properties"]["finding"]
            said[pattern.strip(", $")] = set(finding["enum"]) if finding else set()
    ours = {word: {f for f, s in SETTLED_BY.items() if word in s.credentials} for word in said}
    assert ours == said
    assert {word for words in ROLES.values() for word in words} <= set(said)


# --- names, and the facility's file -----------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "old", "new", "says"),
    [
        (RESTING, "clinic: surgeon-office", "clinic: surgeon-ofice",
         "contacts.clinic: 'surgeon-ofice' is no known name. Known: children-clinic"),
        (INFANT, "formula: milk-27, amount", "formula: milk-28, amount",
         "feeding[0].formula: 'milk-28' is no known name."),
        (INFANT, "  milk-27:", "  fiber-10: {name: F, energy: 1 kcal/mL, water: 84 %, system: open,"
         " container: 250 mL}\n  milk-27:", ""),
        (INFANT, "formula: milk-27, amount: 110 mL", "formula: milk-27, amount: 1 carton",
         "feeding[0].amount: the formula has no container. Write mL."),
        (HOSPICE, "who: [Elena Ibarra, Celia Ibarra]", "who: [Elena Ibarra, Cleo Ibarra]",
         "sessions[0].who: 'Cleo Ibarra' is no known name. Known: Elena Ibarra, Celia Ibarra."),
        (INSULIN, "hold: [insulin regular]", "hold: [insulin]",
         "if_feeding_stops.hold: 'insulin' is no known name."),
        (REFEEDING, "call: home_nurse", "call: oncology",
         "watch[0].call: contacts.oncology is missing. Write contacts.oncology: …"),
    ],
)  # fmt: skip
def test_a_name_that_nothing_has_is_a_fault_with_its_line(
    name: str, old: str, new: str, says: str, facility: Facility
) -> None:
    text = text_of(name)
    assert text.count(old) == 1
    line = text[: text.index(old)].count("\n") + 1
    faults = faults_of(text.replace(old, new), facility)
    if not says:
        assert faults == []
    else:
        assert [fault for fault in faults if fault.startswith(f"p.yaml:{line}: {says}")], faults


def test_a_name_in_two_places_is_a_fault(facility: Facility) -> None:
    text = text_of(INFANT).replace("  milk-27:", "  fiber-10:").replace(": milk-27", ": fiber-10")
    assert any("stands in formulas and in the facility's formulary" in fault
               for fault in faults_of(text, facility))  # fmt: skip


def test_the_facilitys_entries_have_a_review_date_each(settings: Path) -> None:
    policy = load_policy(settings)
    assert len(policy.named.directory) == 11
    assert len(policy.named.formulary) == 9
    assert policy.named_until["directory.tube-clinic"] == date(2027, 12, 31)
    assert policy.named.directory["tube-clinic"].place == "Quillmere Hospital, desk 4"


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("  tube-clinic: ", "  Tube-Clinic: ", "'Tube-Clinic' is no name"),
        ("hours: always, review_by: 2027-12-31}\n  home-supply",
         "review_by: 2027-12-31}\n  home-supply", "hours is missing"),
        ("energy: 2.0 kcal/mL, water: 70 %, container: 237 mL", "energy: 2.0 kcal/mL, water: 70 %",
         "formulary.dense-20.container is missing"),
        ("water: 70 %", "water: 170 %", "more than all of it"),
    ],
)  # fmt: skip
def test_an_entry_with_a_fault_is_refused(
    old: str, new: str, says: str, settings: Path, tmp_path: Path
) -> None:
    text = settings.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path = tmp_path / "facility.yaml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(PolicyError, match=says):
        load_policy(path)
    published = json.loads((GIVEN / "facility.schema.json").read_text(encoding="utf-8"))
    data = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    for entries in (data["directory"], data["formulary"]):
        for entry in entries.values():
            entry["approved_by"] = None
    valid = Draft202012Validator(published).is_valid(data)
    # A share above 100 is the reader's alone.
    assert valid is ("170" in new)


# --- the two formats --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("duties: all}", "hands_on: true, duties: all}", "Write duties: all, none, or a list."),
        ("prepared: {by", "accepted: []\nprepared: {by", "Write settled: who decided, and what."),
        ("at: 2026-10-08 11:30", "on: 2026-10-08 11:30", "Write at: …"),
        ("kind: surgeon", "what: Visit, kind: surgeon", "Write kind: and how:."),
        ("format: 2", "format: 3", "'3' is not known"),
        ("format: 2", "format: 1", "'1' is not known"),
        ("allergies: []", "allergies:", "patient.allergies is empty. Write it, or leave"),
        ('date: 2026-10-08', 'on: 2026-10-08', "Write date: …"),
    ],
)  # fmt: skip
def test_format_2_says_what_to_write_instead(
    old: str, new: str, says: str, facility: Facility
) -> None:
    faults = faults_of(text_of(RESTING).replace(old, new, 1), facility)
    assert any(says in fault for fault in faults), faults


@pytest.mark.parametrize("key", ["watch: []", "low_sugar: {}", "settled: []", "formulas: {}"])
def test_format_1_refuses_the_new_keys(key: str) -> None:
    text = (ROOT / "examples" / f"{EXAMPLES[0]}.yaml").read_text(encoding="utf-8")
    faults = faults_of(f"{text}\n{key}\n", Facility())
    assert any("is of format 2: write format: 2 first" in fault for fault in faults), faults


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_upgraded_file_only_lacks_what_format_2_asks_more(name: str) -> None:
    source = (ROOT / "examples" / f"{name}.yaml").read_text(encoding="utf-8")
    text = upgraded(parse(source, f"{name}.yaml"))
    assert text.startswith("format: 2\n")
    faults = faults_of(text, Facility())
    assert faults
    assert [fault for fault in faults if "is still a blank. Fill it in." not in fault] == []
    old = yaml.load(source, Loader=yaml.BaseLoader)
    new = yaml.load(text, Loader=yaml.BaseLoader)
    for key in ("name", "born", "record_number", "language"):
        assert new["patient"][key] == old["patient"][key]
    assert [line["dose"] for line in new["medicines"]] == [m["dose"] for m in old["medicines"]]
    # Every word of the old file is in the new one, but for words that format 2 has no place for.
    flags = {"true", "false", "pharmacist-approved"}
    lost = {value for value in _leaves(old) if value not in flags and value not in text}
    assert lost == set()


def _leaves(data: Any) -> list[str]:
    if isinstance(data, dict):
        return [leaf for value in data.values() for leaf in _leaves(value)]
    if isinstance(data, list):
        return [leaf for value in data for leaf in _leaves(value)]
    return [data]


def test_upgrade_prints_and_refuses_what_is_new_already(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["upgrade", str(ROOT / "examples" / f"{EXAMPLES[0]}.yaml")]) == 0
    assert capsys.readouterr().out.startswith("format: 2\n")
    assert main(["upgrade", str(GIVEN / "patients" / f"{RESTING}.yaml")]) == 2


def test_the_command_prints_the_schema_of_format_2(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", "--format", "2"]) == 0
    assert json.loads(capsys.readouterr().out) == OURS
    assert main(["schema", "--format", "2", "--reference"]) == 0
    assert "| `thickness` |" in capsys.readouterr().out


@pytest.mark.parametrize("span", ["36 h", "90 min", "1.5 d", "0.5 wk"])
def test_a_step_that_lasts_no_whole_days_is_refused_with_its_line(span: str) -> None:
    data = data_with(base=ORDERS_BY_STEPS)
    feed = next(feed for feed in data["feeding"] if "steps" in feed)
    feed["steps"][0]["for"] = span
    with pytest.raises(PatientError, match=r"patient\.yaml:[1-9][0-9]*: .*steps\[0\]\.for.*whole"):
        patient_of(data)
