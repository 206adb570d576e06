"""Starter files: each is refused until every blank is filled in, and loads after that."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from builders import facts_with, policy

from plainleaf.inputs.patient import Patient, load_patient, read_patient
from plainleaf.inputs.starter import starter
from plainleaf.inputs.strict_yaml import parse
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.errors import PatientError

# What a nurse could write for each blank; the rest take the first word that the blank offers.
WRITES = {
    "<[] for none, or a list>": "[PICC]",
    '<list of times, as in ["08:00"]>': '["08:00"]',
    "<times>": "as needed",
    "<hour:minute>": "18:00",
    "<time with h>": "12 h",
    "<year-month-day>": "1960-02-03",
    "<year-month-day hour:minute>": "2026-03-04 10:00",
    "<weight with kg or lb>": "70 kg",
    "<size with Fr>": "14 Fr",
    "<mark with cm>": "3 cm",
    "<0 or how many>": "0",
    "<energy with kcal/mL>": "1 kcal/mL",
    "<water with %>": "84 %",
    "<size with mL>": "237 mL",
    "<amount with mL>": "60 mL",
    "<rate with mL/h>": "75 mL/h",
    "<dose with unit>": "5 mL",
    "<number>": "555 0100",
    # of format 2
    "<language tag>": "en",
    "<balloon, bumper or stitches>": "bumper",
    "<balloon or bumper>": "bumper",
    "<time span with h>": "12 h",
    "<weight with kg>": "70 kg",
    "<list of words, as in [tastes]>": "[tastes]",
    "<list of home, alone, group-home, hospice>": "[home]",
    "<relation>": "mother",
    "<tube size with Fr>": "14 Fr",
    "<name of the formulary, or a block>": "standard-15",
    "<amount with mL, or cartons>": "237 mL",
    "<form>": "liquid",
    "<name of the directory, or a block>": "tube-clinic",
    "<name and credential>": "B. Quist, MD",
}
BLANK = re.compile("<[^<>\n]+>")
COMMENT = re.compile(r"(?m)^\s*#.*$|\s#\s.*$")


def bare(kind: str, written: int = 1) -> str:
    """A starter without its comments."""
    return COMMENT.sub("", starter(kind, written))


def filled(text: str, but: int | None = None) -> str:
    """All blanks filled in, but one by its place."""
    places = iter(range(len(BLANK.findall(text))))

    def write(blank: re.Match[str]) -> str:
        if next(places) == but:
            return blank[0]
        first_word = re.split(r"[ ,]", blank[0].strip("<>"))[0]
        return WRITES.get(blank[0], first_word)

    return BLANK.sub(write, text)


@pytest.fixture(name="load")
def _load(tmp_path: Path) -> Callable[[str], Patient]:
    def load(text: str) -> Patient:
        (tmp_path / "start.yaml").write_text(text, encoding="utf-8")
        return load_patient(tmp_path / "start.yaml")

    return load


@pytest.mark.parametrize("kind", terms.TUBE_KINDS)
def test_it_loads_once_every_blank_is_filled_in(kind: str, load: Callable[[str], Patient]) -> None:
    patient = load(filled(bare(kind)))
    assert patient.tube.kind == kind
    assert tuple(patient.tube.ports) == terms.PORTS_OF_KIND[kind]
    assert {feed.through for feed in patient.feeding} <= set(patient.tube.ports)
    assert {medicine.through for medicine in patient.medicines} <= set(patient.tube.ports)


@pytest.mark.parametrize("kind", terms.TUBE_KINDS)
def test_it_loads_with_its_comments_too(kind: str, load: Callable[[str], Patient]) -> None:
    text = "\n".join(
        line if line.lstrip().startswith("#") else filled_line
        for line, filled_line in zip(starter(kind).splitlines(), _line_by_line(kind), strict=True)
    )
    assert load(text).tube.kind == kind


def _line_by_line(kind: str) -> list[str]:
    return [filled(line) for line in starter(kind).splitlines()]


@pytest.mark.parametrize("kind", terms.TUBE_KINDS)
def test_each_blank_that_is_forgotten_is_refused_with_its_line(
    kind: str, load: Callable[[str], Patient]
) -> None:
    text = bare(kind)
    blanks = list(BLANK.finditer(text))
    assert len(blanks) > 30
    for number, blank in enumerate(blanks):
        line = text.count("\n", 0, blank.start()) + 1
        with pytest.raises(PatientError) as error:
            load(filled(text, but=number))
        assert line in {fault.line for fault in error.value.faults}, blank[0]


@pytest.mark.parametrize("kind", terms.TUBE_KINDS)
def test_as_printed_it_is_refused(kind: str, load: Callable[[str], Patient]) -> None:
    with pytest.raises(PatientError, match="still a blank"):
        load(starter(kind))


@pytest.mark.parametrize("kind", terms.TUBE_KINDS)
def test_it_holds_no_order_that_nobody_wrote(kind: str) -> None:
    """No amount, date or clock time outside a comment."""
    without = BLANK.sub("", bare(kind))
    assert not re.search(r"[0-9]+(\.[0-9]+)? (mL|h|min|Fr|cm|kg)\b|[0-9]{2}:[0-9]{2}", without)


def test_its_conditions_are_all_that_there_are() -> None:
    assert f"# any of: {', '.join(terms.CONDITIONS)}" in starter("gastrostomy")


def test_only_a_pump_is_offered_into_the_bowel() -> None:
    for kind, method in (("jejunostomy", "pump"), ("gastrojejunostomy", "pump")):
        assert f"- method: {method}" in starter(kind)
    assert "- method: <syringe or gravity>" in starter("gastrostomy")


def test_other_lines_are_asked_for_and_never_said_to_be_none() -> None:
    assert "other_lines: []" not in starter("gastrostomy")
    assert facts_with().answers["other_lines"] is None


@pytest.mark.parametrize("kind", terms.TUBE_KINDS)
def test_a_starter_of_format_2_loads_when_it_is_filled_in(kind: str) -> None:
    text = filled(bare(kind, 2))
    assert "format: 2" in text
    patient = read_patient(parse(text, "patient.yaml"), policy().named)
    assert patient.format == 2 and patient.tube.kind == kind


@pytest.mark.parametrize("kind", terms.TUBE_KINDS)
def test_a_blank_of_format_2_that_was_forgotten_is_refused(kind: str) -> None:
    text = bare(kind, 2)
    for number in range(len(BLANK.findall(text))):
        with pytest.raises(PatientError, match="still a blank"):
            read_patient(parse(filled(text, but=number), "patient.yaml"), policy().named)
