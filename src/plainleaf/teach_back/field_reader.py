"""Reads single fields of a filled sheet. Nothing is guessed; what cannot be read is noted."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, time

from plainleaf.packet.sheet.form_fields import (
    OPEN_LINES,
    OPEN_PARTS,
    SESSION_PARTS,
    TICK,
    field_name,
)
from plainleaf.packet.sheet.loop import CODES, NOT_FOR_THIS_PERSON, PLANS
from plainleaf.packet.sheet.outline import Outline
from plainleaf.vocabulary.dates import read_date

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
class SessionLine:
    """One line of the sessions, as far as it is filled in."""

    letter: str
    start: WrittenTime | None
    minutes: str
    who: str
    initials: str
    rows: str


@dataclass(frozen=True)
class Plan:
    """What happens next with what is not yet met; `choice` a name of `loop.PLANS`.

    `words`: what was heard or seen, the plan, or the reason; `who`: who does it and by when.
    """

    choice: str | None
    words: str
    who: str = ""


@dataclass
class FormReader:
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

    def code(self, name: str, letters: Sequence[str]) -> tuple[int | None, str]:
        """A result code of the sheet and the letter of its session, as far as they are there."""
        text = self.text(name)
        if not text:
            return None, ""
        digit = unicodedata.digit(text[0], None)
        letter = text[1:].strip().lower()
        if digit not in CODES or letter not in ("", *letters):
            self.note(name, f"'{_short(text)}' is no result code. Write 1, 2, 3 or 4 and the "
                      f"letter of the session, such as 3{letters[0]}.")  # fmt: skip
            return None, ""
        if not letter:
            self.note(name, f"'{text}' has no letter, so no date. Write {text}{letters[0]} or "
                      "the letter of its session.")  # fmt: skip
        return digit, letter

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

    def number(self, name: str, most: int) -> int | None:
        """A number from 1 on, in the digits of any script."""
        text = self.text(name)
        if not text:
            return None
        digits = [unicodedata.digit(sign, None) for sign in text]
        value = int("".join(map(str, digits))) if None not in digits and len(text) < 4 else 0
        if not 1 <= value <= most:
            self.note(name, f"'{_short(text)}' is none of 1 to {most}. Write that number.")
            return None
        return value

    def session(self, letter: str) -> SessionLine:
        """One line of the sessions."""
        start = self.when(field_name("session", letter, "start"))
        texts = [self.text(field_name("session", letter, part)) for part in SESSION_PARTS[1:]]
        return SessionLine(letter, start, *texts)

    def plan(self, line: int) -> Plan | None:
        """The plan of a line of the open points; without a plan letter only what is written."""
        name = field_name("open", line, "letter")
        letter = self.text(name)
        words = self.text(field_name("open", line, "words"))
        who = self.text(field_name("open", line, "who"))
        choice = PLANS.get(letter.upper())
        if letter and choice is None:
            self.note(name, f"'{_short(letter)}' is no plan letter. Write {', '.join(PLANS)}.")
        if choice == NOT_FOR_THIS_PERSON and not words:
            self.note(name, f"'{letter}' has no reason, so it does not count. Write the reason.")
            choice = None
        return Plan(choice, words, who) if choice or words or who else None


def is_blank(reader: FormReader, name: str, kind: str) -> bool:
    """Whether nothing was entered in a field of a kind."""
    text = reader.text(name)
    return text.lower() in _OFF if kind == TICK else not text


def plans_of(reader: FormReader, outline: Outline) -> dict[tuple[str, int], Plan]:
    """(Item, learner) → its plan. A line that does not say whose it is belongs to nobody."""
    plans: dict[tuple[str, int], Plan] = {}
    for line in range(1, OPEN_LINES + 1):
        if not any(reader.text(field_name("open", line, part)) for part in OPEN_PARTS):
            continue
        plan, place = reader.plan(line), _place(reader, outline, line)
        if place is None or plan is None:
            continue
        if place in plans:
            reader.note(field_name("open", line, "row"), "a plan for this row and learner stands "
                        "further up too. Both are kept, and the first letter counts.")  # fmt: skip
            plan = _both(plans[place], plan)
        plans[place] = plan
    return plans


def _both(first: Plan, second: Plan) -> Plan:
    words = "; ".join(text for text in (first.words, second.words) if text)
    who = "; ".join(text for text in (first.who, second.who) if text)
    return Plan(first.choice or second.choice, words, who)


def _place(reader: FormReader, outline: Outline, line: int) -> tuple[str, int] | None:
    """Which row and whose a line of the open points is about."""
    name = field_name("open", line, "row")
    row = reader.number(name, len(outline.items))
    if row is None:
        if not reader.text(name):
            reader.note(name, "is blank, so the line counts for no row. Write the row's number.")
        return None
    item = outline.items[row - 1]
    takers = [number for number, _ in outline.takers(item)]
    whose = field_name("open", line, "learner")
    learner = reader.number(whose, len(outline.learners))
    if learner is None and reader.text(whose):
        return None
    if learner is None and len(takers) == 1:
        return item.id, takers[0]
    if learner is None or learner - 1 not in takers:
        known = " or ".join(str(number + 1) for number in takers)
        reader.note(whose, f"row {row} is asked of learner {known}. Write whose line it is.")
        return None
    return item.id, learner - 1


def _short(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= 20 else line[:20] + "…"
