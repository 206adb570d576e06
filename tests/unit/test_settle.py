"""Decisions of format 2: bound by a code, made by whom the rule names, never in conflict."""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import pytest
from builders import library
from folding import each
from format_2 import (
    HOSPICE,
    INSULIN,
    NAMES,
    Data,
    by_id,
    codes_of,
    data_with,
    decided,
    facility,
    judged,
    patient_of,
    raised,
    with_codes,
    with_setting,
)
from single_changes import REMOVE, changed, spots

from plainleaf.facts import derive
from plainleaf.inputs.policy import Policy
from plainleaf.rules.decision_codes import code_of, looks_apart
from plainleaf.rules.outcomes import resolved
from plainleaf.vocabulary.errors import PatientError
from plainleaf.vocabulary.settling import ACCEPTED_BY, OUTCOMES, ROLES, SETTLED_BY

PHARMACIST, PRESCRIBER, NURSE = "O. Duarte, PharmD", "B. Quist, MD", "S. Park, RN"
DIETITIAN = "R. Adeyemi, RD"
FOLIC, CRUSH = ("crush-not-cleared", "folic acid"), "crush-not-cleared"
# More findings than the given file has: a phenytoin that is held against nothing, a heavy person.
PHENYTOIN = {
    "name": "phenytoin", "form": "suspension", "strength": "125 mg/5 mL", "dose": "4 mL (100 mg)",
    "route": "gastric", "times": ["10:00"],
}  # fmt: skip


def settling(*blocks: Data, base: str = INSULIN, **changes: Any) -> Data:
    """A given file with these blocks of `settled` alone and their codes."""
    return with_codes(data_with({**changes, "settled": list(blocks)}, base))


def faults(data: Data, policy: Policy | None = None) -> dict[str, list[str]]:
    """Id → what is said, of the findings that are about the lines of `settled`."""
    ids = ("credential-wrong", "decision-differs", "settles-nothing")
    named = by_id(judged(data, policy).findings)
    return {name: [f.says for f in named[name]] for name in ids if name in named}


def open_questions(data: Data, policy: Policy | None = None) -> set[tuple[str, str]]:
    return {(f.id, f.subject) for f in judged(data, policy).findings if f.blocks}


# --- the six files -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_with_its_codes_each_line_of_a_given_file_settles(name: str) -> None:
    without, data = data_with(base=name), with_codes(data_with(base=name))
    lines = judged(data).lines
    assert all(line.right and line.code for line in lines)
    assert faults(data) == {}
    settled = [f for f in judged(data).findings if f.settled is not None]
    assert {f.id for f in settled} == {line.finding for line in lines}
    # Without them every one of these questions is open.
    assert all((f.id, f.subject) in open_questions(without) for f in settled)
    assert not any(line.right for line in judged(without).lines)


def test_one_line_settles_what_several_names_ask_and_a_part_of_it_does_not() -> None:
    data = with_codes(data_with(base=HOSPICE))
    line = judged(data).lines[0]
    assert line.about == ("morphine", "haloperidol")
    alone = decided("medicines-in-bowel-port", "morphine#2", "as-ordered", PHARMACIST)
    alone["date"] = "2026-09-17"
    still = open_questions(settling(alone, base=HOSPICE))
    name = "medicines-in-bowel-port"
    assert {subject for finding, subject in still if finding == name} == {
        "morphine#1",
        "haloperidol",
    }
    nothing_named = decided(name, "", "as-ordered", PHARMACIST)
    nothing_named["date"] = "2026-09-17"
    assert name not in {f for f, _ in open_questions(settling(nothing_named, base=HOSPICE))}


def test_a_line_needs_its_own_code() -> None:
    data = with_codes(data_with())
    for code in (None, "c000000"):
        other = copy.deepcopy(data)
        line = other["settled"][1]["decided"][0]
        if code is None:
            del line["code"]
        else:
            line["code"] = code
        assert FOLIC in open_questions(other)
        assert [row.right for row in judged(other).lines] == [True, False, True]
        assert judged(other).lines[1].code == codes_of(other)[FOLIC]


# --- what a code is made of ----------------------------------------------------------------------

