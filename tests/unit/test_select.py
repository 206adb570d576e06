"""What one patient gets, and why: conditions, choices, decisions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from builders import EXAMPLES, facts_with, library
from small_library import MODULE, small_library, write_library

from plainleaf.facts import VOCABULARY, Facts
from plainleaf.inputs.content import load_library
from plainleaf.rules.select import Selection, select
from plainleaf.vocabulary.conditions import Answer

FACTS = facts_with({"other_lines": []})


def facts(**answers: str | None) -> Facts:
    return replace(FACTS, answers={**FACTS.answers, **answers})


def ids(selection: Selection) -> list[str]:
    return [st.id for m in selection.modules for s in m.sections for st in s.statements]


@pytest.mark.parametrize(
    ("answers", "out"),
    [
        ({}, {"water.when.kind-other"}),
        ({"water_kind": "boiled"}, {"water.when.kind-tap"}),
        ({"water_before_feed_ordered": "false"}, {"water.when.kind-other", "water.when.feed"}),
        ({"fed_by_tube": "false"},
         {"water.when.kind-other", "water.how.push", "water.how.close", "water.how.never"}),
    ],
    ids=["all", "another choice", "no order", "no section"],
)  # fmt: skip
def test_a_statement_is_in_where_its_condition_holds(
    answers: Mapping[str, str], out: set[str], tmp_path: Path
) -> None:
    small = small_library(tmp_path)
    everything = [statement.id for _, statement in small.modules[0].statements()]
    selection = select(small, facts(**answers))
    assert ids(selection) == [one for one in everything if one not in out]
    assert not selection.split_choices
    decided = {d.statement for d in selection.rulings if d.answer is Answer.TRUE}
    assert decided == set(everything) - out


def test_a_decision_names_condition_facts_and_sources(tmp_path: Path) -> None:
    selection = select(small_library(tmp_path), facts(fed_by_tube="false"))
    found = {d.statement: d for d in selection.rulings}
    push = found["water.how.push"]
    assert (push.module, push.section, push.answer) == ("water", "water.how", Answer.FALSE)
    assert str(push.condition) == "fed_by_tube is true"
    assert dict(push.facts) == {"fed_by_tube": "false"}
    assert push.sources == ("practice",)
    assert dict(found["water.when.why"].facts) == {}


def test_an_unknown_fact_is_named_and_its_statement_stays_out(tmp_path: Path) -> None:
    selection = select(small_library(tmp_path), facts(water_before_feed_ordered=None))
    assert selection.unknown == ("water_before_feed_ordered",)
    assert "water.when.feed" not in ids(selection)
    (decision,) = (d for d in selection.rulings if d.statement == "water.when.feed")
    assert decision.answer is Answer.UNKNOWN
    assert dict(decision.facts) == {"water_before_feed_ordered": "unknown"}


def test_an_unknown_fact_that_does_not_matter_is_not_asked_for(tmp_path: Path) -> None:
    old = "when: {water_before_feed_ordered: true}"
    new = "when: {child: true, other_lines: true}"
    selection = select(small_library(tmp_path, {old: new}), facts(child="false", other_lines=None))
    assert selection.unknown == ()


@pytest.mark.parametrize(
    ("old", "new", "holding"),
    [
        ("when: {water_kind: tap}", "when: {water_kind: sterile}", ()),
        (
            "when: {water_kind: {one_of: [sterile, boiled]}}",
            "when: always",
            ("water.when.kind-tap", "water.when.kind-other"),
        ),
    ],
    ids=["a gap", "an overlap"],
)
def test_a_choice_that_is_not_one_variant_is_reported(
    old: str, new: str, holding: tuple[str, ...], tmp_path: Path
) -> None:
    selection = select(small_library(tmp_path, {old: new}), facts())
    assert selection.split_choices == (("kind", holding),)


def test_a_choice_in_a_closed_section_is_no_matter(tmp_path: Path) -> None:
    edits = {
        "when: {water_kind: tap}": "when: {water_kind: sterile}",
        'heading: "When to flush"': 'heading: "When to flush"\n    when: {blended: true}',
    }
    assert select(small_library(tmp_path, edits), facts()).split_choices == ()


@pytest.mark.parametrize(
    ("blended", "split"),
    [("true", ()), ("false", (("way", ()),))],
    ids=["one section holds", "no section holds"],
)
def test_sections_may_be_a_choice_too(blended: str, split: tuple[Any, ...], tmp_path: Path) -> None:
    old = 'heading: "How to flush"\n    when: {fed_by_tube: true}'
    new = 'heading: "How to flush"\n    choice: way\n    when: {blended: true}'
    selection = select(small_library(tmp_path, {old: new}), facts(blended=blended))
    assert selection.split_choices == split


def test_a_retired_module_is_never_chosen(tmp_path: Path) -> None:
    small = small_library(tmp_path, {"status: draft": "status: retired"})
    assert select(small, facts()).modules == ()
    assert select(small, facts()).rulings == ()


@pytest.mark.parametrize(
    ("answers", "skills"), [({}, 1), ({"fed_by_tube": "false"}, 0)], ids=["printed", "not printed"]
)
def test_a_skill_is_shown_only_where_its_steps_are_printed(
    answers: Mapping[str, str], skills: int, tmp_path: Path
) -> None:
    (module,) = select(small_library(tmp_path), facts(**answers)).modules
    assert len(module.show_back) == skills
    assert len(module.teach_back) == 1


def test_a_skill_without_a_step_is_not_shown(tmp_path: Path) -> None:
    edits = {
        f"id: water.how.{name}\n": f"id: water.how.{name}\n        when: {{blended: true}}\n"
        for name in ("push", "close")
    }
    (module,) = select(small_library(tmp_path, edits), facts()).modules
    assert module.show_back == ()


def test_the_order_of_files_does_not_change_a_selection(tmp_path: Path) -> None:
    second = (
        MODULE.replace("id: water\norder: 10", "id: second\norder: 5")
        .replace("id: water.", "id: second.")
        .replace("from: water.", "from: second.")
        .replace("[water.when.why, water.when.feed]", "[second.when.why]")
    )
    small = load_library(write_library(tmp_path, {"modules/second.yaml": second}), VOCABULARY)
    one = select(small, facts())
    other = select(replace(small, modules=small.modules[::-1]), facts())
    assert [m.module.id for m in one.modules] == ["second", "water"]
    assert sorted(ids(one)) == sorted(ids(other))


@pytest.mark.parametrize("base", EXAMPLES)
def test_the_shipped_content_leaves_no_choice_open_for_an_example(base: str) -> None:
    known = facts_with(base=base)
    asked = replace(known, answers={**known.answers, "other_lines": "false"})
    selection = select(library(), asked)
    assert (selection.unknown, selection.split_choices) == ((), ())
    assert all(module.sections for module in selection.modules)
