"""The examples of format 2 are decided as they stand, and print in the languages that are read."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from builders import ROOT, policy, teaching
from packets import printout

import plainleaf
from plainleaf.rules.decision import Decision

FILES = {path.stem: path for path in sorted((ROOT / "examples" / "orders").glob("*.yaml"))}
READ = {
    name: {reader["language"] for reader in data["learners"]} | {data["patient"]["language"], "en"}
    for name, path in FILES.items()
    for data in [yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)]
}
# What each is there to show → a word of the file.
SHOWS = {
    "draining-hospice": ("drainage:", "first_call: hospice", "orders:"),
    "infant-fortified": ("recipe:", "head_up_how: on a lap", "language: es"),
    "insulin-by-scale": ("scale:", "low_sugar:", "if_feeding_stops:"),
    "resting-bowel-tube": ("[resting]", "held_after_stitches:"),
}


def decided(path: Path, language: str | None = None) -> Decision:
    text = path.read_text(encoding="utf-8")
    return plainleaf.decide(text, teaching(), policy(), language=language, name=path.name)


def test_there_is_one_for_each_thing_that_format_1_cannot_say() -> None:
    assert set(FILES) == set(SHOWS)


@pytest.mark.parametrize("name", FILES)
def test_nothing_is_left_to_settle(name: str) -> None:
    decision = decided(FILES[name])
    assert [finding.id for finding in decision.findings if finding.blocks] == []
    assert all(line.right for line in decision.settled_lines)


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("name", "language"), [(name, tag) for name, tags in READ.items() for tag in sorted(tags)]
)
def test_it_prints_in_each_language_that_is_read(name: str, language: str, fonts: object) -> None:
    text = FILES[name].read_text(encoding="utf-8")
    assert printout(decided(FILES[name], language), text).faults == []


@pytest.mark.parametrize("name", FILES)
def test_the_readme_names_it(name: str) -> None:
    assert f"`examples/orders/{name}.yaml`" in (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", FILES)
def test_it_shows_what_it_is_there_for(name: str) -> None:
    text = FILES[name].read_text(encoding="utf-8")
    assert all(word in text for word in SHOWS[name])