CHANGES: dict[str, tuple[str, Mapping[str, Any], set[tuple[str, str]]]] = {
    "its dose": (INSULIN, {"medicines.4.dose": "2 tablets (2 mg)"}, {FOLIC}),
    "its form": (INSULIN, {"medicines.4.form": "film-coated tablet"}, {FOLIC}),
    "how it is made ready": (INSULIN, {"medicines.4.in": "20 mL water"}, {FOLIC}),
    "its strength of another": (INSULIN, {"medicines.4.strength": "1 mg"}, set()),
    "its times": (INSULIN, {"medicines.4.times": ["11:00"]}, set()),
    "its day": (INSULIN, {"medicines.4.days": ["Sun"]}, set()),
    "another medicine": (INSULIN, {"medicines.3.dose": "5 mL (10 mg)"},
                         {("hazardous-medicine", "methotrexate")}),
    "the name of the person": (INSULIN, {"patient.name": "Ruth Other"}, set()),
    "a phone of the file": (INSULIN, {"contacts.emergency": "112"}, set()),
    "a note on a line": (INSULIN, {"settled.0.decided.0.note": "By phone."}, set()),
    "who prepared it": (INSULIN, {"prepared.by": "T. Other, RN"}, set()),
    "the hour it was prepared": (INSULIN, {"prepared.at": "2026-06-05 17:30"}, set()),
    "a flush": (INSULIN, {"water.medicine": "20 mL"}, set()),
    "the time of one of two": (HOSPICE, {"medicines.0.times": ["06:00"]},
                               {("medicine-twice", "morphine")}),
    "a dose of one of two": (HOSPICE, {"medicines.1.dose": "5 mL (10 mg)"},
                             {("medicine-twice", "morphine")}),
    "the port of one": (HOSPICE, {"medicines.2.route": "gastric"},
                        {("medicines-in-bowel-port", "haloperidol")}),
}  # fmt: skip


@each(CHANGES)
def test_what_a_finding_looked_at_is_in_its_code_and_nothing_else(
    base: str, changes: Mapping[str, Any], other: set[tuple[str, str]]
) -> None:
    before, after = codes_of(data_with(base=base)), codes_of(data_with(changes, base))
    settled = {key for key in before if key[0] in SETTLED_BY}
    assert {key for key in settled if after.get(key) != before[key]} == other


def test_a_line_before_a_medicine_changes_no_code_of_it() -> None:
    before = codes_of(data_with())
    data = data_with()
    data["medicines"].insert(0, {**PHENYTOIN, "name": "levetiracetam"})
    after = codes_of(data)
    keys = [key for key in before if key[0] in ("crush-not-cleared", "hazardous-medicine")]
    assert keys and all(after[key] == before[key] for key in keys)


def test_the_same_amount_written_otherwise_has_the_same_code() -> None:
    goal, key = {"water.goal": "5000 mL"}, ("water-below-goal", "2026-06-05")
    amounts = ("60 mL", "60.0 mL", "61 mL")
    codes = [codes_of(data_with({**goal, "water.before_feed": one}))[key] for one in amounts]
    assert codes[0] == codes[1] != codes[2]


def test_settings_the_formulary_and_the_directory_are_in_a_code() -> None:
    key = ("water-below-goal", "2026-06-05")
    data = data_with({"water.goal": "5000 mL"})
    before = codes_of(data)[key]
    named = facility().named
    formula = named.formulary["fiber-12"]
    other = replace(formula, water=formula.water * 2)
    richer = replace(
        facility(), named=replace(named, formulary={**named.formulary, "fiber-12": other})
    )
    assert codes_of(data, richer)[key] != before
    assert codes_of(data, with_setting(fever=facility().quantity("fever")))[key] == before
    doubled = with_setting(medicine_flushes="before-and-after-each")
    assert codes_of(data, doubled)[key] != before


@pytest.mark.parametrize("name", [INSULIN, HOSPICE])
def test_equal_codes_say_the_same(name: str) -> None:
    """Whatever one value is changed: a finding that says something else has another code."""
    data = data_with({"water.goal": "5000 mL"}, name)
    before = {(q.finding.id, q.finding.subject): q.finding for q in raised(data)}
    places = [path for path in spots(data) if path[0] in ("patient", "tube", "feeding", "water")]
    compared = 0
    for number, path in enumerate(places):
        try:
            after = raised(changed(data, path, (REMOVE, "7 mL", "20:15")[number % 3]))
        except PatientError:
            continue
        for finding in (question.finding for question in after):
            old = before.get((finding.id, finding.subject))
            if old is not None and old.code == finding.code and old.acceptable:
                compared += 1
                assert (old.says, old.instead) == (finding.says, finding.instead), path
    assert compared > 5


