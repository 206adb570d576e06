"""PEMAT-P, restated: the part that a program can check (items PM-01 to PM-26).

Understandability and actionability are scored apart and never averaged (PM-S2). Only the items
of PM-S3 may be not applicable; 13 and 14 exist for film only.
"""

from __future__ import annotations

import re

from plainleaf.authoring.readability.checklist import (
    Item,
    Rating,
    Result,
    met,
    not_applicable,
    not_failed,
    person,
    rate,
)
from plainleaf.authoring.readability.counters import sentences
from plainleaf.authoring.readability.packet_view import Look, command
from plainleaf.authoring.readability.pieces import HEADLESS, Remark
from plainleaf.authoring.readability.print_rules import violations
from plainleaf.vocabulary.terms import LONGEST_LIST

U, A = "understandability", "actionability"
LONGEST_SECTION = 150
MOST_COLUMNS, LONGEST_HEAD = 4, 4
LEAST_ACTIVE = 80
# More commands than this are no single step.
MOST_COMMANDS = 3
ITEMS = (
    Item("PM-01", U, "the title says what it is for"),
    Item("PM-02", U, "nothing pulls away from the purpose"),
    Item("PM-03", U, "everyday words"),
    Item("PM-04", U, "medical words explained"),
    Item("PM-05", U, "active voice"),
    Item("PM-06", U, "clear numbers", optional=True),
    Item("PM-07", U, "nothing to calculate"),
    Item("PM-08", U, "short sections", optional=True),
    Item("PM-09", U, "telling headings", optional=True),
    Item("PM-10", U, "an order that makes sense"),
    Item("PM-11", U, "a summary", optional=True),
    Item("PM-12", U, "visual cues at key points"),
    Item("PM-15", U, "a picture wherever it helps"),
    Item("PM-16", U, "pictures support the text", optional=True),
    Item("PM-17", U, "pictures have captions", optional=True),
    Item("PM-18", U, "clear pictures", optional=True),
    Item("PM-19", U, "simple tables with short headings", optional=True),
    Item("PM-20", A, "at least one thing to do"),
    Item("PM-21", A, "speaks to the reader"),
    Item("PM-22", A, "explicit single steps"),
    Item("PM-23", A, "a tool to act with"),
    Item("PM-24", A, "shows how to calculate", optional=True),
    Item("PM-25", A, "says how to use each table", optional=True),
    Item("PM-26", A, "a picture wherever it helps to act"),
)
_VAGUE = re.compile(r"^(about your care|information|instructions|your care|general)$", re.I)
_EMPTY_HEADING = re.compile(r"^(introduction|general|other|others|notes?|more|information)$", re.I)
CALCULATE = (
    r"\bper (?:kg|kilogram|pound)|\b(?:divide|subtract|multiply|work out|calculate|add up)\b"
)


def _title(look: Look) -> Result:
    titles = [page.title.plain for page in look.printed.packet.pages]
    vague = [title for title in titles if _VAGUE.match(title)]
    return not_failed(not vague, "no title is on the list of vague ones", vague)


def _terms(look: Look) -> Result:
    missing = [f"{use.where}: {use.term.id}" for use in look.firsts if not use.explained]
    checked = f"the {len(look.firsts)} glossary terms that print are explained"
    return not_failed(not missing, checked, missing)


def _active(look: Look) -> Result:
    share = 100 - 100 * len(look.passives) / max(1, len(look.sentences))
    checked = f"{share:.0f} % of {len(look.sentences)} sentences are active; {LEAST_ACTIVE} needed"
    return not_failed(share >= LEAST_ACTIVE, checked, look.passives)


def _numbers(look: Look) -> Result:
    numbers = [
        f"{piece.where}: {hit.found}"
        for piece in look.pieces
        for hit in violations(tuple((run.text, run.kind) for run in piece.words.runs))
        if hit.rule.id in ("PM-06", "DS-11") and not hit.copied
    ]
    return not_failed(not numbers, "no percent, ratio or fraction", numbers)


def _calculate(look: Look) -> Result:
    sums = look.matches(CALCULATE)
    return met(not sums, "no sentence asks to calculate; totals and end times are printed", sums)


def _short(look: Look) -> Result:
    long_parts = look.long_sections(LONGEST_SECTION) + look.long_lists(LONGEST_LIST)
    limits = f"at most {LONGEST_SECTION} words a section and {LONGEST_LIST} items a list"
    return met(not long_parts, limits, long_parts)


def _headings(look: Look) -> Result:
    empty = [s.id for s in look.sections if _EMPTY_HEADING.match(s.heading.plain)]
    return not_failed(not empty, "every section has a heading that is no empty word", empty)


def _summary(look: Look) -> Result:
    calls = [s for s in look.first.statements if s.kind == "call_now"]
    return met(bool(calls), "the first section sums up when to get help")


def _cues(look: Look) -> Result:
    if not look.printed.html:
        return person("the pages were not laid out here")
    unmarked = look.unmarked()
    return met(not unmarked, "every call and warning has a badge or stands in a box", unmarked)


