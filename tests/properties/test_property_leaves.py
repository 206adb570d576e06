"""Typed means printed: another value of any leaf of any example is refused, stops, or is read.

Each leaf of each example is changed in several ways; the words of every paper are held against
those of the file as it stands. Where the file is not refused and nothing stops, somebody must read
other words, and each place that the table of keys names must show some of the changes.
"""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest
import yaml
from builders import EXAMPLES, ROOT, _words, policy, teaching
from format_2 import NAMES, data_with, with_codes
from leaves import Leaf, leaves, others
from packets import settled_text
from single_changes import changed
from unlaid import PARTS, Papers

from plainleaf.inputs.load_inputs import inputs_for
from plainleaf.inputs.patient import patient_from_text
from plainleaf.rules.decision import Decision, decide
from plainleaf.vocabulary.errors import PatientError

pytestmark = pytest.mark.thorough
# What a table of keys calls a place → the part of the papers that must show a change; every other
# place is a page of the handout.
PLACES = {
    "calendar": "calendar",
    "teach-back sheet": "sheet",
    "nurse's sheet": "sheet",
    "head of every page": "head",
}
# Keys that need not change a word, by name without numbers, each with the reason.
NOWHERE = {
    "format": "says how the file is read",
    "settled[].decided[].code": "binds a decision to what it was made about; it is written anew",
    "medicines[].gloves": "what was decided of the medicine says the same",
    "orders[].say.es": "stands on the Spanish pages; here the English ones are read",
    "orders[].say.ar": "stands on the Arabic pages; here the English ones are read",
}
# Of format 1, whose packets stay as they are.
NOWHERE_IN_FORMAT_1 = {
    "patient.height": "goes to the record system alone; format 2 prints it on the sheet",
    "patient.weight": "is asked by the checks alone; format 2 prints it on the sheet",
    "tube.placed_by": "a rule asks for it; format 2 prints it on the sheet",
}
# Values of which two say the same, with the reason.
SAME: dict[str, tuple[frozenset[str], str]] = {
    "formulas.milk-27.system": (
        frozenset(("recipe", "powder")), "with a recipe both are mixed and kept as it says",
    ),
}  # fmt: skip
# From these dates on something is allowed, or comes again: one past date says the same as another.
ALLOWED_FROM = (
    "dates.bath_from", "dates.swim_from", "dates.shower_from", "dates.eat_from", "visits[].from",
)  # fmt: skip
# Key and place of which no change need show there, with the reason.
ELSEWHERE: dict[tuple[str, str], str] = {
    ("patient.born", "head of every page"): "its title says only whether it is for a child",
    ("medicines[].steps[].dose", "calendar"): "no reminder of the step that holds already",
    ("watch[].days[]", "calendar"): "what is measured on days of the week stands in the day's plan",
}


def _decide(data: Any) -> Decision | None:
    """What follows from a file, with the codes of its decisions written anew; None: refused."""
    try:
        decision = _decided(data)
        if any(not line.right for line in decision.settled_lines):
            decision = _decided(_with_codes_of(data, decision))
    except PatientError:
        return None
    return decision


def _decided(data: Any) -> Decision:
    text = yaml.dump(_words(data), Dumper=yaml.CSafeDumper, allow_unicode=True, sort_keys=False)
    patient = patient_from_text(text, "patient.yaml", policy().named)
    return decide(inputs_for(patient, policy(), teaching(), "en"))


def _with_codes_of(data: Any, decision: Decision) -> Any:
    new, lines = deepcopy(data), iter(decision.settled_lines)
    for line in (line for block in new["settled"] for line in block["decided"]):
        code = next(lines).code
        line.update({} if code is None else {"code": code})
    return new


def _stops(decision: Decision) -> bool:
    return any(finding.blocks for finding in decision.findings)


class Change:
    """One leaf of a file and the changes that were not refused and that nothing stopped."""

    def __init__(self, leaf: Leaf, before: Papers) -> None:
        self.leaf, self.before = leaf, before
        named = [place for place in _named(leaf) if (leaf.pattern, place) not in ELSEWHERE]
        self.wanted = {place: PLACES[place] for place in named if place in PLACES}
        self.tried = False

    def try_value(self, data: Any, value: Any) -> str | None:
        """What is wrong with the papers of a file with this value, or None."""
        decision = _decide(changed(data, self.leaf.place, value))
        if decision is None or _stops(decision):
            return None
        self.tried = True
        after, differs = Papers(decision), False
        parts = (*self.wanted.values(), *self.before.topics, *after.topics, *PARTS)
        for part in dict.fromkeys(parts):
            if differs and not self.wanted:
                break
            if self.before.says(part) != after.says(part):
                differs = True
                self.wanted = {n: p for n, p in self.wanted.items() if part != p}
        return None if differs else f"{self.leaf.key}: {self.leaf.value} → {value} changes no word"


def _named(leaf: Leaf) -> list[str]:
    return [place.strip() for place in leaf.changes.split(",")]


def _faults(data: Any) -> Iterator[str]:
    """What is typed and not read, of one file."""
    decision = _decide(data)
    assert decision is not None and not _stops(decision)
    before = Papers(decision)
    nowhere = NOWHERE if "format" in data else NOWHERE_IN_FORMAT_1
    for leaf in leaves(data):
        if leaf.pattern in nowhere:
            continue
        change = Change(leaf, before)
        values = (value for value in others(leaf) if not _same(leaf, value, data))
        wrong = [fault for value in values if (fault := change.try_value(data, value))]
        yield from wrong
        if change.tried and not wrong and change.wanted:
            yield f"{leaf.key}: no change of {leaf.value} shows in: {', '.join(change.wanted)}"


def _same(leaf: Leaf, value: Any, data: Any) -> bool:
    """Whether a value says what stood there."""
    if leaf.pattern in SAME:
        return {leaf.value, value} <= SAME[leaf.pattern][0]
    if leaf.pattern in ALLOWED_FROM:
        now = data["prepared"]["at" if "format" in data else "on"]
        return max(leaf.value, value)[:10] <= now[:10]
    return False


@pytest.mark.parametrize("name", NAMES)
def test_what_is_typed_in_a_file_of_format_2_is_read(name: str) -> None:
    assert list(_faults(with_codes(data_with(base=name)))) == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_typed_in_an_example_is_read(name: str) -> None:
    text = (ROOT / "examples" / f"{name}.yaml").read_text(encoding="utf-8")
    data = yaml.load(text, Loader=yaml.BaseLoader)
    if "format" in data:
        data = with_codes(data)
    else:
        data = yaml.load(settled_text(base=name), Loader=yaml.BaseLoader)
    assert list(_faults(data)) == []


def test_the_places_are_those_that_the_tables_name() -> None:
    """So that a place that is renamed is not left out in silence."""
    named = {place for data in _all_data() for leaf in leaves(data) for place in _named(leaf)}
    assert set(PLACES) <= named


def _all_data() -> Iterator[Any]:
    yield from (data_with(base=name) for name in NAMES)
    for name in EXAMPLES:
        text = (ROOT / "examples" / f"{name}.yaml").read_text(encoding="utf-8")
        yield yaml.load(text, Loader=yaml.BaseLoader)
