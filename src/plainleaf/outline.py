"""What a teach-back sheet asks, of whom and in which words: kept in `packet.json`.

The filled sheet is read back with it, and the follow-up papers take their words from it, so that
nothing is worded a second time and no patient file is needed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from plainleaf.errors import RecordError
from plainleaf.word import Run, WordedBlock, WordedPacket, WordedStatement, Words

FORMAT = 1
TELL, SHOW = "tell", "show"


@dataclass(frozen=True)
class Learner:
    """Someone who is taught; `handout` is the language of the handout that this person reads."""

    name: str
    relation: str
    language: str
    handout: str
    hands_on: bool
    phone: str | None


@dataclass(frozen=True)
class Item:
    """One thing to check: a question to `tell` or a skill to `show`.

    `points`: statement ids to listen for, or the steps of the skill, in print order.
    """

    id: str
    module: str
    kind: str
    critical: bool
    points: tuple[str, ...]


@dataclass(frozen=True)
class Signer:
    """Who signs, and the key of the fields."""

    key: str
    who: str


@dataclass(frozen=True)
class Speech:
    """The words of the sheet in one language, with what stands around each page.

    `titles` by module, `asks` and `again` by item, `statements` by id (those the items and the
    danger signs name).
    """

    language: str
    direction: str
    marks: str
    identity: str
    version: str
    titles: Mapping[str, Words]
    asks: Mapping[str, Words]
    again: Mapping[str, Words]
    statements: Mapping[str, WordedStatement]


@dataclass(frozen=True)
class Outline:
    """One sheet. `danger`: level of call (`now`, `today`) → statement ids of page one.

    `tries`: rows for tries on the sheet, after which a plan is due.
    """

    version: str
    staff: str
    tries: int
    interpreter_needed: bool
    learners: tuple[Learner, ...]
    items: tuple[Item, ...]
    needs: tuple[str, ...]
    signers: tuple[Signer, ...]
    danger: Mapping[str, tuple[str, ...]]
    speeches: Mapping[str, Speech]

    def takers(self, item: Item) -> tuple[tuple[int, Learner], ...]:
        """Learners with their numbers of whom an item is asked: a skill of those who give care."""
        return tuple(
            (number, learner)
            for number, learner in enumerate(self.learners)
            if learner.hands_on or item.kind == TELL
        )


def items_of(packet: WordedPacket) -> tuple[Item, ...]:
    """Every question and skill of a packet, in print order."""
    found: list[Item] = []
    for module in packet.modules:
        found += [
            Item(prompt.id, module.id, TELL, prompt.critical, prompt.listen_for)
            for prompt in module.prompts
        ]
        found += [
            Item(skill.id, module.id, SHOW, skill.critical, skill.steps) for skill in module.skills
        ]
    return tuple(found)


def danger_of(packet: WordedPacket) -> dict[str, tuple[str, ...]]:
    """The call lines of the first topic by level; sections without a level are left out."""
    found: dict[str, tuple[str, ...]] = {}
    for section in packet.modules[0].sections:
        if section.level in ("now", "today"):
            ids = tuple(
                statement.id
                for statement in section.statements
                if statement.kind in ("call_now", "call_today")
            )
            found[section.level] = found.get(section.level, ()) + ids
    return found


def speech_of(packet: WordedPacket, marks: str, identity: str, version: str) -> Speech:
    """A packet's words as far as the items and the danger signs need them."""
    every = packet.statements()
    used = [point for item in items_of(packet) for point in item.points]
    used += [point for ids in danger_of(packet).values() for point in ids]
    asks: dict[str, Words] = {}
    again: dict[str, Words] = {}
    for module in packet.modules:
        for prompt in module.prompts:
            asks[prompt.id], again[prompt.id] = prompt.ask, prompt.again
        asks |= {skill.id: skill.title for skill in module.skills}
    return Speech(
        packet.language,
        packet.direction,
        marks,
        identity,
        version,
        {module.id: module.title for module in packet.modules if module.prompts or module.skills},
        asks,
        again,
        {identity: every[identity] for identity in dict.fromkeys(used)},
    )


# --- as data, and back --------------------------------------------------------------------------


