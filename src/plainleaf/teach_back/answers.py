"""What a filled sheet says: its fields as typed answers. Nothing is guessed, a blank stays one."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from plainleaf.packet.sheet.form_fields import (
    INTERPRETER_PARTS,
    SIGN_TEXTS,
    SIGNATURE_PARTS,
    VERSION,
    field_name,
    fields_of,
)
from plainleaf.packet.sheet.outline import FORM, Outline, OutlineItem
from plainleaf.teach_back.field_reader import (
    FormReader,
    Plan,
    SessionLine,
    WrittenTime,
    is_blank,
    plans_of,
)
from plainleaf.teach_back.filled_form import Filled
from plainleaf.vocabulary.errors import SheetError

# Fields of a row: a try of a learner, or a step that is ticked.
_OF_A_ROW = re.compile(r".+/[0-9]+/(?:try-[0-9]+/code|step-[0-9]+)")


@dataclass(frozen=True)
class Try:
    """One try with something entered; `code` None where there is none that can be read.

    `session`: the letter beside the code; `when` and `initials` are those of its line.
    """

    number: int
    code: int | None
    session: str
    when: WrittenTime | None
    initials: str


@dataclass(frozen=True)
class ItemAnswer:
    """One item of one learner. `steps`: those that are ticked one by one, True or None."""

    item: OutlineItem
    learner: int
    tries: tuple[Try, ...]
    steps: tuple[bool | None, ...]
    plan: Plan | None


@dataclass(frozen=True)
class LearnerNotes:
    """What the sheet says of a learner; `needs`: name → answer, "" where it was left blank."""

    present: bool | None
    needs: Mapping[str, str]


@dataclass(frozen=True)
class Returned:
    """A whole sheet.

    `signatures`: key → part → text. `sign`: the other lines of the sign-off. `troubles`: one line
    each on what could not be read, by the name of its field. `missing` and `unknown`: fields that
    the file lacks, and that the sheet does not have.
    """

    people: tuple[LearnerNotes, ...]
    sessions: Mapping[str, SessionLine]
    answers: tuple[ItemAnswer, ...]
    interpreter: Mapping[str, str]
    signatures: Mapping[str, Mapping[str, str]]
    sign: Mapping[str, str]
    declined: bool | None
    discharge: WrittenTime | None
    blanks: tuple[str, ...]
    missing: tuple[str, ...]
    unknown: tuple[str, ...]
    troubles: tuple[str, ...]


def read_answers(filled: Filled, outline: Outline, file: str, packet: str) -> Returned:
    """The answers of a filled sheet of this packet.

    Args:
        file: The name of the filled file; `packet`: that of the packet's record.
    Raises:
        SheetError: It is no teach-back sheet, or one of another packet or version.
    """
    if outline.form != FORM:
        raise SheetError(
            f"{file}: {packet} is of an earlier program, whose sheet has other fields. Read it "
            "back with that program, or build the packet again and type the paper into its sheet."
        )
    fields = fields_of(outline)
    _refuse_others(filled, outline, set(fields), file, packet)
    reader = FormReader(filled.values)
    sessions = {letter: reader.session(letter) for letter in outline.letters}
    answers = tuple(_answers(reader, outline, sessions))
    people = tuple(_person(reader, outline, n) for n, _ in enumerate(outline.learners))
    signatures = {
        signer.key: {part: reader.text(field_name(signer.key, part)) for part in SIGNATURE_PARTS}
        for signer in outline.signers
    }
    sign = {part: reader.text(field_name("sign", part)) for part in SIGN_TEXTS}
    there = [name for name in fields if name in filled.values]
    return Returned(
        people,
        sessions,
        answers,
        {part: reader.text(field_name("interpreter", part)) for part in INTERPRETER_PARTS},
        signatures,
        sign,
        reader.tick(field_name("sign", "declined")),
        reader.when(field_name("sign", "discharge")),
        tuple(name for name in there if is_blank(reader, name, fields[name].kind)),
        tuple(name for name in fields if name not in filled.values),
        tuple(sorted(set(filled.values) - set(fields) - {VERSION})),
        (*dict.fromkeys(reader.troubles), *_odd_times(answers, sessions, outline)),
    )


def _refuse_others(
    filled: Filled, outline: Outline, fields: set[str], file: str, packet: str
) -> None:
    """Stop at a sheet that is not this packet's: its fields may mean something else."""
    version = filled.values.get(VERSION, "").strip()
    versions = {version} if version else set(filled.printed)
    if not versions:
        if not fields & set(filled.values):
            raise SheetError(
                f"{file}: is not a teach-back sheet. Name the teach-back.pdf that was filled in."
            )
        raise SheetError(
            f"{file}: does not say which packet it belongs to; its version was removed. "
            "Type the paper into the teach-back.pdf of the packet."
        )
    if versions != {outline.version}:
        raise SheetError(
            f"{file}: belongs to packet version {', '.join(sorted(versions))}, and {packet} is "
            f"version {outline.version}. Name the packet it belongs to with --packet."
        )
    if not fields & set(filled.values):
        raise SheetError(
            f"{file}: has lost all fields of the sheet but its version. Type the paper into the "
            "teach-back.pdf of the packet."
        )
    more = sorted(name for name in set(filled.values) - fields if _OF_A_ROW.fullmatch(name))
    if more:
        raise SheetError(
            f"{file}: asks what {packet} does not know, field {more[0]}. One of the two was "
            "changed after it was built: take both from the packet as it was built."
        )


