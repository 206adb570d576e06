"""Findings: levels, acceptance, and that the shipped rules are sound."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from builders import EXAMPLES, ROOT, facts_with, findings_with, levels_with, library, patient_with
from folding import each

from plainleaf.facts import CHECKS, VOCABULARY
from plainleaf.inputs.content import SafetyRule, load_library, slots_in
from plainleaf.rules.findings import Finding, judge
from plainleaf.vocabulary.errors import ContentError

# What each example meets, by level. A change here is a change of what a nurse reads.
EXPECTED = {
    "g-balloon-syringe": (
        {"crush-modified-release"},
        {"other-lines-not-recorded"},
        {"adult-water-question", "as-needed-unclear", "energy-unusual", "no-visit-planned"},
    ),
    "g-bumper-blended": (
        set(),
        {"healing-not-certain", "route-not-said"},
        {"blended-not-counted", "limit-and-drinks", "no-supply-company", "no-visit-planned"},
    ),
    "g-button-child": (
        set(),
        {"other-lines-not-recorded", "position-not-checked"},
        {"child-water-figure", "no-visit-planned", "small-doses"},
    ),
    "gj-pump-overnight": (
        set(),
        {"clashes-with-feeding", "other-lines-not-recorded", "water-below-goal"},
        {"energy-unusual"},
    ),
    "gj-pump-overnight-ready": (
        set(),
        {"clashes-with-feeding", "water-below-goal"},
        {"energy-unusual"},
    ),
    "j-surgical-continuous": (
        set(),
        {"other-lines-not-recorded"},
        {"no-visit-planned"},
    ),
}  # fmt: skip
ALWAYS = {"pharmacist-reviews-list", "policy-example"}


def accept(*names: str, **about: str) -> dict[str, Any]:
    """The change that accepts these findings; `about` for all of them."""
    by = "T. Ames, MD PharmD RD RN"
    entry = {"by": by, "reason": "asked, stays as ordered", "on": "2026-03-02", **about}
    return {"accepted": [{"finding": name, **entry} for name in names]}


def by_id(findings: tuple[Finding, ...]) -> dict[str, Finding]:
    return {finding.id: finding for finding in findings}


@pytest.mark.parametrize("base", EXAMPLES)
def test_each_example_meets_these_findings_and_no_other(base: str) -> None:
    levels = levels_with(base=base)
    stops, confirms, notes = EXPECTED[base]
    for level, ids in (("stop", stops), ("confirm", confirms), ("note", notes | ALWAYS)):
        assert {name for name, found in levels.items() if found == level} == ids


@pytest.mark.parametrize("base", EXAMPLES)
def test_each_example_builds_once_its_findings_are_accepted(base: str) -> None:
    findings = findings_with(base=base)
    assert all(finding.acceptable for finding in findings if finding.level != "note")
    names = [finding.id for finding in findings if finding.level != "note"]
    after = findings_with(accept(*names), base)
    assert not any(finding.blocks for finding in after)
    assert {f.id for f in after} - {f.id for f in findings} <= {"accepted-by-preparer"}


def test_a_stop_that_is_not_acceptable_stays() -> None:
    changes = {"medicines.1.name": "insulin lispro", "medicines.1.form": "injection",
               "if_feeding_stops": "Call us."}  # fmt: skip
    found = by_id(findings_with({**changes, **accept("insulin-through-tube")}))
    assert found["insulin-through-tube"].blocks
    assert found["accepted-not-used"].level == "note"


def test_findings_of_one_id_are_accepted_one_medicine_at_a_time() -> None:
    changes = {"medicines.1.form": "extended-release tablet"}
    plain = findings_with({**changes, **accept("crush-modified-release")})
    assert sum(f.blocks for f in plain if f.id == "crush-modified-release") == 2
    named = findings_with({**changes, **accept("crush-modified-release", about="omeprazole")})
    blocked = [f.subject for f in named if f.id == "crush-modified-release" and f.blocks]
    assert blocked == ["acetaminophen"]


def test_acceptance_about_another_medicine_settles_nothing() -> None:
    found = by_id(findings_with(accept("crush-modified-release", about="acetaminophen")))
    assert found["crush-modified-release"].blocks
    assert "accepted-not-used" in found


def test_an_approval_to_crush_does_not_lift_the_stop() -> None:
    levels = levels_with({"medicines.0.crush": "pharmacist-approved"})
    assert levels["crush-modified-release"] == "stop"


def test_a_finding_says_what_it_concerns_and_cites_rule_and_list() -> None:
    finding = by_id(findings_with())["crush-modified-release"]
    assert finding.concerns == ("medicines[0]",)
    assert "omeprazole (delayed-release capsule)" in finding.says
    assert {"suf-none", "h-ome"} <= set(finding.sources)
    assert by_id(findings_with())["no-visit-planned"].concerns == ("visits",)


def test_words_of_the_file_are_never_read_as_slots() -> None:
    found = by_id(findings_with({"medicines.0.name": "omeprazole {dose}"}))
    assert "omeprazole {dose} (delayed" in found["crush-modified-release"].says


def test_stops_come_first() -> None:
    order = [finding.level for finding in findings_with()]
    assert order == sorted(order, key=["stop", "confirm", "note"].index)


def test_other_lines_are_none_once_accepted() -> None:
    facts = facts_with(accept("other-lines-not-recorded"))
    assert facts.answers["other_lines"] == "false"
    found = judge(library().rules, facts, patient_with(accept("other-lines-not-recorded")))
    assert not by_id(found)["other-lines-not-recorded"].blocks


@each({rule.id: (rule,) for rule in library().rules})
def test_each_rule_is_worded_soundly(rule: SafetyRule) -> None:
    for text in (rule.says, rule.instead):
        assert text.endswith((".", "}"))
        assert "!" not in text
        assert not re.search(r"\b(?:just|simply|please)\b", text, re.IGNORECASE)
    asked = {detail for name in rule.when.facts() if name in CHECKS
             for detail in CHECKS[name].details}  # fmt: skip
    if rule.about == "patient":
        assert asked <= set(slots_in(rule.says + rule.instead)) | {"per_kg", "most", "figure"}
    assert set(rule.events) <= set(library().claims)


def test_only_stops_about_amounts_and_medicines_can_be_accepted() -> None:
    acceptable = {rule.id for rule in library().rules if rule.acceptable}
    assert acceptable == {
        "child-water-high", "flush-large-child", "crush-modified-release",
        "opioid-modified-release", "never-through-tube", "injection-through-tube",
        "never-crush-no-way-given", "weekly-medicine-daily", "insulin-without-sugar-checks",
        "rescue-not-covered",
    }  # fmt: skip


BROKEN = {
    "slot": ("when: {mark_missing: true}", 'says: "The {size}."', "'{size}' is no detail"),
    "check": ("when: {mark_lost: true}", 'says: "Lost."', "'mark_lost' is not a fact"),
    "answer": ("when: {mark_missing: maybe}", 'says: "Lost."', "never 'maybe'"),
    "accept": ("when: {mark_missing: true}\n    acceptable: true", 'says: "Lost."', "is no stop"),
    "event": ("when: {mark_missing: true}\n    events: [h-none]", 'says: "Lost."', "'h-none'"),
}


@pytest.mark.parametrize(("when", "says", "wrong"), BROKEN.values(), ids=BROKEN)
def test_a_faulty_rule_does_not_load(when: str, says: str, wrong: str, tmp_path: Path) -> None:
    shutil.copytree(ROOT / "teaching", tmp_path / "teaching")
    rule = f"""rules:
  - id: faulty
    about: patient
    {when}
    level: confirm
    {says}
    instead: "Write it."
    settled_by: "a nurse"
    sources: [practice]
"""
    (tmp_path / "teaching" / "rules" / "faulty-rules.yaml").write_text(rule, encoding="utf-8")
    with pytest.raises(ContentError, match=re.escape(wrong)) as error:
        load_library(tmp_path / "teaching", VOCABULARY)
    assert all(fault.file == "rules/faulty-rules.yaml" for fault in error.value.faults)
