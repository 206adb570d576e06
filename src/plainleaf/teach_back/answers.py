"""What a filled sheet says: its fields as typed answers. Nothing is guessed, a blank stays one."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, time

from plainleaf.packet.sheet.form_fields import (
    INTERPRETER_PARTS,
    SIGN_TEXTS,
    SIGNATURE_PARTS,
    TICK,
    VERSION,
    field_name,
    fields_of,
)
from plainleaf.packet.sheet.loop import CODES, PLANS
from plainleaf.packet.sheet.outline import SHOW, Outline, OutlineItem
from plainleaf.teach_back.filled_form import Filled
from plainleaf.vocabulary.dates import read_date
from plainleaf.vocabulary.errors import SheetError

# What programs write into a tick box that is not ticked, and into one that somebody unticked.
_OFF = ("", "off")
# Control signs, and halves of a letter that some programs leave.
_NO_SIGNS = ("Cc", "Cs")
_NO = ("no", "false", "0", "n")
_WHEN = re.compile(
    r"(?:(?P<day>[0-9]{4}-[0-9]{2}-[0-9]{2})(?:[ ,T]+|$))?(?P<clock>[0-9]{1,2}:[0-9]{2})?"
)


@dataclass(frozen=True)
class WrittenTime:
    """A date and a time as far as they could be read; `text` as written."""

    text: str
    day: date | None
    clock: time | None


@dataclass(frozen=True)
class Try:
    """One try with something entered; `code` None where there is none that can be read."""

    number: int
    code: int | None
    when: WrittenTime | None
    initials: str
    words: str


@dataclass(frozen=True)
class Plan:
    """What happens next with what is not yet met; `choice` a name of `loop.PLANS`."""

    choice: str | None
    words: str


@dataclass(frozen=True)
class ItemAnswer:
    """One item of one learner. `steps`: a skill's steps, True where marked, else None."""

    item: OutlineItem
    learner: int
    tries: tuple[Try, ...]
    steps: tuple[bool | None, ...]
    second_way: bool | None
    plan: Plan | None


@dataclass(frozen=True)
class LearnerNotes:
    """What the sheet says of a learner; `needs`: name → answer, `not-assessed`, or None."""

    present: bool | None
    needs: Mapping[str, tuple[str, bool | None]]


@dataclass(frozen=True)
class Returned:
    """A whole sheet.

    `signatures`: key → part → text. `sign`: the other lines of the sign-off. `troubles`: one line
    each on what could not be read, by the name of its field. `missing` and `unknown`: fields that
    the file lacks, and that the sheet does not have.
    """

    people: tuple[LearnerNotes, ...]
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


@dataclass
class _FormReader:
    """The values of one file, with what could not be read of them."""

    values: Mapping[str, str]
    troubles: list[str] = field(default_factory=list)

    def text(self, name: str) -> str:
        """What was written, with line ends alike and without control signs."""
        text = self.values.get(name, "").replace("\r\n", "\n").replace("\r", "\n")
        return "".join(c if c == "\n" or unicodedata.category(c) not in _NO_SIGNS else " "
                       for c in text).strip()  # fmt: skip

    def tick(self, name: str) -> bool | None:
        """True when ticked, else None: an empty box is never a no."""
        text = self.text(name).lower()
        if text in _OFF:
            return None
        if text in _NO:
            self.note(name, "is a tick box and holds a no. Tick it or leave it blank.")
            return None
        return True

    def note(self, name: str, says: str) -> None:
        """Keep a line on a field."""
        self.troubles.append(f"field {name}: {says}")

    def code(self, name: str) -> int | None:
        """A result code of the sheet."""
        text = self.text(name)
        if not text:
            return None
        digit = unicodedata.digit(text, None) if len(text) == 1 else None
        if digit not in CODES:
            self.note(name, f"'{_short(text)}' is no result code. Write 1, 2, 3 or 4.")
            return None
        return digit

    def when(self, name: str) -> WrittenTime | None:
        """A date and time."""
        text = self.text(name)
        if not text:
            return None
        match = _WHEN.fullmatch(text)
        try:
            day = read_date(match["day"]) if match and match["day"] else None
            clock = (
                time.fromisoformat(match["clock"].zfill(5)) if match and match["clock"] else None
            )
        except ValueError:
            day = clock = None
        if day is None and clock is None:
            self.note(name, f"'{_short(text)}' is no date and time. Write 2026-03-05 14:30.")
        return WrittenTime(text, day, clock)

    def plan(self, item: OutlineItem, learner: int) -> Plan | None:
        """The plan of an item."""
        name = field_name(item.id, learner, "plan", "letter")
        letter = self.text(name)
        words = self.text(field_name(item.id, learner, "plan", "words"))
        choice = PLANS.get(letter.upper())
        if letter and choice is None:
            self.note(name, f"'{_short(letter)}' is no plan letter. Write {', '.join(PLANS)}.")
        return Plan(choice, words) if choice or words else None