def _words_data(words: Words) -> list[Any]:
    """Plain text as text, a merged value as [text, kind]."""
    return [run.text if not run.kind else [run.text, run.kind] for run in words.runs]


def _words(data: Any) -> Words:
    return Words(tuple(Run(part) if isinstance(part, str) else Run(*part) for part in data))


def _statement_data(statement: WordedStatement) -> dict[str, Any]:
    found: dict[str, Any] = {"kind": statement.kind}
    if statement.words is not None:
        found["words"] = _words_data(statement.words)
    if statement.block is not None:
        block = statement.block
        rows = [[[_words_data(ln) for ln in cell] for cell in row] for row in block.rows]
        head = [_words_data(words) for words in block.head]
        found["block"] = {"name": block.name, "look": block.look, "head": head, "rows": rows}
    return found


def _statement(identity: str, data: Any) -> WordedStatement:
    block = None
    if "block" in data:
        raw = data["block"]
        rows = tuple(
            tuple(tuple(_words(line) for line in cell) for cell in row) for row in raw["rows"]
        )
        head = tuple(_words(words) for words in raw["head"])
        block = WordedBlock(str(raw["name"]), str(raw["look"]), head, rows)
    words = _words(data["words"]) if "words" in data else None
    return WordedStatement(identity, str(data["kind"]), words, block, ())


def _speech_data(speech: Speech) -> dict[str, Any]:
    found: dict[str, Any] = {
        name: getattr(speech, name)
        for name in ("language", "direction", "marks", "identity", "version")
    }
    for name in ("titles", "asks", "again"):
        found[name] = {key: _words_data(words) for key, words in getattr(speech, name).items()}
    found["statements"] = {key: _statement_data(st) for key, st in speech.statements.items()}
    return found


def _speech(data: Any) -> Speech:
    def worded(name: str) -> dict[str, Words]:
        return {key: _words(value) for key, value in data[name].items()}

    return Speech(
        str(data["language"]),
        str(data["direction"]),
        str(data["marks"]),
        str(data["identity"]),
        str(data["version"]),
        worded("titles"),
        worded("asks"),
        worded("again"),
        {key: _statement(key, value) for key, value in data["statements"].items()},
    )


def outline_data(outline: Outline) -> dict[str, Any]:
    """The outline as the key `teach_back` of `packet.json`."""
    return {
        "format": FORMAT,
        "version": outline.version,
        "staff_language": outline.staff,
        "tries": outline.tries,
        "interpreter_needed": outline.interpreter_needed,
        "learners": [vars(learner) for learner in outline.learners],
        "items": [vars(item) | {"points": list(item.points)} for item in outline.items],
        "needs": list(outline.needs),
        "signers": [vars(signer) for signer in outline.signers],
        "danger": {level: list(ids) for level, ids in outline.danger.items()},
        "words": {tag: _speech_data(speech) for tag, speech in outline.speeches.items()},
    }


def read_outline(record: Any, where: str) -> Outline:
    """The outline of a packet's record.

    Args:
        record: `packet.json` as data.
        where: The name of the file, for messages.
    Raises:
        RecordError: It is no record of a packet, or one of an older program.
    """
    if not isinstance(record, dict) or "version" not in record or "statements" not in record:
        raise RecordError(f"{where}: is not the packet.json of a packet. Name the right file.")
    data = record.get("teach_back")
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise RecordError(
            f"{where}: does not say what its teach-back sheet asks; an older program wrote it. "
            "Build the packet again."
        )
    try:
        return _outline(data)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise RecordError(
            f"{where}: its part teach_back is not whole ({type(error).__name__}). "
            "Build the packet again."
        ) from error


def _outline(data: Any) -> Outline:
    return Outline(
        str(data["version"]),
        str(data["staff_language"]),
        int(data["tries"]),
        bool(data["interpreter_needed"]),
        tuple(Learner(**one) for one in data["learners"]),
        tuple(Item(**{**one, "points": tuple(one["points"])}) for one in data["items"]),
        tuple(map(str, data["needs"])),
        tuple(Signer(**one) for one in data["signers"]),
        {str(level): tuple(ids) for level, ids in data["danger"].items()},
        {str(tag): _speech(words) for tag, words in data["words"].items()},
    )
