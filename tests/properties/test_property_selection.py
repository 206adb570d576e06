"""Every patient gets exactly the statements whose conditions hold, each with its values.

The conditions are read here from the module files and answered by a few lines of our own.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

import yaml
from builders import ROOT, library
from hypothesis import given
from strategies import Made, few, patients

from plainleaf.facts import FACTS

Raw = dict[str, Any]


@cache
def modules() -> tuple[Raw, ...]:
    """The module files as they are written, every value a text."""
    found = []
    for path in sorted((ROOT / "teaching" / "modules").glob("*.yaml")):
        found.append(yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader))
    return tuple(found)


def holds(condition: Any, answers: Mapping[str, str | None]) -> bool:
    """Whether a condition as it is written holds for known answers."""
    if condition == "always":
        return True
    parts = []
    for key, value in condition.items():
        if key == "all":
            parts.append(all(holds(part, answers) for part in value))
        elif key == "any":
            parts.append(any(holds(part, answers) for part in value))
        elif key == "not":
            parts.append(not holds(value, answers))
        elif isinstance(value, dict):
            parts.append(answers[key] in value["one_of"])
        else:
            parts.append(answers[key] == value)
    return all(parts)


def _open(answers: Mapping[str, str | None]) -> Iterator[tuple[Raw, Raw]]:
    """Module and section of what a patient may get."""
    for module in modules():
        if module.get("status") == "retired" or not holds(module.get("when", "always"), answers):
            continue
        for section in module["sections"]:
            if holds(section.get("when", "always"), answers):
                yield module, section


def _wanted(answers: Mapping[str, str | None]) -> Iterator[tuple[Raw, Raw, Raw]]:
    """Module, section and item of every statement that a patient must get.

    A line of the finder stands where one of the sections is open that it leads to.
    """
    there = {section["id"] for _, section in _open(answers)}
    for module, section in _open(answers):
        for item in section["items"]:
            led = "leads_to" not in item or there & set(item["leads_to"])
            if led and holds(item.get("when", "always"), answers):
                yield module, section, item


def _selected(made: Made) -> set[str]:
    return {
        statement.id
        for module in made.selection.modules
        for section in module.sections
        for statement in section.statements
    }


def test_the_drawn_patients_are_of_all_kinds() -> None:
    asked = ("tube_kind", "build", "held_by", "opening_stage", "eats", "age_group", "flush_by",
             "pump_pattern", "tube_replaced", "syringe_feeds", "gravity_feeds", "blended",
             "closed_formula", "powder_formula", "medicines_by_tube", "resting_port", "child",
             "insulin", "weak_immunity", "visits_planned")  # fmt: skip
    met: dict[str, set[str | None]] = defaultdict(set)

    @few(60)
    @given(patients())
    def draw(made: Made) -> None:
        for name in asked:
            met[name].add(made.facts.answers[name])

    draw()
    for name in asked:
        assert met[name] == set(FACTS[name].answers), name


@few(45)
@given(patients())
def test_selected_is_exactly_what_holds(made: Made) -> None:
    wanted = {item["id"] for _, _, item in _wanted(made.facts.answers)}
    assert _selected(made) == wanted
    assert {d.statement for d in made.selection.rulings if d.answer.value == "true"} == wanted
    for decision in made.selection.rulings:
        assert decision.answer is decision.condition.ask(decision.known), decision.statement


@few(45)
@given(patients())
def test_every_choice_comes_down_to_one(made: Made) -> None:
    counts: dict[tuple[str, str], int] = defaultdict(int)
    due = set()
    for module in modules():
        if not holds(module.get("when", "always"), made.facts.answers):
            continue
        for section in module["sections"]:
            open_here = holds(section.get("when", "always"), made.facts.answers)
            if "choice" in section:
                due.add((module["id"], section["choice"]))
                counts[module["id"], section["choice"]] += open_here
            due |= {
                (module["id"], i["choice"]) for i in section["items"] if open_here and "choice" in i
            }
    for module, _, item in _wanted(made.facts.answers):
        if "choice" in item:
            counts[module["id"], item["choice"]] += 1
    assert due
    assert {key: counts[key] for key in due} == dict.fromkeys(due, 1)
    assert made.selection.split_choices == ()


@few(40)
@given(patients())
def test_nothing_that_is_asked_is_unknown(made: Made) -> None:
    assert made.selection.unknown == ()


@few(45)
@given(patients())
def test_every_slot_has_a_value(made: Made) -> None:
    for module in made.filled.modules:
        for section in module.sections:
            for statement in section.statements:
                assert (statement.text is None) != (statement.block is None)
                if statement.text is not None:
                    slots = set(re.findall(r"\{([a-z_]+)\}", statement.text.text))
                    assert slots == {name for name, _ in statement.text.values}


@few(45)
@given(patients())
def test_no_slot_is_left_in_the_words(made: Made) -> None:
    for module in made.worded.modules:
        for section in module.sections:
            for statement in section.statements:
                if statement.words is not None:
                    assert not re.search(r"[{}]", str(statement.words))
                if statement.block is not None:
                    assert statement.block.rows
                    cells = [cell for row in statement.block.rows for cell in row]
                    assert not [line for cell in cells for line in cell if not str(line).strip()]


@few(45)
@given(patients())
def test_a_tube_with_one_port_names_no_other(made: Made) -> None:
    if len(made.patient.tube.ports) == 2:
        return
    other = {"gastric": "jejunal", "jejunal": "gastric"}[next(iter(made.patient.tube.ports))]
    names = [library().phrases[f"port-{port}"][0] for port in ("gastric", "jejunal")]
    forbidden = re.compile("|".join([*names, f"{other} port"]), re.I)
    for statement in made.worded.statements().values():
        said = [str(statement.words)] if statement.words is not None else []
        if statement.block is not None:
            said += [str(x) for row in statement.block.rows for cell in row for x in cell]
        for words in said:
            assert not forbidden.search(words), (statement.id, words)


@few(40)
@given(patients())
def test_questions_point_to_what_is_printed(made: Made) -> None:
    printed = set(made.worded.statements())
    for module in made.worded.modules:
        for prompt in module.prompts:
            assert set(prompt.listen_for) <= printed
        for skill in module.skills:
            assert skill.steps
            assert set(skill.steps) <= printed
