"""What single modules print for a file of format 2, in English and without a layout."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache

import yaml
from builders import _words, policy
from format_2 import Data

import plainleaf
from plainleaf.compose.fill import FilledStatement, filler_of
from plainleaf.compose.fill.source import SlotSource
from plainleaf.compose.word.wording import Wording
from plainleaf.rules.decision import Decision


@cache
def _teaching() -> plainleaf.Teaching:
    return plainleaf.open_teaching()


def decision_of(data: Data) -> Decision:
    """What is decided on a file as data."""
    text = yaml.safe_dump(_words(data), allow_unicode=True, sort_keys=False)
    return plainleaf.decide(text, _teaching(), policy(), name="patient.yaml")


def words_of(data: Data, *modules: str) -> Mapping[str, str]:
    """Statement of some modules → what it prints; rows of a table are lines."""
    decision = decision_of(data)
    filler = filler_of(SlotSource(decision.patient, decision.facts), decision.selection)
    wording = Wording(decision.library, decision.inputs.teaching.catalogs["en"])
    return {
        statement.id: "\n".join(_lines(filler.statement(statement), wording))
        for chosen in decision.selection.modules
        if chosen.module.id in modules
        for section in chosen.sections
        for statement in section.statements
    }


def _lines(filled: FilledStatement, wording: Wording) -> Iterator[str]:
    if filled.block is not None:
        for row in filled.block.rows:
            cells = ("; ".join(str(wording.value(line)) for line in cell) for cell in row)
            yield " | ".join(cells).replace("\u00a0", " ")
    if filled.text is not None:
        yield str(wording.text(filled.text)).replace("\u00a0", " ")
    if filled.picture is not None:
        for name, lines in filled.picture.labels:
            yield f"{name}: {'; '.join(str(wording.value(line)) for line in lines)}"
