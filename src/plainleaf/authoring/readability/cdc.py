"""The CDC Clear Communication Index, restated: the part that a program can check (CC-01 to CC-20).

One point an item; 90 of 100 passes and nothing is rounded up (CC-S2). Without a main message the
three items about it get none (CC-S3). Item 17 is reversed: having to calculate loses the point.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

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
from plainleaf.authoring.readability.packet_view import Look, command, passive
from plainleaf.authoring.readability.pemat import CALCULATE, LONGEST_SECTION, failed
from plainleaf.authoring.readability.pieces import Remark
from plainleaf.vocabulary.terms import LONGEST_LIST

INDEX = "index"
PASSES = 90.0
ITEMS = (
    Item("CC-01", INDEX, "one main message"),
    Item("CC-02", INDEX, "the main message comes first"),
    Item("CC-03", INDEX, "the main message stands out"),
    Item("CC-04", INDEX, "a picture carries the main message"),
    Item("CC-05", INDEX, "a call to action"),
    Item("CC-06", INDEX, "main message and call to action are active"),
    Item("CC-07", INDEX, "the reader's words, no unexplained short forms"),
    Item("CC-08", INDEX, "lists of at most seven"),
    Item("CC-09", INDEX, "chunks with headings"),
    Item("CC-10", INDEX, "the most important first"),
    Item("CC-11", INDEX, "says what is known and not known"),
    Item("CC-12", INDEX, "a behaviour is recommended"),
    Item("CC-13", INDEX, "says why it matters"),
    Item("CC-14", INDEX, "says how, when and whom to call"),
    Item("CC-15", INDEX, "familiar numbers"),
    Item("CC-16", INDEX, "says what each number means"),
    Item("CC-17", INDEX, "nothing to calculate"),
    Item("CC-18", INDEX, "says what the risk is"),
    Item("CC-19", INDEX, "risks and benefits of the behaviour", optional=True),
    Item("CC-20", INDEX, "chances in words or pictures", optional=True),
)
# Short forms that print: units of the devices, and clock halves.
_KNOWN_SHORT = frozenset({"mL", "oz", "cm", "Fr", "kg", "lb", "am", "pm", "F", "C", "I", "A"})
_SHORT_FORM = re.compile(r"\b[A-Z]{2,}\b|\b(?:[A-Za-z]\.){2,}")
_CHANCE = r"\b\d+ (?:in|out of) \d+\b|\bpercent\b|%"
# A warning says what not to do, then what can happen or what to do instead.
_LEAST_WARNING = 2


def _main(look: Look) -> tuple[str, ...]:
    """The sentences of the main message: the one paragraph of the first section."""
    messages = [s.words.plain for s in look.first.statements if s.kind == "say" and s.words]
    return sentences(messages[0]) if len(messages) == 1 else ()


def _main_items(look: Look) -> dict[str, Result]:
    main = _main(look)
    if not main:
        lost = met(False, "without one main message this counts as no")
        return dict.fromkeys(("CC-01", "CC-02", "CC-03", "CC-04"), lost)
    boxed = look.first.level is not None
    first_words = look.first.statements[0].kind == "say"
    opening = look.printed.packet.pages[0]
    first = {statement.id for section in opening.sections for statement in section.statements}
    captioned = [picture.id for picture in look.pictures if picture.id in first]
    shown = met(False, "page one has no picture")
    if captioned:
        shown = person("look at it", captioned)
    return {
        "CC-01": not_failed(1 <= len(main) <= 3, f'one paragraph: "{" ".join(main)}"'),
        "CC-02": met(first_words, "it opens the first section of page one"),
        "CC-03": met(boxed, "its section is boxed, with a symbol and a bold heading"),
        "CC-04": shown,
    }


def _active(look: Look) -> Result:
    calls = [s.words.plain for s in look.of_kind("step") if s.words][:1]
    both = (*_main(look), *(sentence for text in calls for sentence in sentences(text)))
    passives = [sentence for sentence in both if passive(sentence)]
    return not_failed(not passives, "no passive in either", passives)


def _short_forms(look: Look) -> Result:
    short_forms = [
        f"{piece.where}: {form}"
        for piece in look.pieces
        for run in piece.words.runs
        if run.kind != "text"
        for form in _SHORT_FORM.findall(run.text)
        if form not in _KNOWN_SHORT
    ]
    unexplained = [f"{use.where}: {use.term.id}" for use in look.firsts if not use.explained]
    checked = "no short form but the units; glossary terms explained"
    return not_failed(not short_forms and not unexplained, checked, short_forms + unexplained)


def _lists(look: Look) -> Result:
    long_lists = look.long_lists(LONGEST_LIST)
    return met(not long_lists, f"no unbroken list above {LONGEST_LIST} items", long_lists)


def _chunks(look: Look) -> Result:
    long_sections = look.long_sections(LONGEST_SECTION)
    return met(
        not long_sections,
        f"every section has a heading and at most {LONGEST_SECTION} words",
        long_sections,
    )


def _first_section(look: Look) -> Result:
    calls = [s.id for s in look.first.statements if s.kind == "call_now"]
    return not_failed(bool(calls), f"the first section names {len(calls)} emergencies")


def _whom(look: Look) -> Result:
    boxes = [block for _, block in look.blocks if block.look in ("contacts", "plan")]
    runs = [
        run for b in boxes for row in b.rows for cell in row for line in cell for run in line.runs
    ]
    # The number of an emergency stands in the head of its band.
    runs += look.first.heading.runs
    phones = [run.text for run in runs if run.kind == "phone"]
    lacking = [] if len(phones) >= 3 else [f"{len(phones)} phones in the lists of phones"]
    steps = [s for s in look.of_kind("step") if s.words and not command(s.words.plain)]
    lacking += [s.id for s in steps]
    return met(not lacking, f"{len(phones)} phones with their hours; steps say what to do", lacking)


def _warnings(look: Look) -> Result:
    bare = [
        f"{s.id}: {s.words.plain}"
        for s in look.of_kind("warn")
        if s.words and len(sentences(s.words.plain)) < _LEAST_WARNING
    ]
    return not_failed(not bare, "every warning says more than what not to do", bare)


def _chances(look: Look) -> Result:
    chances = look.matches(_CHANCE)
    return met(False, "a bare chance", chances) if chances else not_applicable("no chance is given")


def _calculate(look: Look) -> Result:
    sums = look.matches(CALCULATE)
    return met(not sums, "no sentence asks to calculate", sums)


def _asks(look: Look) -> list[str]:
    return look.matches(r"\bask (?:us|our|the|your)\b")


def _checks(look: Look) -> dict[str, Result]:
    steps = look.of_kind("step")
    return {
        **_main_items(look),
        "CC-05": met(bool(steps), f"{len(steps)} steps"),
        "CC-06": _active(look),
        "CC-07": _short_forms(look),
        "CC-08": _lists(look),
        "CC-09": _chunks(look),
        "CC-10": _first_section(look),
        "CC-11": person(f"{len(_asks(look))} lines say to ask us", _asks(look)[:3]),
        "CC-12": met(bool(steps), "every packet recommends how to care for the tube"),
        "CC-13": _warnings(look),
        "CC-14": _whom(look),
        "CC-15": person("the print rules allow the units of the devices only"),
        "CC-16": person("each number stands in a step, a table or beside what to look at"),
        "CC-17": _calculate(look),
        "CC-18": _warnings(look),
        "CC-19": person("are benefits named beside the risks?"),
        "CC-20": _chances(look),
    }


def cdc(look: Look) -> Rating:
    """The index filled in as far as a program can."""
    return rate("CDC index", ITEMS, _checks(look))


def passes(points: float) -> bool:
    """Whether a score passes: 90 or more, never rounded up."""
    return points >= PASSES


def index_score(answers: Mapping[str, bool], applicable: Sequence[str]) -> float:
    """The score of a fully rated index (CC-S1, CC-S3).

    Args:
        answers: Item → whether the point is earned (for CC-17: whether nothing is calculated).
        applicable: The items that apply.
    """
    lost = set() if answers.get("CC-01") else {"CC-02", "CC-03", "CC-04"}
    earned = sum(answers.get(item, False) and item not in lost for item in applicable)
    return 100 * earned / len(applicable)


def cdc_remarks(rating: Rating, name: str) -> list[Remark]:
    """What fails; terms have remarks of their own, and a missing picture is a note."""
    return failed(rating, name, passed_over="CC-07", notes="CC-04")
