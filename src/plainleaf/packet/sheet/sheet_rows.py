"""The rows of the sheet in print order, and its lines for sessions with what is planned."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from plainleaf.compose.word import (
    Run,
    WordedPacket,
    WordedPrompt,
    WordedSkill,
    WordedStatement,
    Wording,
    Words,
)
from plainleaf.facts.derived import Typed
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import Session
from plainleaf.packet.sheet.outline import LETTERS, SHOW, Outline, OutlineItem
from plainleaf.packet.sheet.sheet_person import words_of

# Letters of sessions beyond those that every sheet has a line for.
_ALL_LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True)
class Beside:
    """A question in the language of learners who read no English."""

    language: str
    direction: str
    ask: Words
    again: Words | None


@dataclass(frozen=True)
class SheetRow:
    """A question or a skill. `says`: what to listen for; `steps`: of a skill.

    `takers`: numbers of the learners of whom it is asked; `page`: of the handout.
    """

    number: int
    item: OutlineItem
    ask: Words
    says: Words
    again: Words | None
    steps: tuple[Words, ...]
    beside: tuple[Beside, ...]
    takers: tuple[int, ...]
    page: str


@dataclass(frozen=True)
class SheetSession:
    """A line for a session; what is planned is filled in. `plan`: what the file says of it."""

    letter: str
    start: str
    minutes: str
    rows: str
    plan: tuple[Words, ...]


# --- rows ----------------------------------------------------------------------------------------


def between(mark: str, lines: Sequence[Words]) -> Words:
    """Some words in one line with a mark between them."""
    runs = [run for line in lines for run in (Run(mark), *line.runs)]
    return Words(tuple(runs[1:]))


def statement_words(statement: WordedStatement) -> Words:
    """A statement in one line, a table row by row."""
    if statement.words is not None:
        return statement.words
    rows = statement.block.rows if statement.block else ()
    lines = [between(", ", [line for cell in row for line in cell]) for row in rows]
    return between("; ", lines)


def worded_items(packet: WordedPacket) -> dict[str, WordedPrompt | WordedSkill]:
    """Every question and skill of a packet by its id."""
    found: dict[str, WordedPrompt | WordedSkill] = {}
    for module in packet.modules:
        found |= {prompt.id: prompt for prompt in module.prompts}
        found |= {skill.id: skill for skill in module.skills}
    return found


def heard(prompt: WordedPrompt, statements: Mapping[str, WordedStatement]) -> Words:
    """What to listen for: its short lines, and of what has none the words of the handout."""
    short = {name for _, of in prompt.listen for name in of}
    lines = [words for words, _ in prompt.listen]
    lines += [statement_words(statements[n]) for n in prompt.listen_for if n not in short]
    return between(" ", lines)


def sheet_rows(
    outline: Outline,
    packet: WordedPacket,
    others: Mapping[str, WordedPacket],
    pages: Mapping[str, str],
) -> list[SheetRow]:
    """Every item of the outline.

    Args:
        others: The teaching in other languages, by language.
        pages: Item → the page of the handout that covers it.
    """
    statements, worded = packet.statements(), worded_items(packet)
    foreign = {tag: worded_items(other) for tag, other in others.items()}
    rows = []
    for item in outline.items:
        one = worded[item.id]
        is_prompt = isinstance(one, WordedPrompt)
        takers = outline.takers(item)
        tags = dict.fromkeys(lr.handout for _, lr in takers if lr.handout in foreign)
        rows.append(
            SheetRow(
                outline.row(item),
                item,
                one.ask if isinstance(one, WordedPrompt) else one.title,
                heard(one, statements) if isinstance(one, WordedPrompt) else Words(()),
                one.again if isinstance(one, WordedPrompt) else None,
                () if is_prompt else tuple(statement_words(statements[p]) for p in item.points),
                tuple(_beside(others[tag], foreign[tag][item.id]) for tag in tags),
                tuple(number for number, _ in takers),
                pages.get(item.id, ""),
            )
        )
    return rows


def _beside(packet: WordedPacket, one: WordedPrompt | WordedSkill) -> Beside:
    if isinstance(one, WordedPrompt):
        return Beside(packet.language, packet.direction, one.ask, one.again)
    return Beside(packet.language, packet.direction, one.title, None)


def row_texts(rows: Sequence[SheetRow]) -> list[tuple[str, Words]]:
    """What must stand in the print, in its order, each with its name; of other languages those
    that run from left to right.
    """
    texts = []
    for row in rows:
        beside = [b for b in row.beside if b.direction == "ltr"]
        steps = row.steps if row.item.ticked else ()
        lines = [row.ask, *(b.ask for b in beside), *steps, row.says, row.again]
        lines += [b.again for b in beside]
        texts += [(_name(row), words) for words in lines if words is not None and words.runs]
    return texts


def turned_texts(rows: Sequence[SheetRow]) -> list[tuple[str, Words]]:
    """The same of languages that run from right to left: no reader gives back their order."""
    return [
        (_name(row), words)
        for row in rows
        for one in row.beside
        for words in (one.ask, one.again)
        if one.direction == "rtl" and words is not None
    ]


def _name(row: SheetRow) -> str:
    return f"row {row.number} ('{row.item.id}')"


# --- sessions ------------------------------------------------------------------------------------


def letters_for(patient: Patient) -> tuple[str, ...]:
    """The letters of the lines for sessions: one for each that is planned, and four at least."""
    return tuple(_ALL_LETTERS[: max(len(LETTERS), len(patient.sessions))])


def sheet_sessions(outline: Outline, patient: Patient, wording: Wording) -> list[SheetSession]:
    """The lines for sessions. A row belongs to the first planned session that holds its topic."""
    lines, left = [], {(i.id, who) for i in outline.items for who, _ in outline.takers(i)}
    for number, letter in enumerate(outline.letters, 1):
        if number > len(patient.sessions):
            lines.append(SheetSession(letter, "", "", "", ()))
            continue
        session = patient.sessions[number - 1]
        rows = ranges(_rows_of(outline, session, left))
        heading, said = session_words(number, session, patient, wording)
        start = session.at.strftime("%Y-%m-%d %H:%M")
        minutes = str(session.lasts.to("min").value.to_integral_value())
        lines.append(SheetSession(letter, start, minutes, rows, (heading, *said)))
    return lines


def _rows_of(outline: Outline, session: Session, left: set[tuple[str, int]]) -> list[int]:
    """The rows of a session; whom each is asked of leaves `left`."""
    rows = []
    for item in outline.items:
        mine = {
            (item.id, who)
            for who, learner in outline.takers(item)
            if learner.name in session.who and item.asked_of.belongs_to(session.topics)
        } & left
        left -= mine
        rows += [outline.row(item)] if mine else []
    return rows


def session_words(
    number: int, session: Session, patient: Patient, wording: Wording
) -> tuple[Words, tuple[Words, ...]]:
    """Which session: when and how long, with whom, about what; held, where that was decided."""
    heading = wording.phrase(
        "sheet-session", number=str(number), at=Typed("moment", session.at),
        long=Typed("span", session.lasts),
    )  # fmt: skip
    who, topics = wording.listed(list(session.who)), words_of("duty", session.topics, wording)
    lines = [wording.phrase("sheet-session-who", who=who, topics=topics)]
    held = (o for o in patient.outcomes if o.finding == "session-past" and str(number) in o.about)
    lines += [wording.phrase("sheet-session-held", on=Typed("date", session.at.date()))
              for _ in held]  # fmt: skip
    return heading, tuple(lines)


def ranges(numbers: Collection[int]) -> str:
    """Numbers in order, as short as they can be said.

    >>> ranges([1, 2, 3, 5, 7, 8])
    '1-3, 5, 7-8'
    """
    parts: list[list[int]] = []
    for number in sorted(numbers):
        if parts and number == parts[-1][-1] + 1:
            parts[-1].append(number)
        else:
            parts.append([number])
    return ", ".join(str(p[0]) if len(p) == 1 else f"{p[0]}-{p[-1]}" for p in parts)


def fit_lines(outline: Outline, patient: Patient, wording: Wording) -> list[Words]:
    """How the rows fit into the time: in two sessions where none is planned, and what may wait."""
    rows = outline.row
    asks = [rows(i) for i in outline.items if i.critical and i.kind != SHOW]
    shows = [rows(i) for i in outline.items if i.critical and i.kind == SHOW]
    later = [rows(i) for i in outline.items if not i.critical]
    lines = []
    if not patient.sessions:
        half = (len(asks) + 1) // 2
        lines.append(wording.phrase("sheet-fit-first", rows=ranges(asks[:half])))
        lines.append(wording.phrase("sheet-fit-second", rows=ranges(asks[half:] + shows)))
    if later:
        lines.append(wording.phrase("sheet-fit-later", rows=ranges(later)))
    return lines
