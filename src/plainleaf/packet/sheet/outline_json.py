"""The outline of a teach-back sheet as data: the key `teach_back` of `packet.json`, and back."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from plainleaf.compose.word import Run, WordedBlock, WordedStatement, Words
from plainleaf.packet.sheet.outline import Item, Learner, Outline, Signer, Speech
from plainleaf.vocabulary.errors import RecordError

FORMAT = 1
_AROUND = ("language", "direction", "marks", "identity", "version", "staff_mark")


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
    found: dict[str, Any] = {name: getattr(speech, name) for name in _AROUND}
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
        str(data["staff_mark"]),
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
        "made": outline.made.isoformat(timespec="minutes"),
        "staff_language": outline.staff,
        "print_size": outline.print_size,
        "tries": outline.tries,
        "interpreter_needed": outline.interpreter_needed,
        "learners": [vars(learner) for learner in outline.learners],
        "items": [vars(item) | {"points": list(item.points)} for item in outline.items],
        "needs": list(outline.needs),
        "signers": [vars(signer) for signer in outline.signers],
        "danger": {level: list(ids) for level, ids in outline.danger.items()},
        "phones": dict(outline.phones),
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
        datetime.fromisoformat(data["made"]),
        str(data["staff_language"]),
        int(data["print_size"]),
        int(data["tries"]),
        bool(data["interpreter_needed"]),
        tuple(Learner(**one) for one in data["learners"]),
        tuple(Item(**{**one, "points": tuple(one["points"])}) for one in data["items"]),
        tuple(map(str, data["needs"])),
        tuple(Signer(**one) for one in data["signers"]),
        {str(level): tuple(ids) for level, ids in data["danger"].items()},
        {name: str(data["phones"][name]) for name in ("clinic", "after_hours", "emergency")},
        {str(tag): _speech(words) for tag, words in data["words"].items()},
    )