def test_words_of_the_teaching_are_in_no_code() -> None:
    question = next(q for q in raised(data_with()) if q.finding.id == CRUSH)
    assert question.finding.says not in str(question.looks)
    assert code_of("a", [{"x": "1"}]) == code_of("a", [{"x": "1"}])
    assert code_of("a", [{"x": "1"}]) != code_of("a", [{"x": "2"}])
    assert code_of("a", [{"x": "1"}, {}]) != code_of("a", [{"x": "1"}])


def test_of_a_list_only_the_thing_itself_is_looked_at() -> None:
    looks = {"medicines": "3", "medicines[0].name": "a", "medicines[2].name": "c", "tube.kind": "g"}
    assert looks_apart(looks, ["medicines[2]"]) == {"medicines.0.name": "c", "tube.kind": "g"}
    assert looks_apart(looks, []) == looks
    pair = looks_apart(looks, ["medicines[0]"], ["medicines[2]"])
    assert pair == {"medicines.0.name": "a", "medicines.1.name": "c", "tube.kind": "g"}


# --- who may settle ------------------------------------------------------------------------------


def test_roles_are_narrowed_by_a_facility_and_never_widened() -> None:
    block = decided(CRUSH, "folic acid", "as-ordered", PHARMACIST)
    data = settling(block)
    narrow = replace(facility(), roles={**ROLES, "pharmacist": ("RPh",)})
    assert FOLIC not in open_questions(data)
    assert FOLIC in open_questions(data, narrow)
    [says] = faults(data, narrow)["credential-wrong"]
    assert says == "settled[0].decided[0]: O. Duarte, PharmD may not settle crush-not-cleared."


SIGNERS = {
    "both": (PHARMACIST, PRESCRIBER, True),
    "the other way round": (PRESCRIBER, PHARMACIST, True),
}


@each(SIGNERS)
def test_two_settle_what_two_must(by: str, other: str, right: bool) -> None:
    block = decided(
        "hazardous-medicine", "methotrexate", "pharmacy-prepares", by, other=other,
        **{"as": "syringes"},
    )  # fmt: skip
    open_ = ("hazardous-medicine", "methotrexate") in open_questions(settling(block))
    assert open_ is not right


HARMFUL = {
    "a hazardous medicine": {
        "name": "methotrexate", "form": "tablet", "dose": "6 tablets (15 mg)", "route": "gastric",
        "times": ["10:00"], "days": ["Thu"], "prepare": "dissolve", "in": "20 mL water",
    },
    "a long-acting opioid": {
        "name": "morphine", "form": "extended-release capsule", "dose": "1 capsule (20 mg)",
        "route": "gastric", "times": ["10:00"], "prepare": "mix and do not crush",
        "in": "20 mL water",
    },
}  # fmt: skip


@each({name: (medicine,) for name, medicine in HARMFUL.items()})
def test_what_harms_needs_two_whatever_the_finding_is_called(medicine: Data) -> None:
    name = medicine["name"]
    finding = CRUSH if name == "methotrexate" else "crush-modified-release"
    do, more = (
        ("as-ordered", {}) if finding == CRUSH
        else ("prepare", {"prepare": medicine["prepare"], "in": medicine["in"]})
    )  # fmt: skip
    changes = {"medicines.3": medicine}
    alone = settling(decided(finding, name, do, PHARMACIST, **more), **changes)
    assert (finding, name) in open_questions(alone)
    [says] = faults(alone)["credential-wrong"]
    assert says.endswith(f"{finding} is settled by two together.")
    pair = settling(decided(finding, name, do, PHARMACIST, other=PRESCRIBER, **more), **changes)
    assert (finding, name) not in open_questions(pair)


def test_the_reader_refuses_a_credential_with_its_line_and_rule() -> None:
    with pytest.raises(PatientError) as error:
        judged(settling(decided(CRUSH, "folic acid", "as-ordered", NURSE)))
    [fault] = error.value.faults
    assert fault.line > 0 and "credential-wrong" in str(fault)


def test_a_stop_that_nobody_settles_has_no_line() -> None:
    rules = {rule.id: rule for rule in library().rules}
    hard = {r.id for r in rules.values() if r.level == "stop" and not r.acceptable}
    assert hard and hard.isdisjoint(SETTLED_BY)
    acceptable = {rule.id for rule in rules.values() if rule.acceptable}
    assert acceptable <= set(SETTLED_BY)


