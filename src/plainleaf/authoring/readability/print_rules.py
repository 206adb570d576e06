"""The print rules of doses, numbers, dates and phones (DS-01 to DS-19) over rendered text.

They hold in every language. A hit that lies wholly inside words copied from the patient file (a
name, a plan) is a note: those words print as they were written, and a person looks at them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from plainleaf.authoring.readability.pieces import Piece, Printed, Remark, handout, sheet

_UNIT = "mL|L|mg|mcg|g|kg|oz|lb|kcal|Fr|cm|mm|units"
# Only with a number near, else `ac`, `od` or `hs` would hit ordinary words and names (DS-09).
_SHORT = "QD|QOD|BID|TID|QID|qd|qod|bid|tid|qid|q[0-9]+h|HS|hs|PRN|prn|PO|po|NPO|AC|PC|ac|pc|OD|od"
_SPOON = "teaspoons?|tablespoons?|tsps?|tbsps?|ounces?|oz"
# A cup with a number is a measure; "a cup" alone is a thing to hold water.
_MEASURE = rf"{_SPOON}|cups?"


@dataclass(frozen=True)
class PrintRule:
    """One rule: a hit of `wrong` is a violation unless it touches only `allowed` kinds of value.

    `unless`: a pattern that, found in the same piece of text, makes the hit right.
    """

    id: str
    says: str
    wrong: re.Pattern[str]
    allowed: frozenset[str] = frozenset()
    unless: re.Pattern[str] | None = None


def _rule(identity: str, says: str, wrong: str, *allowed: str, unless: str = "") -> PrintRule:
    excuse = re.compile(unless) if unless else None
    return PrintRule(identity, says, re.compile(wrong), frozenset(allowed), excuse)


RULES = (
    _rule("DS-01", "no trailing zero after a decimal point", r"\d+\.\d*0(?!\d)", "size"),
    _rule("DS-02", "a leading zero below one", r"(?<![\d.])\.\d"),
    _rule("DS-03", "mL, and no other way to write it", r"(?<![^\W_])(?:cc|ml|ML|Ml|mLs|mls|MLs)\b"),
    _rule("DS-04", "a capital L for litre", r"\d\s*l\b"),
    _rule("DS-05", "a space that does not break before the unit", rf"\d(?:{_UNIT}|hours?|h)\b"),
    _rule("DS-05", "a space that does not break before the unit", rf"\d [ \t\n]*(?:{_UNIT})\b"),
    _rule("DS-06", "no full stop after a unit", rf"\d\s*(?:{_UNIT})\.(?=\s+[a-z])"),
    _rule("DS-07", "a group mark from 1,000", r"(?<![\d,.])\d{4,}\s*(?:mL|units|kcal|mg|mcg|g)\b"),
    _rule("DS-08", "'units' written out", r"\b\d[\d,]*\s*(?:U|u|IU|iu)\b"),
    _rule(
        "DS-09",
        "how often in words, without short forms",
        rf"\b(?:PRN|NPO|QOD|BID|TID|QID)\b|\d\s*\w*\s+(?:{_SHORT})\b|\b(?:{_SHORT})\s+\d",
    ),
    _rule("DS-10", "mcg for micrograms", "[µμ]g"),
    _rule("DS-11", "no fraction with a slash", r"(?<!\d)\d/\d(?!\d)"),
    _rule("DS-12", "no Roman numerals", r"\b[IVX]{2,}\s+(?:mL|mg|tablets?|drops?|units)\b"),
    _rule(
        "DS-13",
        "words in place of the symbols > < @ & + / °",
        r"[<>@&+/]",
        "phone",
        # As the meter shows it.
        "blood-sugar",
    ),
    _rule("DS-13", "words in place of the symbols > < @ & + / °", "°", "temperature"),
    _rule("DS-14", "a space between a name and its strength", r"[A-Za-z]\d+\s*(?:mg|mcg)\b"),
    _rule(
        "DS-15",
        "a household measure only beside mL",
        rf"(?:\d|\bhalf an?|\bquarter)\s(?:{_MEASURE})\b|\b(?:an?|one|two)\s(?:{_SPOON})\b",
        unless=r"\d\s?mL",
    ),
    _rule("DS-16", "noon and midnight in words", r"\b12(?::00)?\s*[ap]\.?m\b"),
    _rule("DS-17", "a date with the month in words", r"\d{1,2}/\d{1,2}|\b\d{4}-\d\d-\d\d\b"),
    _rule("DS-18", "times of twelve hours for the family", r"\b(?:1[3-9]|2[0-3]|0\d):[0-5]\d\b"),
    _rule("DS-19", "a time span in words", r"\b0:\d\d\b"),
    _rule("PM-06", "no percent, ratio or fraction to work out", r"%|\b\d+:\d(?!\d)|[½¼¾⅓⅔]"),
)  # fmt: skip


@dataclass(frozen=True)
class Hit:
    """One violation: the rule, what stands there, and whether it is the patient file's words."""

    rule: PrintRule
    found: str
    copied: bool


@lru_cache(maxsize=50_000)
def violations(runs: tuple[tuple[str, str], ...]) -> tuple[Hit, ...]:
    """All violations in one piece of text.

    Args:
        runs: (text, kind of merged value or nothing), in order.

    >>> [hit.rule.id for hit in violations((("Give .5 ml", ""),))]
    ['DS-02', 'DS-03']
    """
    return tuple(_violations(runs))


def _violations(runs: tuple[tuple[str, str], ...]) -> Iterator[Hit]:
    text = "".join(part for part, _ in runs)
    kinds = [kind for part, kind in runs for _ in part]
    for rule in RULES:
        if rule.unless and rule.unless.search(text.replace("\u00a0", " ")):
            continue
        for match in rule.wrong.finditer(text):
            touched = set(kinds[match.start() : match.end()])
            if not touched <= rule.allowed:
                yield Hit(rule, match[0], touched <= {"text"} | rule.allowed)


def _piece_remarks(piece: Piece, name: str) -> Iterator[Remark]:
    for hit in violations(tuple((run.text, run.kind) for run in piece.words.runs)):
        level = "note" if hit.copied else "fault"
        origin = " (words of the patient file)" if hit.copied else ""
        says = f"'{hit.found}' in \"{piece.words.plain}\"{origin}: {hit.rule.says}."
        yield Remark(level, hit.rule.id, piece.where, says, name)


def print_remarks(printed: Printed) -> list[Remark]:
    """Every violation in what the family reads and the nurse says, with its statement."""
    pieces = (*handout(printed), *sheet(printed))
    return [remark for piece in pieces for remark in _piece_remarks(piece, printed.name)]