def _pictures_used(look: Look) -> Result:
    return person(f"{len(look.pictures)} pictures; a person decides whether one is missing")


def _pictures_seen(look: Look) -> Result:
    if not look.pictures:
        return not_applicable("no pictures")
    return person("look at each picture", [picture.id for picture in look.pictures])


def _captions(look: Look) -> Result:
    if not look.pictures:
        return not_applicable("no pictures")
    bare = [p.id for p in look.pictures if p.words is None or not p.words.plain.strip()]
    return met(not bare, f"each of {len(look.pictures)} pictures has a caption", bare)


def _tables(look: Look) -> Result:
    faults = []
    for section, block in look.blocks:
        if len(block.head) > MOST_COLUMNS:
            faults.append(f"{section.id}: {len(block.head)} columns")
        heads = [head.plain for head in block.head]
        faults += [f"{section.id}: '{h}'" for h in heads if len(h.split()) > LONGEST_HEAD]
    limits = f"at most {MOST_COLUMNS} columns, headings of at most {LONGEST_HEAD} words"
    return not_failed(not faults, f"{len(look.blocks)} tables: {limits}", faults)


def _to_do(look: Look) -> Result:
    steps = look.of_kind("step")
    return met(bool(steps), f"{len(steps)} steps")


def _reader(look: Look) -> Result:
    steps = look.of_kind("step")
    no_commands = [
        f"{s.id}: {s.words.plain}" for s in steps if s.words and not command(s.words.plain)
    ]
    return not_failed(
        not no_commands, f"each of {len(steps)} steps starts with its verb", no_commands
    )


def _steps(look: Look) -> Result:
    """A question that leads to a command is none by itself."""
    steps = [
        (s.id, [part for part in sentences(s.words.plain) if not part.endswith("?")])
        for s in look.of_kind("step")
        if s.words
    ]
    long = [
        f"{place}: {len(parts)} sentences" for place, parts in steps if len(parts) > MOST_COMMANDS
    ]
    lists = [name for name in look.long_lists(LONGEST_LIST) if "(step)" in name]
    look_at = [f"look at {w}: {' '.join(p)}" for w, p in steps if len(p) == MOST_COMMANDS]
    checked = f"at most {LONGEST_LIST} steps in a row, at most {MOST_COMMANDS} sentences a step"
    return not_failed(not long + lists, checked, long + lists or look_at)


def _tool(look: Look) -> Result:
    names = {block.name for _, block in look.blocks}
    tools = sorted(names & {"day_schedule", "day_log", "flush_table", "feed_table"})
    return met("day_log" in names, f"tables to act with: {', '.join(tools) or 'none'}")


def _how_to_use(look: Look) -> Result:
    """How a table is used stands beside it, or after the colon of its heading."""
    tables = [section for section, block in look.blocks if block.look not in HEADLESS]
    if not tables:
        return not_applicable("no tables")
    bare = [
        section.id
        for section in tables
        if ": " not in section.heading.plain
        and not any(s.kind in ("say", "point", "step") for s in section.statements)
    ]
    return met(not bare, f"each of {len(tables)} tables has a line on how to use it", bare)


def _checks(look: Look) -> dict[str, Result]:
    calculation = _calculate(look)
    shown = not_applicable("nothing to calculate")
    return {
        "PM-01": _title(look),
        "PM-02": person("every section is chosen by this patient's orders"),
        "PM-03": person("long words that are no glossary term", look.hard_words()),
        "PM-04": _terms(look),
        "PM-05": _active(look),
        "PM-06": _numbers(look),
        "PM-07": calculation,
        "PM-08": _short(look),
        "PM-09": _headings(look),
        "PM-10": person("topics follow their order numbers, steps are numbered"),
        "PM-11": _summary(look),
        "PM-12": _cues(look),
        "PM-15": _pictures_used(look),
        "PM-16": _pictures_seen(look),
        "PM-17": _captions(look),
        "PM-18": _pictures_seen(look),
        "PM-19": _tables(look),
        "PM-20": _to_do(look),
        "PM-21": _reader(look),
        "PM-22": _steps(look),
        "PM-23": _tool(look),
        "PM-24": shown if calculation.verdict == "agree" else person("shown how?"),
        "PM-25": _how_to_use(look),
        "PM-26": _pictures_used(look),
    }


def pemat(look: Look) -> Rating:
    """The checklist filled in as far as a program can."""
    return rate("PEMAT-P", ITEMS, _checks(look))


def failed(rating: Rating, name: str, *, passed_over: str, notes: str = "") -> list[Remark]:
    """A remark for each place at which the program fails an item.

    Args:
        passed_over: An item whose failures are remarked on elsewhere.
        notes: An item whose failure is a note.
    """
    return [
        Remark("note" if item.id == notes else "fault", item.id, item.says, place, name)
        for item, result in rating.results.items()
        if result.verdict == "disagree" and item.id != passed_over
        for place in result.found or (result.checked,)
    ]


def pemat_remarks(rating: Rating, name: str) -> list[Remark]:
    """What fails; terms have remarks of their own."""
    return failed(rating, name, passed_over="PM-04")