@each({rule.id: (rule.id, rule.settled_by) for rule in library().rules})
def test_the_teaching_names_the_same_people_as_the_program(identity: str, words: str) -> None:
    settling_of = SETTLED_BY.get(identity) or ACCEPTED_BY.get(identity)
    assert settling_of is None or words == settling_of.words


# --- what the order and the outcome say ----------------------------------------------------------

GLOVES = {"prepare": "crush", "in": "15 mL water"}
WEIGHT = {"patient.weight": "710 kg"}
FILL = {"tube.balloon_fill": "3 mL"}
GOAL = {"water.goal": "5000 mL"}
PHENYTOIN_AT_9: dict[str, Any] = {"medicines.9": PHENYTOIN}
HELD = {"medicines.9": {**PHENYTOIN, "hold_before": "1 h", "hold_after": "2 h"}}
HOLD = {"before": "1 h", "after": "2 h"}
PAIR = {"other": PRESCRIBER}
Row = tuple[str, str, str, str, Data, Data, str]
DIFFER: dict[str, Row] = {
    "the same": (CRUSH, "folic acid", "prepare", PHARMACIST, GLOVES, {}, ""),
    "more than the order": (CRUSH, "folic acid", "prepare", PHARMACIST,
                            {**GLOVES, "gloves": "true"}, {}, ""),
    "another way": (CRUSH, "folic acid", "prepare", PHARMACIST, {"prepare": "dissolve"}, {},
                    "says dissolve, and medicines[4].prepare says crush"),
    "another amount": (CRUSH, "folic acid", "prepare", PHARMACIST,
                       {"prepare": "crush", "in": "30 mL water"}, {},
                       "says 30 mL water, and medicines[4].in says 15 mL water"),
    "the pharmacy, where the family crushes": (
        CRUSH, "folic acid", "pharmacy-prepares", PHARMACIST, {"as": "packets"}, {},
        "says pharmacy packets, and medicines[4].prepare says crush"),
    "a weight": ("weight-implausible", "", "read-again", NURSE, {"value": "710 kg"}, WEIGHT, ""),
    "another weight": ("weight-implausible", "", "read-again", NURSE, {"value": "71 kg"}, WEIGHT,
                       "says 71 kg, and patient.weight says 710 kg"),
    "a fill": ("balloon-fill-unusual", "", "read-again", NURSE, {"value": "3 mL"}, FILL, ""),
    "another fill": ("balloon-fill-unusual", "", "read-again", NURSE, {"value": "8 mL"}, FILL,
                     "says 8 mL, and tube.balloon_fill says 3 mL"),
    "drink": ("water-below-goal", "", "drink", DIETITIAN, {"amount": "400 mL"}, GOAL, ""),
    "drink and another": ("water-below-goal", "", "drink", DIETITIAN, {"amount": "400 mL"},
                          {**GOAL, "patient.drink": "300 mL", "patient.by_mouth": ["soft"]},
                          "says 400 mL, and patient.drink says 300 mL"),
    "a hold": ("clashes-with-feeding", "phenytoin", "hold", PHARMACIST, {**HOLD, **PAIR},
               PHENYTOIN_AT_9, ""),
    "the hold of the order": ("clashes-with-feeding", "phenytoin", "hold", PHARMACIST,
                              {**HOLD, **PAIR}, HELD, ""),
    "another hold": ("clashes-with-feeding", "phenytoin", "hold", PHARMACIST,
                     {**HOLD, "before": "2 h", **PAIR}, HELD,
                     "says 2 h, and medicines[9].hold_before says 1 h"),
    "no hold, where the order holds": (
        "clashes-with-feeding", "phenytoin", "no-hold", PHARMACIST, {"watch": "drug level", **PAIR},
        HELD, "says no-hold, and medicines[9].hold_before says that feeding is held"),
}  # fmt: skip


@each(DIFFER)
def test_an_outcome_and_its_key_say_the_same_or_stop(
    finding: str, about: str, do: str, by: str, fields: Data, changes: Data, wrong: str
) -> None:
    data = settling(decided(finding, about, do, by, **fields), **changes)
    assert judged(data).lines[0].right
    says = faults(data).get("decision-differs", [])
    assert bool(says) == bool(wrong) and all(wrong in text for text in says), says
    still = {name for name, subject in open_questions(data) if subject == about or not about}
    assert (finding in still) is bool(wrong)


def test_two_outcomes_that_fill_one_key_otherwise_stop() -> None:
    blocks = [
        decided("water-below-goal", "", "drink", DIETITIAN, amount=amount)
        for amount in ("400 mL", "500 mL")
    ]
    [says] = faults(settling(*blocks, **GOAL))["decision-differs"]
    assert "says 500 mL, and patient.drink says 400 mL by settled[0].decided[0]" in says


