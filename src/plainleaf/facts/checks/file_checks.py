"""Checks on the file as a whole: dates, who signed, harmful words, the policy behind it.

None of them is ever unknown.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from plainleaf.facts.checks.outcome import check, joined, result
from plainleaf.facts.derived import Checked
from plainleaf.facts.given import Given
from plainleaf.facts.opening import opened_at
from plainleaf.inputs.patient.order_values import Settled
from plainleaf.inputs.policy import overdue

# What no text of a packet may tell a family to do. h-blue, h-na98, h-foley.
_NEVER_TAUGHT = (
    r"\b(?:food|feed|formula|blue|green)[\s-]+(?:dyes?|colou?r(?:ing|ant)?s?)\b",
    r"\bmethylene blue\b",
    r"\b(?:dilut\w*|thin(?:ned)?|water(?:ed)?[\s-]+down)\s+(?:the\s+|all\s+)?(?:formula|feed\w*)\b",
    r"\b(?:formula|feed\w*)\s+(?:is\s+)?(?:diluted|thinned|watered[\s-]+down)\b",
    r"\b(?:half|quarter|three[\s-]+quarters?)[\s-]+strength\b",
    r"\b(?:add|mix|put)\s+(?:\w+\s+){0,3}water\s+(?:in|to|into|with)\s+(?:the\s+)?(?:formula|feed)",
    r"\b(?:urinary|bladder|foley)\s+catheter\b",
)
# h-npsa10: in the first days pain with feeding means stop, never slower or a pain medicine.
_NEVER_IN_FIRST_DAYS = (
    r"\bslow(?:er)?\b(?:\s+\w+){0,3}\s+(?:feed\w*|pump|rate)\b",
    r"\b(?:give|take|use)\b(?:\s+\w+){0,3}\s+pain[\s-]*(?:relief|medicine|killers?|pills?)\b",
)


def _texts(given: Given) -> Iterator[tuple[str, str]]:
    """Patient-file key and text of everything that prints as it was written."""
    patient = given.patient
    if patient.if_feeding_stops is not None:
        yield "if_feeding_stops", patient.if_feeding_stops
    for medicine in patient.medicines:
        if medicine.prepare is not None:
            yield f"medicines[{medicine.number}].prepare", medicine.prepare
    for number, visit in enumerate(patient.visits):
        yield f"visits[{number}].what", visit.what
        if visit.where is not None:
            yield f"visits[{number}].where", visit.where


@check("words", "where")
def text_never_taught(given: Given) -> Checked:
    """Text that prints as written and tells a family to do a known harm.

    Colouring in formula (h-blue), thinned formula (h-na98), a stand-in catheter (h-foley); in the
    first days also a slower feeding or a pain medicine for pain (h-npsa10).
    """
    patterns: tuple[str, ...] = _NEVER_TAUGHT
    if given.stage == "first-72-hours":
        patterns += _NEVER_IN_FIRST_DAYS
    matches = [
        (key, match[0])
        for key, text in _texts(given)
        for pattern in patterns
        if (match := re.search(pattern, text, re.IGNORECASE)) is not None
    ]
    return result(
        bool(matches),
        [key for key, _ in matches],
        words=joined(f"'{words}'" for _, words in matches),
        where=joined(key for key, _ in matches),
    )


# Outcome and its field → what does not fit, of a day that should have been, or that is to come.
_DAYS_OF_OUTCOMES = {
    ("shown", "date"): ("shown on a day to come", True),
    ("later", "date"): ("a later day that is past", False),
    ("not-healed", "until"): ("until a day that is past", False),
}


def _printed_texts(given: Given) -> Iterator[str]:
    """Patient-file keys of free text that stands in the family's handout."""
    yield from dict.fromkeys(key for key, _ in _texts(given))
    for medicine in given.patient.medicines:
        for key, text in (("for", medicine.reason), ("at_most", medicine.at_most)):
            if text is not None:
                yield f"medicines[{medicine.number}].{key}"


@check("languages", "where")
def text_not_translated(given: Given) -> Checked:
    """Free text stands in a handout of another language than that of staff (interp).

    Format 2 has no free text but orders in each language.
    """
    tags = {given.person.language, *(learner.language for learner in given.patient.learners)}
    staff = given.policy.word("staff_language")
    others = {tag for tag in tags if tag.split("-")[0] != staff}
    keys = list(_printed_texts(given)) if others and given.patient.format == 1 else []
    return result(bool(keys), keys, languages=joined(sorted(others)), where=joined(keys))