def _short(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= 20 else line[:20] + "…"


def read_answers(filled: Filled, outline: Outline, file: str, packet: str) -> Returned:
    """The answers of a filled sheet of this packet.

    Args:
        file: The name of the filled file; `packet`: that of the packet's record.
    Raises:
        SheetError: It is no teach-back sheet, or one of another packet or version.
    """
    fields = fields_of(outline)
    _refuse_others(filled, outline, set(fields), file, packet)
    reader = _FormReader(filled.values)
    answers = tuple(_answers(reader, outline))
    people = tuple(_person(reader, outline, n) for n, _ in enumerate(outline.learners))
    signatures = {
        signer.key: {part: reader.text(field_name(signer.key, part)) for part in SIGNATURE_PARTS}
        for signer in outline.signers
    }
    sign = {part: reader.text(field_name("sign", part)) for part in SIGN_TEXTS}
    there = [name for name in fields if name in filled.values]
    return Returned(
        people,
        answers,
        {part: reader.text(field_name("interpreter", part)) for part in INTERPRETER_PARTS},
        signatures,
        sign,
        reader.tick(field_name("sign", "declined")),
        reader.when(field_name("sign", "discharge")),
        tuple(name for name in there if _is_blank(reader, name, fields[name].kind)),
        tuple(name for name in fields if name not in filled.values),
        tuple(sorted(set(filled.values) - set(fields) - {VERSION})),
        (*dict.fromkeys(reader.troubles), *_odd_times(answers, outline)),
    )


def _is_blank(reader: _FormReader, name: str, kind: str) -> bool:
    text = reader.text(name)
    return text.lower() in _OFF if kind == TICK else not text


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


def _person(reader: _FormReader, outline: Outline, number: int) -> LearnerNotes:
    needs = {
        need: (
            reader.text(field_name("learner", number, need)),
            reader.tick(field_name("learner", number, need, "not-assessed")),
        )
        for need in outline.needs
    }
    return LearnerNotes(reader.tick(field_name("learner", number, "present")), needs)


def _answers(reader: _FormReader, outline: Outline) -> Iterator[ItemAnswer]:
    for item in outline.items:
        for learner, _ in outline.takers(item):
            steps = range(1, len(item.points) + 1) if item.kind == SHOW else ()
            yield ItemAnswer(
                item,
                learner,
                tuple(_tries(reader, outline, item, learner)),
                tuple(reader.tick(field_name(item.id, learner, f"step-{n}")) for n in steps),
                reader.tick(field_name(item.id, learner, "second-way")),
                reader.plan(item, learner),
            )


def _tries(reader: _FormReader, outline: Outline, item: OutlineItem, learner: int) -> Iterator[Try]:
    for number in range(1, outline.tries + 1):
        name = field_name(item.id, learner, f"try-{number}")
        code = reader.code(f"{name}/code")
        when = reader.when(f"{name}/when")
        initials, words = reader.text(f"{name}/initials"), reader.text(f"{name}/words")
        if reader.text(f"{name}/code") or when or initials or words:
            yield Try(number, code, when, initials, words)


def _odd_times(answers: tuple[ItemAnswer, ...], outline: Outline) -> Iterator[str]:
    """Tries that are dated before the packet was made, or before the try that precedes them."""
    for answer in answers:
        last = outline.made.date()
        for attempt in answer.tries:
            day = attempt.when.day if attempt.when else None
            if day is None:
                continue
            name = field_name(answer.item.id, answer.learner, f"try-{attempt.number}", "when")
            if day < last:
                yield f"field {name}: {day} lies before {last}. Look at the dates."
            last = max(last, day)
