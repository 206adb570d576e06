"""What stands on one line: a number with its unit, an amount with its other unit, a call with 911.

No-break spaces go in here, when a text is worded, in every language (row LP-07 of the print
reference). A value that is too long for a narrow place may still break before its bracket.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from plainleaf.compose.word.bidi import without_isolates
from plainleaf.compose.word.numbers import NBSP
from plainleaf.compose.word.worded_packet import Run

# An amount of so many letters stands on one line of a text, and of so many in a cell of a table of
# three columns at 18 points.
LONGEST_KEPT, LONGEST_IN_CELL = 24, 14
# Kinds of value that hold one amount in two units.
TWO_UNITS = frozenset({"volume", "weight", "weight-exact", "temperature"})
# Kinds of value of several parts, each of them joined: a date up to month and day, a span of hours
# and minutes. A line may break between the parts.
_OF_PARTS = frozenset(
    {
        "date",
        "day",
        "moment",
        "moment-near",
        "day-of-year",
        "energy-density",
        "span",
        "interval",
    }
)
# Kinds that are words: names, and what was typed as an order in words.
_OF_WORDS = frozenset({"", "text", "said"})
# A number of so few digits, such as 911 or that of a page, stays with the word before it.
_SHORT_PHONE = 5
_NUMBER = r"\d[\d.,:/]*"
# A number and the word after it: its unit, or what is counted. What joins two things is no unit.
_WITH_UNIT = re.compile(rf"(?<![\w.,:/]){_NUMBER} (?=°?[^\W\d_]|%)")
# The bracket that gives an amount in another unit.
_IN_BRACKETS = re.compile(rf"({_NUMBER}{NBSP}°?[^\W\d_]+) (?=\([^()]*\d[^()]*\))")
# What is counted, after its number.
_COUNTED = re.compile(r" [^\W\d_]")
_JOINING = TWO_UNITS | {"phone", "count"}
_TAIL = re.compile(r"(?:(?<=\s)|^)(?P<short>\w{1,3}) $| $")


def together(text: str) -> str:
    """Plain words with what belongs together joined.

    >>> together("Do not lift more than 10 lb (4.5 kg) for 6 weeks.").replace(NBSP, "_")
    'Do not lift more than 10_lb_(4.5_kg) for 6_weeks.'
    """
    text = _WITH_UNIT.sub(lambda match: match[0][:-1] + NBSP, text)
    return _IN_BRACKETS.sub(
        lambda m: f"{m[1]}{NBSP}" if _bracketed(m) <= LONGEST_KEPT else m[0], text
    )


def _bracketed(match: re.Match[str]) -> int:
    """Letters of an amount with its bracket."""
    return match.string.index(")", match.end()) + 1 - match.start()


def joined(runs: Sequence[Run]) -> tuple[Run, ...]:
    """Runs of a text, its plain words joined already, with what belongs together joined."""
    if not _JOINING.isdisjoint(run.kind for run in runs):
        return tuple(_one(runs, place) for place in range(len(runs)))
    return tuple(runs)


def _one(runs: Sequence[Run], place: int) -> Run:
    """A run with its spaces where it meets the one before and the one after."""
    run, text = runs[place], runs[place].text
    if run.kind in TWO_UNITS and len(without_isolates(text)) <= LONGEST_KEPT:
        return replace(run, text=text.replace(" ", NBSP))
    if run.kind:
        return run
    after = runs[place + 1] if place + 1 < len(runs) else None
    if after is not None and after.kind in ("phone", "count") and len(after.text) <= _SHORT_PHONE:
        text = _with_next(text)
    if place and runs[place - 1].kind == "count" and _COUNTED.match(text):
        text = NBSP + text[1:]
    return replace(run, text=text)


def _with_next(text: str) -> str:
    """A text whose last word stays with what follows; before a short word, the one before too.

    >>> _with_next("Llame al ").replace(NBSP, "_"), _with_next("or call ").replace(NBSP, "_")
    ('Llame_al_', 'or call_')
    """
    match = _TAIL.search(text)
    if match is None:
        return text
    short = match["short"] or ""
    start = match.start()
    before = text[:start]
    if short and before.endswith(" "):
        before = before[:-1] + NBSP
    return f"{before}{short}{NBSP}"


def in_cell(run: Run) -> Run:
    """A value in a cell of a table: an amount that is long may break before its bracket, and a time
    of day between its words."""
    long, text = is_long(run), run.text
    if run.kind in TWO_UNITS:
        text = text.replace(f"{NBSP}(", " (") if long else text.replace(" (", f"{NBSP}(")
    elif run.kind == "clock-short" and long:
        text = text.replace(NBSP, " ")
    return run if text == run.text else replace(run, text=text)


def kept(run: Run) -> Sequence[str]:
    """The pieces of a run that stand on one line each: none of plain words.

    >>> kept(Run("2_hours 22_minutes".replace("_", NBSP), "span"))
    ['2\xa0hours', '22\xa0minutes']
    >>> kept(Run("Wash your hands")), kept(Run("18 Fr", "size"))
    ([], ['18 Fr'])
    """
    if run.kind in _OF_WORDS:
        return []
    torn = run.kind in _OF_PARTS or (run.kind in TWO_UNITS | {"clock-short"} and is_long(run))
    return run.text.split(" ") if torn else [run.text]


def unbroken(run: Run) -> bool:
    """Whether a value stands on one line wherever there is a line for it."""
    return kept(run) == [run.text] and len(without_isolates(run.text)) <= LONGEST_KEPT


def is_long(run: Run) -> bool:
    """Whether a value may be wider than a narrow cell."""
    return len(without_isolates(run.text)) > LONGEST_IN_CELL


def day_with_month(text: str, day: str, month: str) -> str:
    """A date whose day and month stay together, in whichever order they stand.

    >>> day_with_month("lunes 26 de marzo de 2026", "26", "marzo").replace(NBSP, "_")
    'lunes 26_de_marzo de_2026'
    """
    day, month = rf"(?<!\d){day}(?!\d)", re.escape(month)
    both = rf"{day}\D{{0,6}}{month}|{month}\D{{0,6}}{day}"
    text = re.sub(both, lambda m: m[0].replace(" ", NBSP), text)
    # What joins the year, as in Spanish, stays with it.
    return re.sub(r"(?<= \w\w) (?=\d{4}\b)", NBSP, text)
