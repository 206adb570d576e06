"""The outline of a teach-back sheet as data: the key `teach_back` of `packet.json`, and back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plainleaf.compose.word import Run, WordedBlock, WordedStatement, Words
from plainleaf.packet.record.packet_record import PacketRecord
from plainleaf.packet.record.sheet_record import SheetStatementRow, SpeechRow, WordsRow
from plainleaf.packet.sheet.outline import Outline, OutlineItem, OutlineLearner, Signer, Speech

_AROUND = ("language", "direction", "marks", "identity", "version", "staff_mark")


def _words_data(words: Words) -> list[Any]:
    """Plain text as text, a merged value as [text, kind]."""
    return [run.text if not run.kind else [run.text, run.kind] for run in words.runs]


def _words(row: WordsRow) -> Words:
    return Words(tuple(Run(part) if isinstance(part, str) else Run(*part) for part in row))


def _statement_data(statement: WordedStatement) -> dict[str, Any]:
    data: dict[str, Any] = {"kind": statement.kind}
    if statement.words is not None:
        data["words"] = _words_data(statement.words)
    if statement.block is not None:
        block = statement.block
        rows = [[[_words_data(ln) for ln in cell] for cell in row] for row in block.rows]
        head = [_words_data(words) for words in block.head]
        data["block"] = {"name": block.name, "look": block.look, "head": head, "rows": rows}
    return data


def _statement(identity: str, row: SheetStatementRow) -> WordedStatement:
    block = None
    if row.block is not None:
        rows = tuple(
            tuple(tuple(_words(line) for line in cell) for cell in cells)
            for cells in row.block.rows
        )
        head = tuple(_words(words) for words in row.block.head)
        block = WordedBlock(row.block.name, row.block.look, head, rows)
    words = None if row.words is None else _words(row.words)
    return WordedStatement(identity, row.kind, words, block, ())


def _speech_data(speech: Speech) -> dict[str, Any]:
    data: dict[str, Any] = {name: getattr(speech, name) for name in _AROUND}
    for name in ("titles", "asks", "again"):
        data[name] = {key: _words_data(words) for key, words in getattr(speech, name).items()}
    data["statements"] = {key: _statement_data(st) for key, st in speech.statements.items()}
    return data


def _speech(row: SpeechRow) -> Speech:
    return Speech(
        row.language,
        row.direction,
        row.marks,
        row.identity,
        row.version,
        row.staff_mark,
        _all_words(row.titles),
        _all_words(row.asks),
        _all_words(row.again),
        {key: _statement(key, statement) for key, statement in row.statements.items()},
    )


def _all_words(rows: Mapping[str, WordsRow]) -> dict[str, Words]:
    return {key: _words(row) for key, row in rows.items()}


def _learner_data(learner: OutlineLearner) -> dict[str, Any]:
    """A learner; duties only where a packet knows them."""
    data = dict(vars(learner))
    duties = data.pop("duties")
    return data if duties is None else {**data, "duties": list(duties)}


def _item_data(item: OutlineItem, outline: Outline) -> dict[str, Any]:
    """A question or skill; its page as far as the packet knows it, and whose it is only where the
    learners have duties.
    """
    data = vars(item) | {"points": list(item.points)}
    duty, topic = data.pop("duty"), data.pop("topic")
    if not item.page:
        del data["page"]
    if all(learner.duties is None for learner in outline.learners):
        return data
    return data | {"duty": list(duty), "topic": topic}


def outline_data(outline: Outline) -> dict[str, Any]:
    """The outline as the key `teach_back` of `packet.json`."""
    return {
        "format": outline.form,
        "version": outline.version,
        "made": outline.made.isoformat(timespec="minutes"),
        "staff_language": outline.staff,
        "print_size": outline.print_size,
        "tries": outline.tries,
        **({"letters": list(outline.letters)} if outline.form > 1 else {}),
        "interpreter_needed": outline.interpreter_needed,
        "learners": [_learner_data(learner) for learner in outline.learners],
        "items": [_item_data(item, outline) for item in outline.items],
        "needs": list(outline.needs),
        "signers": [vars(signer) for signer in outline.signers],
        "danger": {level: list(ids) for level, ids in outline.danger.items()},
        "phones": dict(outline.phones),
        "words": {tag: _speech_data(speech) for tag, speech in outline.speeches.items()},
    }


def outline_of(record: PacketRecord) -> Outline:
    """What the sheet of a packet asks, from the packet's record."""
    sheet = record.teach_back
    return Outline(
        sheet.version,
        sheet.made,
        sheet.staff_language,
        sheet.print_size,
        sheet.tries,
        sheet.interpreter_needed,
        tuple(OutlineLearner(**dict(row)) for row in sheet.learners),
        tuple(OutlineItem(**dict(row)) for row in sheet.items),
        sheet.needs,
        tuple(Signer(**dict(row)) for row in sheet.signers),
        sheet.danger,
        {name: number for name, number in sheet.phones if number is not None},
        {tag: _speech(row) for tag, row in sheet.words.items()},
        sheet.letters,
        sheet.format,
    )
