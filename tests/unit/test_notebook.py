"""What stands behind a value is noted while it is read, and noting changes no value."""

from __future__ import annotations

from functools import cache, partial

import pytest
from builders import EXAMPLES, facts_with, library, patient_with, policy, policy_with, teaching
from format_2 import NAMES, data_with, patient_of, with_codes

from plainleaf.facts import CHECKS, FACTS, SLOTS, Noting, keys_in, noting, settings_in
from plainleaf.inputs.load_inputs import inputs_for
from plainleaf.inputs.patient import Patient
from plainleaf.rules.decision import decide
from plainleaf.rules.findings import judge
from plainleaf.vocabulary.settings import SETTINGS

FILES = (*EXAMPLES, *NAMES)
A, C, GJ = "g-balloon-syringe", "g-button-child", "gj-pump-overnight"


def _decided(base: str) -> Patient:
    """The patient of a given file, with what was decided."""
    patient = patient_of(with_codes(data_with(base=base)))
    return decide(inputs_for(patient, policy(), teaching())).patient


@cache
def noted(base: str) -> Noting:
    patient = _decided(base) if base in NAMES else patient_with(base=base)
    return noting(patient, policy(), library().medicine_words)


def behind_fact(base: str, fact: str) -> tuple[str, ...]:
    return noted(base).behind(partial(noted(base).facts.answers.get, fact))


def behind_slot(base: str, slot: str) -> tuple[str, ...]:
    return noted(base).behind(partial(noted(base).facts.values.get, slot))


@pytest.mark.parametrize("base", EXAMPLES)
def test_noted_facts_are_the_facts(base: str) -> None:
    facts, again = facts_with(base=base), noted(base).facts
    assert {name: again.answers[name] for name in FACTS} == facts.answers
    assert dict(again.values) == facts.values
    assert {name: again.checks[name] for name in CHECKS} == facts.checks
    assert again.events == facts.events and again.totals == facts.totals
    assert again.timeline == facts.timeline and again.supplies == facts.supplies
    assert again.medicines == facts.medicines
    rules = library().rules
    assert judge(rules, again, noted(base).patient) == judge(rules, facts, patient_with(base=base))


FACT_ROWS = [
    (A, "lifting_allowed_now", {"dates.lift_until", "tube.placed", "tube.opening_made",
                                "prepared.on"}, {"lift_after"}),
    (A, "gastric_feeding", {"tube.ports.gastric"}, set()),
    (A, "child", {"patient.born", "prepared.on"}, set()),
    (A, "insulin", {"medicines.name", "medicines.form", "medicines.dose"}, set()),
    (A, "dressing_place", set(), {"dressing_place"}),
    (A, "spare_tube_at_home", {"tube.kind", "tube.held_by", "tube.placed", "tube.opening_made",
                               "patient.born", "prepared.on"}, {"red_flag_time"}),
    (C, "age_group", {"patient.born", "prepared.on"}, {"tangle_below_age"}),
]  # fmt: skip
SLOT_ROWS = [
    (A, "clog_water", {"water.unclog", "patient.born", "prepared.on"}, {"clog_water_adult"}),
    (C, "clog_water", {"water.unclog", "patient.born", "prepared.on"}, set()),
    (GJ, "change_from", {"tube.held_by", "tube.kind", "tube.placed"}, {"gj_change"}),
    (C, "swim_from", {"dates.swim_from", "tube.placed", "tube.opening_made", "patient.born",
                      "prepared.on"}, {"swim_after_child"}),
    (A, "fever", set(), {"fever"}),
    (A, "pump_rate", {"feeding.method"}, set()),
]  # fmt: skip


@pytest.mark.parametrize(("base", "fact", "keys", "settings"), FACT_ROWS)
def test_what_is_behind_a_fact(base: str, fact: str, keys: set[str], settings: set[str]) -> None:
    names = behind_fact(base, fact)
    assert set(keys_in(names)) == keys and set(settings_in(names)) == settings


@pytest.mark.parametrize(("base", "slot", "keys", "settings"), SLOT_ROWS)
def test_what_is_behind_a_slot(base: str, slot: str, keys: set[str], settings: set[str]) -> None:
    names = behind_slot(base, slot)
    assert set(keys_in(names)) == keys and set(settings_in(names)) == settings


def test_what_was_worked_out_before_is_noted_again() -> None:
    first, again = behind_fact(GJ, "flush_planned"), behind_fact(GJ, "flush_planned")
    assert first == again and "day_starts" in settings_in(first)


def test_every_fact_and_slot_has_something_behind_it() -> None:
    for fact in FACTS:
        assert any(behind_fact(base, fact) for base in FILES), fact
    for slot in SLOTS:
        assert any(behind_slot(base, slot) for base in FILES), slot


def test_what_is_asked_for_is_what_is_read() -> None:
    """The key that a missing fact asks for is one that the fact reads, in some file."""
    healed = patient_with({"tube.opening_made": "2025-06-01"}, A)
    at_home = noting(healed, policy_with(tube_back_at_home=True), library().medicine_words)
    files = [*(noted(base) for base in FILES), at_home]
    for name, fact in FACTS.items():
        keys = {key for file in files for key in file.behind(partial(file.facts.answers.get, name))}
        needs = f"{fact.needs}."
        # An order is read as a whole, and what was decided of a thing as the decision.
        asked = [k for key in keys if (k := f"{key}.").startswith(needs) or needs.startswith(k)]
        assert not fact.needs or asked or "settled" in keys, name


def test_only_settings_are_noted_as_settings() -> None:
    for base in FILES:
        for fact in FACTS:
            assert set(settings_in(behind_fact(base, fact))) <= set(SETTINGS)
