"""Makes `record.json`: what came back, what it belongs to, and what is missing.

No clock is read: every date is the sheet's. Without a sheet and its packet nothing can be in it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from plainleaf.packet.papers import PaperKind, Shown
from plainleaf.packet.record.record_file import record_bytes
from plainleaf.packet.sheet.form_fields import SIGN_TEXTS
from plainleaf.packet.sheet.outline import SHOW, Outline
from plainleaf.teach_back.answers import Returned, Try
from plainleaf.teach_back.field_reader import Plan, SessionLine, WrittenTime
from plainleaf.teach_back.record_context import RecordContext, RecordPaperKind
from plainleaf.teach_back.teaching_record import TEACHING_RECORD, TeachingRecord
from plainleaf.teach_back.verdict import ItemStanding, Verdict, ready_to_go_home

FORMAT = 2


def sheet_date(returned: Returned) -> date | None:
    """The latest day of a try or of the teacher's signature; None when no date can be read."""
    days = [
        attempt.when.day
        for answer in returned.answers
        for attempt in answer.tries
        if attempt.when is not None and attempt.when.day is not None
    ]
    return max(days, default=None)


def record_of(
    returned: Returned, outline: Outline, verdicts: Sequence[Verdict], belongs: Mapping[str, Any]
) -> TeachingRecord:
    """The record of a sheet.

    Args:
        belongs: Digests of the packet and of the sheet that was read, and the settings in force.
    Raises:
        RecordError: A text of the sheet is longer than a record may hold.
    """
    day = sheet_date(returned)
    return TEACHING_RECORD.of(
        {
            "format": FORMAT,
            **belongs,
            "date": None if day is None else day.isoformat(),
            "goes_home": _when(returned.discharge),
            "sessions": [_session(line) for line in returned.sessions.values()],
            "learners": [_learner(verdict, returned) for verdict in verdicts],
            "interpreter": {
                "needed": outline.interpreter_needed,
                **{part: text or None for part, text in returned.interpreter.items()},
            },
            "signatures": [
                {"key": signer.key, "who": signer.who}
                | {part: text or None for part, text in returned.signatures[signer.key].items()}
                for signer in outline.signers
            ],
            "declined_to_sign": returned.declined,
            **{part: returned.sign[part] or None for part in SIGN_TEXTS if part != "discharge"},
            "verdict": _verdict(verdicts),
            "blanks": list(returned.blanks),
            "fields_missing": list(returned.missing),
            "fields_unknown": list(returned.unknown),
            "not_read": list(returned.troubles),
        }
    )


def _verdict(verdicts: Sequence[Verdict]) -> dict[str, Any]:
    return {
        "ready": ready_to_go_home(tuple(verdicts)),
        "not_ready": [
            {
                "learner": verdict.learner.name,
                "missing": [
                    {"id": standing.item.id, "what": list(standing.needs)}
                    for standing in verdict.critical
                ],
            }
            for verdict in verdicts
            if verdict.ready is False
        ],
    }


def _learner(verdict: Verdict, returned: Returned) -> dict[str, Any]:
    person = returned.people[verdict.number]
    return {
        "name": verdict.learner.name,
        "relation": verdict.learner.relation,
        "language": verdict.learner.language,
        "hands_on": verdict.learner.hands_on,
        "present": person.present,
        "needs": {need: {"answer": answer or None} for need, answer in person.needs.items()},
        "ready": verdict.ready,
        "items": [_item(standing) for standing in verdict.standings],
    }


def _item(standing: ItemStanding) -> dict[str, Any]:
    answer = standing.answer
    data: dict[str, Any] = {
        "id": standing.item.id,
        "kind": standing.item.kind,
        "critical": standing.item.critical,
        "state": standing.state.value,
        "still_to_do": list(standing.needs),
        "tries": [_try(attempt) for attempt in answer.tries],
        "plan": _plan(answer.plan),
    }
    if standing.item.kind == SHOW:
        ticked = zip(standing.item.ticked, answer.steps, strict=True)
        points = standing.item.points
        data["steps"] = [{"id": points[step - 1], "marked": marked} for step, marked in ticked]
    return data


def _try(attempt: Try) -> dict[str, Any]:
    return {
        "try": attempt.number,
        "code": attempt.code,
        **_parts(attempt.when),
        "initials": attempt.initials or None,
        "session": attempt.session or None,
    }


def _session(line: SessionLine) -> dict[str, Any]:
    texts = {part: getattr(line, part) or None for part in ("minutes", "who", "initials", "rows")}
    return {"letter": line.letter, **_parts(line.start), **texts}


def _parts(when: WrittenTime | None) -> dict[str, str | None]:
    return {
        "on": when.day.isoformat() if when and when.day else None,
        "at": when.clock.strftime("%H:%M") if when and when.clock else None,
        "written": when.text if when else None,
    }


def _when(when: WrittenTime | None) -> dict[str, str | None] | None:
    return None if when is None else _parts(when)


def _plan(plan: Plan | None) -> dict[str, str | None] | None:
    if plan is None:
        return None
    return {
        "choice": plan.choice,
        "words": plan.words or None,
        "by": plan.who or None,
    }


def make_record(context: RecordContext, language: str) -> bytes:
    """The record as a file."""
    return record_bytes(context.record)


RECORD: RecordPaperKind = PaperKind(
    "record.json",
    "the record",
    "Every try of every learner, needs, interpreter, signatures, blanks as blanks, and what packet "
    "and sheet it belongs to.",
    Shown.PROGRAM,
    make_record,
)