def _date_faults(given: Given) -> Iterator[tuple[str, str]]:
    """Patient-file key and what does not fit, in the order of a life."""
    patient, tube = given.patient, given.tube
    now, today = patient.prepared_on, patient.prepared_on.date()
    born, opened = patient.person.born, opened_at(tube).date()
    yield from _when(born > today, "patient.born", "born after the packet was prepared")
    yield from _when(today.year - born.year > 120, "patient.born", "born over 120 years ago")
    yield from _when(born > opened, "tube.placed", "the opening was made before birth")
    yield from _when(now < tube.placed, "prepared.on", "prepared before the tube was placed")
    late = tube.opening_made is not None and tube.opening_made > tube.placed.date()
    yield from _when(late, "tube.opening_made", "the opening was made after this tube went in")
    orders = (("opening_healed", tube.opening_healed), ("may_put_back", tube.may_put_back))
    for key, order in orders:
        on: date | None = None if order is None else order.on
        if on is not None:
            yield from _when(on > today, f"tube.{key}.on", f"{key} lies after prepared.on")
            yield from _when(on < opened, f"tube.{key}.on", f"{key} lies before the opening")
    check = tube.position_checked
    if check is not None:
        key = "tube.position_checked.on"
        yield from _when(check.on < tube.placed.date(), key, "checked before this tube went in")
        yield from _when(check.on > today, key, "position_checked lies after prepared.on")
    for number, entry in enumerate(patient.accepted):
        words = f"'{entry.finding}' was accepted after the packet was prepared"
        yield from _when(entry.on > today, f"accepted[{number}].on", words)
    for number, block in enumerate(patient.settled):
        yield from _decision_faults(block, f"settled[{number}]", given)


def _decision_faults(block: Settled, key: str, given: Given) -> Iterator[tuple[str, str]]:
    """What does not fit of the day of a decision, and of the days that it names."""
    today, ordered = given.day, given.patient.ordered
    yield from _when(block.on > today, f"{key}.date", "decided after the packet was prepared")
    early = ordered is not None and block.on < ordered.on
    yield from _when(early, f"{key}.date", "decided before it was ordered")
    for number, line in enumerate(block.decided):
        for (do, field), (words, past) in _DAYS_OF_OUTCOMES.items():
            day = line.fields.get(field) if line.do == do else None
            wrong = isinstance(day, date) and (day > today if past else day <= today)
            yield from _when(wrong, f"{key}.decided[{number}].{field}", f"{do}: {words}")


def _when(holds: bool, key: str, words: str) -> Iterator[tuple[str, str]]:
    if holds:
        yield key, words


@check("faults")
def dates_do_not_fit(given: Given) -> Checked:
    """Dates that cannot all be right: every date on paper counts from them (o-age, o-age2)."""
    faults = list(_date_faults(given))
    return result(
        bool(faults), [key for key, _ in faults], faults="; ".join(words for _, words in faults)
    )


@check("who", "what")
def accepted_by_preparer(given: Given) -> Checked:
    """The person who prepared the packet also accepted a finding (practice: two pairs of eyes)."""
    own = " ".join(given.patient.prepared_by.casefold().split())
    entries = [
        (f"accepted[{number}]", entry.by, entry.finding)
        for number, entry in enumerate(given.patient.accepted)
    ]
    entries += [
        (f"settled[{number}]", block.by, line.finding)
        for number, block in enumerate(given.patient.settled)
        for line in block.decided
    ]
    mine = [(key, name) for key, by, name in entries if " ".join(by.casefold().split()) == own]
    return result(
        bool(mine),
        [key for key, _ in mine],
        who=given.patient.prepared_by,
        what=joined(finding for _, finding in mine),
    )


@check("settings")
def policy_overdue(given: Given) -> Checked:
    """Settings whose review date lies before `prepared.on` (the facility's own rule)."""
    names = overdue(given.policy, given.patient.prepared_on.date())
    shown = joined([*names[:5], *([f"{len(names) - 5} more"] if len(names) > 5 else [])])
    return result(bool(names), ["prepared.on"], settings=shown)


@check("holds_from")
def policy_not_in_force(given: Given) -> Checked:
    """The policy holds only from a later day than `prepared.on`."""
    starts = given.policy.holds_from
    early = given.patient.prepared_on.date() < starts
    return result(early, ["prepared.on"], holds_from=starts.isoformat())


@check("facility")
def policy_example(given: Given) -> Checked:
    """The example policy, whose values nobody approved."""
    return result(given.policy.example, facility=given.policy.facility)