def test_both_lines_of_a_name_differ_as_it_is_said() -> None:
    block = decided("medicine-twice", "morphine", "both", PHARMACIST, why="different strengths")
    block["date"] = "2026-09-17"
    assert "decision-differs" in faults(settling(block, base=HOSPICE))


def test_what_is_not_asked_is_noted() -> None:
    block = decided(CRUSH, ["folic acid", "aspirin"], "as-ordered", PHARMACIST)
    data = settling(block, decided("rate-high", "", "as-ordered", DIETITIAN))
    first, second = faults(data)["settles-nothing"]
    assert first == "settled[0].decided[0] settles 'crush-not-cleared' about aspirin, " \
                    "which is not asked."  # fmt: skip
    assert "'rate-high', which" in second
    assert judged(data).lines[1].code is None and not judged(data).lines[1].right


DAYS = {
    "later than the packet": ("2026-06-06", "decided after the packet was prepared"),
    "before the order": ("2026-06-04", "decided before it was ordered"),
    "on that day": ("2026-06-05", ""),
}


@each(DAYS)
def test_the_day_of_a_decision_makes_sense(day: str, wrong: str) -> None:
    block = {**decided(CRUSH, "folic acid", "as-ordered", PHARMACIST), "date": day}
    stops = by_id(judged(settling(block)).findings).get("dates-do-not-fit", [])
    assert [wrong in stop.says for stop in stops] == ([True] if wrong else [])


# --- an outcome fills its key --------------------------------------------------------------------

FILLED: dict[str, tuple[Data, Callable[[Any], Any], Any]] = {
    "drink": ({"settled": [decided("water-below-goal", "", "drink", DIETITIAN, amount="400 mL")],
               **GOAL}, lambda p: str(p.person.drink), "400 mL"),
    "hold": ({"settled": [decided("clashes-with-feeding", "phenytoin", "hold", PHARMACIST, **HOLD,
                                  **PAIR)], **PHENYTOIN_AT_9},
             lambda p: [str(p.medicines[9].hold_before), str(p.medicines[9].hold_after)],
             ["1 h", "2 h"]),
    "gloves and who keeps away": (
        {"medicines.3.gloves": "REMOVE", "settled.0.decided.0.gloves": "true"},
        lambda p: (p.medicines[3].gloves, p.medicines[3].keep_away, p.medicines[3].prepare),
        (True, ("children", "pregnant people"), "as it is")),
    "nothing": ({"settled": [decided(CRUSH, "folic acid", "as-ordered", PHARMACIST)]},
                lambda p: p.medicines[4].prepare, "crush"),
}  # fmt: skip


@each(FILLED)
def test_an_outcome_fills_the_key_that_the_order_left_open(
    changes: Data, value: Callable[[Any], Any], right: Any
) -> None:
    data = with_codes(data_with(changes))
    patient, result = patient_of(data), judged(data)
    assert value(resolved(patient, result.outcomes)) == right
    # Without its code nothing is filled.
    assert judged(data_with(changes)).outcomes == ()
    assert resolved(patient, ()) == patient


def test_not_healed_counts_as_new_until_the_day() -> None:
    patient = patient_of(data_with({"tube.placed": "2026-03-02 15:00"}))
    block = decided("healing-not-certain", "", "not-healed", PRESCRIBER, until="2026-07-01")
    data = settling(block, **{"tube.placed": "2026-03-02 15:00", "ordered.date": "2026-06-05"})
    words = library().medicine_words
    new = resolved(patient, judged(data).outcomes)
    stages = [derive(p, facility(), words).answers["opening_stage"] for p in (patient, new)]
    assert stages == ["mature", "new"]


def test_every_outcome_of_a_finding_is_known_and_every_rule_of_it_exists() -> None:
    assert {do for row in SETTLED_BY.values() for do in row.outcomes} <= set(OUTCOMES)


def test_of_two_who_sign_which_stands_first_is_free() -> None:
    """A hazardous medicine is for both, whatever asks; each line of their block may be either's."""
    data = data_with({})
    block = data["settled"][0]
    block["by"], block["with"] = block["with"], block["by"]
    block["decided"].append(data["settled"][1]["decided"].pop())
    assert [f.id for f in judged(with_codes(data)).findings if f.blocks] == []