def _person(reader: FormReader, outline: Outline, number: int) -> LearnerNotes:
    needs = {need: reader.text(field_name("learner", number, need)) for need in outline.needs}
    return LearnerNotes(reader.tick(field_name("learner", number, "present")), needs)


def _answers(
    reader: FormReader, outline: Outline, sessions: Mapping[str, SessionLine]
) -> Iterator[ItemAnswer]:
    plans = plans_of(reader, outline)
    for item in outline.items:
        for learner, _ in outline.takers(item):
            yield ItemAnswer(
                item,
                learner,
                tuple(_tries(reader, outline, sessions, item, learner)),
                tuple(reader.tick(field_name(item.id, learner, f"step-{n}")) for n in item.ticked),
                plans.get((item.id, learner)),
            )


def _tries(
    reader: FormReader,
    outline: Outline,
    sessions: Mapping[str, SessionLine],
    item: OutlineItem,
    learner: int,
) -> Iterator[Try]:
    for number in range(1, outline.tries + 1):
        name = field_name(item.id, learner, f"try-{number}", "code")
        code, letter = reader.code(name, outline.letters)
        if not reader.text(name):
            continue
        line = sessions.get(letter)
        if line is not None and line.start is None:
            start = field_name("session", letter, "start")
            reader.note(start, f"is blank, and codes name session {letter}. Write its date.")
        yield Try(number, code, letter, line.start if line else None, line.initials if line else "")


def _odd_times(
    answers: tuple[ItemAnswer, ...], sessions: Mapping[str, SessionLine], outline: Outline
) -> Iterator[str]:
    """Sessions dated before the packet was made, and tries dated before the one before them."""
    made = outline.made.date()
    for letter, line in sessions.items():
        if line.start is not None and line.start.day is not None and line.start.day < made:
            name = field_name("session", letter, "start")
            yield f"field {name}: {line.start.day} lies before {made}. Look at the dates."
    for answer in answers:
        last = made
        for attempt in answer.tries:
            day = attempt.when.day if attempt.when else None
            if day is None:
                continue
            name = field_name(answer.item.id, answer.learner, f"try-{attempt.number}", "code")
            if made <= day < last:
                yield f"field {name}: {day} lies before {last}. Look at the dates."
            last = max(last, day)
