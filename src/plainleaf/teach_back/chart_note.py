"""The chart note: plain text to paste, short, dated and factual. It quotes and never judges."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from plainleaf.packet.sheet.loop import CODES
from plainleaf.packet.sheet.outline import SHOW, Outline
from plainleaf.teach_back.answers import Answer, Plan, Returned, When
from plainleaf.teach_back.call_time import CallTime
from plainleaf.teach_back.record import sheet_date
from plainleaf.teach_back.verdict import Standing, Verdict, ready_to_go_home
from plainleaf.vocabulary.languages import locale_name

_RESULT = dict(zip(CODES, ("met", "met with a prompt", "not yet", "not done"), strict=True))
_PLAN = {
    "other-learner": "another learner does this",
    "home-nurse": "a home nurse does this",
    "later-date": "taught again on a later date",
    "call-provider": "call the provider before going home",
}
NOT_RECORDED = "not recorded"


def one_line(text: str) -> str:
    """A text without line ends."""
    return " ".join(text.split())


def plan_text(plan: Plan) -> str:
    """A plan as its choice and its words."""
    return ": ".join(part for part in (_PLAN.get(plan.choice or ""), one_line(plan.words)) if part)


def chart_note(
    returned: Returned, outline: Outline, verdicts: Sequence[Verdict], call: CallTime
) -> str:
    """The note of one sheet."""
    lines = [
        *_head(returned, outline),
        *_interpreter(returned, outline),
        *(line for verdict in verdicts for line in _learner(verdict, returned, outline)),
        "",
        *_outcome(verdicts, outline),
        f"Follow-up call: {call.text}.",
        *_sign_off(returned, outline),
        *_not_read(returned),
    ]
    return "\n".join(lines) + "\n"


def _head(returned: Returned, outline: Outline) -> Iterator[str]:
    day = sheet_date(returned)
    speech = outline.speeches[outline.staff]
    yield f"FEEDING TUBE TEACHING, {day or 'date ' + NOT_RECORDED}"
    yield speech.identity
    given = ", ".join(dict.fromkeys(one.handout for one in outline.learners))
    yield f"Material: packet version {outline.version}, handout in {given}. {speech.marks}."
    yield "Method: teach-back for questions, show-back for skills."
    goal = one_line(returned.sign["goal"])
    yield f"What matters most to the patient: {_quoted(goal) if goal else NOT_RECORDED}"


def _interpreter(returned: Returned, outline: Outline) -> Iterator[str]:
    found = {part: one_line(text) for part, text in returned.interpreter.items() if text}
    if found:
        times = "-".join(found[part] for part in ("start", "end") if part in found)
        parts = [found.get("name"), f"ID {found['id']}" if "id" in found else None,
                 found.get("language"), found.get("mode"), times or None]  # fmt: skip
        yield "Interpreter: " + ", ".join(part for part in parts if part) + "."
    elif outline.interpreter_needed:
        yield f"Interpreter: needed by the patient file, {NOT_RECORDED}."
    else:
        yield "Interpreter: not needed by the patient file."


def _learner(verdict: Verdict, returned: Returned, outline: Outline) -> Iterator[str]:
    learner, person = verdict.learner, returned.people[verdict.number]
    role = "gives care" if learner.hands_on else "gives no care"
    here = "present" if person.present else f"presence {NOT_RECORDED}"
    yield ""
    reads = f"reads {locale_name(learner.language)}"
    yield f"{learner.name} ({learner.relation}, {role}, {here}, {reads})"
    yield _met(verdict, outline)
    yield from _needs(person.needs)
    blank = [one for one in verdict.open if not one.answer.tries]
    for standing in verdict.standings:
        if len(standing.answer.tries) > 1 or (standing.needs and standing.answer.tries):
            yield from _standing(standing, outline)
    if len(blank) == len(verdict.standings):
        yield f"  Nothing was checked; {len(verdict.critical)} of it is critical."
        return
    for critical, title in ((True, "Not checked, critical"), (False, "Not checked")):
        names = [outline.label(one.item) for one in blank if one.item.critical is critical]
        if names:
            yield f"  {title}: {'; '.join(names)}."


def _met(verdict: Verdict, outline: Outline) -> str:
    """How much was met, in which topics, and who taught."""
    closed = [standing for standing in verdict.standings if not standing.needs]
    titles = outline.speeches[outline.staff].titles
    topics = dict.fromkeys(titles[standing.item.module].plain for standing in closed)
    by = sorted({one_line(one.initials) for standing in verdict.standings
                 for one in standing.answer.tries if one.initials})  # fmt: skip
    where = f", in: {'; '.join(topics)}" if topics else ""
    taught = f" Taught by: {', '.join(by)}." if by else ""
    return f"  Met: {len(closed)} of {len(verdict.standings)} questions and skills{where}.{taught}"


def _quoted(text: str) -> str:
    """What was heard or seen, in quotation marks of its own."""
    return '"' + one_line(text).replace('"', "'") + '"'


def _needs(needs: Mapping[str, tuple[str, bool | None]]) -> Iterator[str]:
    told = [f"{name.replace('-', ' ')}: {one_line(text)}" for name, (text, _) in needs.items()
            if text]  # fmt: skip
    skipped = [name.replace("-", " ") for name, (text, off) in needs.items() if off and not text]
    blank = [name.replace("-", " ") for name, (text, off) in needs.items() if not off and not text]
    for title, names in (("Needs", told), ("Not assessed", skipped), ("Needs left blank", blank)):
        if names:
            yield f"  {title}: {'; '.join(names)}."


def _standing(standing: Standing, outline: Outline) -> Iterator[str]:
    mark = "CRITICAL, " if standing.item.critical else ""
    name = f"{mark}{outline.label(standing.item)}"
    state = f"open ({standing.to_do})" if standing.needs else "met"
    yield f"  - {name}: {state}. {_tries(standing.answer)}"
    if standing.answer.second_way:
        shown = "shown again" if standing.item.kind == SHOW else "second explanation used"
        yield f"    {shown[0].upper()}{shown[1:]}."
    if standing.answer.plan is not None:
        yield f"    Plan: {plan_text(standing.answer.plan)}."


def _tries(answer: Answer) -> str:
    found = []
    for one in answer.tries:
        parts = [_RESULT[one.code] if one.code else "no code"]
        parts += [when_text(one.when)] if one.when else []
        parts += [one_line(one.initials)] if one.initials else []
        said = f" {_quoted(one.words)}" if one.words else ""
        found.append(f"Try {one.number}: {', '.join(parts)}.{said}")
    return " ".join(found)


def when_text(when: When) -> str:
    """A date and time as read, or as written."""
    if when.day is None and when.clock is None:
        return one_line(when.text)
    clock = when.clock.strftime("%H:%M") if when.clock else ""
    return " ".join(part for part in (str(when.day or ""), clock) if part)


def _outcome(verdicts: Sequence[Verdict], outline: Outline) -> Iterator[str]:
    if ready_to_go_home(tuple(verdicts)):
        yield "Outcome: everyone who gives care met every critical question and skill."
    else:
        yield "Outcome: NOT READY TO GO HOME ON THIS ALONE."
    for verdict in verdicts:
        if verdict.ready is False:
            missing = [f"{outline.label(one.item)} ({one.to_do})" for one in verdict.critical]
            asked = any(one.answer.tries for one in verdict.standings)
            what = "; ".join(missing) if asked else "everything"
            yield f"  Missing for {verdict.learner.name}: {what}."
        elif verdict.ready:
            yield f"  {verdict.learner.name}: ready, as far as taught."


def _sign_off(returned: Returned, outline: Outline) -> Iterator[str]:
    safety = one_line(returned.sign["safety"])
    yield f"Named for safety worries: {safety or NOT_RECORDED}."
    for one in outline.signers:
        parts = [one_line(text) for text in returned.signatures[one.key].values() if text]
        yield f"Signed, {one.who}: {', '.join(parts) or NOT_RECORDED}."
    if returned.declined:
        reason = one_line(returned.sign["reason"]) or f"reason {NOT_RECORDED}"
        witness = one_line(returned.sign["witness"]) or NOT_RECORDED
        yield f"Declined or not able to sign: {reason}; witness: {witness}."


def _not_read(returned: Returned) -> Iterator[str]:
    count = len(returned.missing) + len(returned.troubles)
    if count:
        yield (
            f"{count} fields could not be read and count as blank; record.json lists them. "
            "Look at the sheet."
        )
