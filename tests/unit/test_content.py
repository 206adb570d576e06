"""The teaching library: what a module becomes, ids, references, digests.

What is refused stands in tests/faults/cases.yaml.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from builders import library
from small_library import FILES, MODULE, small_library, write_library

from plainleaf.compose.fill import BLOCKS as TABLE_MAKERS
from plainleaf.facts import SLOTS, VOCABULARY
from plainleaf.inputs.content import (
    BLOCKS,
    Advice,
    Library,
    condition_of,
    load_library,
    page_pointed_to,
    slots_in,
    source_known,
)
from plainleaf.vocabulary.conditions import ALWAYS, Answer
from plainleaf.vocabulary.errors import ContentError


@pytest.fixture(name="small")
def _small(tmp_path: Path) -> Library:
    return small_library(tmp_path)


def test_a_module_becomes_what_its_file_says(small: Library) -> None:
    (module,) = small.modules
    assert (module.id, module.order, module.status) == ("water", 10, "draft")
    assert module.when == ALWAYS
    assert [section.id for section in module.sections] == ["water.when", "water.how"]
    kinds = [statement.kind for _, statement in module.statements()]
    assert kinds == ["say", "point", "say", "say", "step", "step", "warn"]


def test_a_statement_keeps_sources_advice_choice_and_line(small: Library) -> None:
    found = {s.id: s for _, s in small.modules[0].statements()}
    assert found["water.when.feed"].sources == ("patient-file",)
    assert found["water.how.never"].advice == (Advice("force-flush", "never"),)
    assert found["water.when.kind-tap"].choice == "kind"
    first = MODULE.splitlines().index("      - id: water.when.why") + 1
    assert found["water.when.why"].line == first


def test_words_for_the_parent_only_where_they_differ(small: Library) -> None:
    module = small.modules[0]
    found = {s.id: s for _, s in module.statements()}
    assert module.words(child=True) == "Water for your child's tube"
    assert module.words(child=False) == "Water for your tube"
    assert found["water.when.feed"].words(child=True).endswith("of your child: {water_before_feed}")
    assert found["water.when.why"].words(child=True) == "Water keeps the tube open."
    assert module.sections[0].words(child=True) == "When to flush"


def test_a_statement_holds_only_where_its_section_and_module_do(small: Library) -> None:
    module = small.modules[0]
    found = {s.id: (section, s) for section, s in module.statements()}
    push = condition_of(module, *found["water.how.push"])
    assert push.ask({"fed_by_tube": "false"}) is Answer.FALSE
    assert push.ask({"fed_by_tube": "true"}) is Answer.TRUE
    assert str(condition_of(module, *found["water.when.why"])) == "always"


def test_prompts_and_skills(small: Library) -> None:
    module = small.modules[0]
    assert module.teach_back[0].listen_for == ("water.when.why", "water.when.feed")
    assert (module.teach_back[0].critical, module.teach_back[0].child_ask) == (True, None)
    assert module.show_back[0].section == "water.how"


def test_modules_come_by_order_then_id(tmp_path: Path) -> None:
    def module(name: str, order: int) -> str:
        return (
            MODULE.replace("water.", f"{name}.")
            .replace("id: water\norder: 10", f"id: {name}\norder: {order}")
            .replace("policy." + name + ".", "policy.")
            .replace(f"policy.{name}_", "policy.water_")
        )

    write_library(tmp_path, {"modules/b.yaml": module("b", 10), "modules/a.yaml": module("a", 20)})
    assert [m.id for m in load_library(tmp_path, VOCABULARY).modules] == ["b", "water", "a"]


@pytest.mark.parametrize("name", FILES)
def test_the_digest_follows_each_file(name: str, tmp_path: Path) -> None:
    before = load_library(write_library(tmp_path), VOCABULARY).digest
    write_library(tmp_path, {name: FILES[name] + "# a comment\n"})
    assert load_library(tmp_path, VOCABULARY).digest != before


def test_every_fault_of_every_file_is_reported_at_once(tmp_path: Path) -> None:
    broken = {
        "modules/water.yaml": MODULE.replace("status: draft", "status: done"),
        "rules/safety-rules.yaml": FILES["rules/safety-rules.yaml"].replace("stop", "halt"),
    }
    with pytest.raises(ContentError) as error:
        load_library(write_library(tmp_path, broken), VOCABULARY)
    found = [(fault.file, fault.line > 0) for fault in error.value.faults]
    assert found == [("modules/water.yaml", True), ("rules/safety-rules.yaml", True)]


def test_a_folder_without_modules_is_no_library(tmp_path: Path) -> None:
    write_library(tmp_path)
    (tmp_path / "modules" / "water.yaml").unlink()
    with pytest.raises(ContentError, match="has no modules"):
        load_library(tmp_path, VOCABULARY)


def test_an_empty_folder_names_each_file_it_lacks(tmp_path: Path) -> None:
    with pytest.raises(ContentError) as error:
        load_library(tmp_path, VOCABULARY)
    assert {fault.file for fault in error.value.faults} == {
        "acts.yaml", "pages.yaml", "phrases.yaml", "rules/medicine-words.yaml",
        "rules/medicines.yaml", "sources/bibliography.yaml", "sources/facts.yaml",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "slots"),
    [
        ("no slot", ()),
        ("{a_b} and {c}, then {a_b}", ("a_b", "c")),
        ("{A} {1} { a }", ()),
    ],
)
def test_slots_in_a_text(text: str, slots: tuple[str, ...]) -> None:
    assert slots_in(text) == slots


@pytest.mark.parametrize(
    ("name", "known"),
    [("clog-rate", True), ("policy.fever", True), ("policy.nothing", False), ("somebody", False)],
)
def test_a_source_is_a_fact_row_or_a_setting(name: str, known: bool, small: Library) -> None:
    assert source_known(name, small.claims) is known


def test_every_block_that_content_may_ask_for_is_made() -> None:
    assert set(BLOCKS) == set(TABLE_MAKERS)


def test_the_shipped_library_claims_no_review() -> None:
    assert {module.status for module in library().modules} == {"draft"}


def test_slots_of_shipped_words_are_in_the_vocabulary() -> None:
    texts = [s.text for m in library().modules for _, s in m.statements() if s.kind != "block"]
    used = {slot for text in texts for slot in slots_in(text) if page_pointed_to(slot) is None}
    assert used
    assert used <= set(SLOTS)
