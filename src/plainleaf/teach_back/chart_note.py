"""The chart note: plain text to paste, short, dated and factual. It quotes and never judges."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from plainleaf.packet.papers import PaperKind, Shown
from plainleaf.packet.sheet.loop import CODES
from plainleaf.packet.sheet.outline import Outline
from plainleaf.teach_back.answers import ItemAnswer, Returned
from plainleaf.teach_back.call_time import CallTime
from plainleaf.teach_back.field_reader import Plan, WrittenTime
from plainleaf.teach_back.record_context import RecordContext, RecordPaperKind
from plainleaf.teach_back.recording import sheet_date
from plainleaf.teach_back.verdict import ItemStanding, Verdict, ready_to_go_home
from plainleaf.vocabulary.languages import locale_name

_RESULT = dict(zip(CODES, ("met", "met with a prompt", "not yet", "not done"), strict=True))
_PLAN = {
    "other-learner": "another learner does this",
    "home-nurse": "a home nurse does this",
    "later-date": "taught again on a later date",
    "call-provider": "call the provider before going home",
    "not-for-this-person": "not for this person",
}
NOT_RECORDED = "not recorded"


def one_line(text: str) -> str:
    """A text without line ends."""
    return " ".join(text.split())


def plan_text(plan: Plan) -> str:
    """A plan as its choice, its words as written, and who does it by when."""
    words = _quoted(plan.words) if plan.words else ""
    said = ": ".join(part for part in (_PLAN.get(plan.choice or ""), words) if part)
    return ", ".join(part for part in (said, one_line(plan.who)) if part)


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
    given = ", ".join(dict.fromkeys(learner.handout for learner in outline.learners))
    yield f"Material: packet version {outline.version}, handout in {given}. {speech.marks}."
    yield "Method: teach-back for questions, show-back for skills."
    goal = one_line(returned.sign["goal"])
    yield f"What matters most to the patient: {_quoted(goal) if goal else NOT_RECORDED}"


def _interpreter(returned: Returned, outline: Outline) -> Iterator[str]:
    told = one_line(returned.interpreter["used"])
    if told:
        yield f"Interpreter: {told.removesuffix('.')}."
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
    blank = [standing for standing in verdict.open if not standing.answer.tries]
    for standing in verdict.standings:
        if len(standing.answer.tries) > 1 or (standing.needs and standing.answer.tries):
            yield from _standing(standing, outline)
    if len(blank) == len(verdict.standings):
        yield f"  Nothing was checked; {len(verdict.critical)} of it is critical."
        return
    for critical, title in ((True, "Not checked, critical"), (False, "Not checked")):
        names = [outline.label(s.item) for s in blank if s.item.critical is critical]
        if names:
            yield f"  {title}: {'; '.join(names)}."


def _met(verdict: Verdict, outline: Outline) -> str:
    """How much was met, in which topics, and who taught."""
    closed = [standing for standing in verdict.standings if not standing.needs]
    titles = outline.speeches[outline.staff].titles
    topics = dict.fromkeys(titles[standing.item.module].plain for standing in closed)
    by = sorted({one_line(attempt.initials) for standing in verdict.standings
                 for attempt in standing.answer.tries if attempt.initials})  # fmt: skip
    subjects = f", in: {'; '.join(topics)}" if topics else ""
    taught = f" Taught by: {', '.join(by)}." if by else ""
    met = f"{len(closed)} of {len(verdict.standings)} questions and skills"
    return f"  Met: {met}{subjects}.{taught}"


def _quoted(text: str) -> str:
    """What was heard or seen, in quotation marks of its own."""
    return '"' + one_line(text).replace('"', "'") + '"'


def _needs(needs: Mapping[str, str]) -> Iterator[str]:
    told = [f"{name.replace('-', ' ')}: {one_line(text)}" for name, text in needs.items() if text]
    blank = [name.replace("-", " ") for name, text in needs.items() if not text]
    for title, names in (("Needs", told), ("Needs left blank", blank)):
        if names:
            yield f"  {title}: {'; '.join(names)}."


def _standing(standing: ItemStanding, outline: Outline) -> Iterator[str]:
    mark = "CRITICAL, " if standing.item.critical else ""
    name = f"{mark}{outline.label(standing.item)}"
    state = f"open ({standing.to_do})" if standing.needs else "met"
    yield f"  - {name}: {state}. {_tries(standing.answer)}"
    if standing.answer.plan is not None:
        yield f"    Plan: {plan_text(standing.answer.plan)}."


def _tries(answer: ItemAnswer) -> str:
    texts = []
    for attempt in answer.tries:
        parts = [_RESULT[attempt.code] if attempt.code else "no code"]
        parts += [when_text(attempt.when)] if attempt.when else []
        parts += [one_line(attempt.initials)] if attempt.initials else []
        texts.append(f"Try {attempt.number}: {', '.join(parts)}.")
    return " ".join(texts)


def when_text(when: WrittenTime) -> str:
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
            missing = [f"{outline.label(s.item)} ({s.to_do})" for s in verdict.critical]
            asked = any(standing.answer.tries for standing in verdict.standings)
            what = "; ".join(missing) if asked else "everything"
            yield f"  Missing for {verdict.learner.name}: {what}."
        elif verdict.ready:
            yield f"  {verdict.learner.name}: ready, as far as taught."


def _sign_off(returned: Returned, outline: Outline) -> Iterator[str]:
    safety = one_line(returned.sign["safety"])
    yield f"Named for safety worries: {safety or NOT_RECORDED}."
    for signer in outline.signers:
        parts = [one_line(text) for text in returned.signatures[signer.key].values() if text]
        yield f"Signed, {signer.who}: {', '.join(parts) or NOT_RECORDED}."
    if returned.declined:
        reason = one_line(returned.sign["reason"]) or f"reason and witness {NOT_RECORDED}"
        yield f"Declined or not able to sign: {reason.removesuffix('.')}."


def _not_read(returned: Returned) -> Iterator[str]:
    count = len(returned.missing) + len(returned.troubles)
    if count:
        yield (
            f"{count} fields could not be read and count as blank; record.json lists them. "
            "Look at the sheet."
        )


def make_chart_note(context: RecordContext, language: str) -> bytes:
    """The note as a file."""
    note = chart_note(context.returned, context.outline, context.verdicts, context.call)
    return note.encode()


CHART_NOTE: RecordPaperKind = PaperKind(
    "chart-note.txt",
    "the chart",
    "A dated note to paste in.",
    Shown.PROGRAM,
    make_chart_note,
)
