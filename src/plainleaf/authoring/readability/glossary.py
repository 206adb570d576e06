"""The glossary: medical words explained at first use, and one word for one thing."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from plainleaf.authoring.readability.pieces import Piece, Printed, Remark, handout, sheet
from plainleaf.facts import FACTS
from plainleaf.inputs.read_condition import read_condition
from plainleaf.inputs.strict_yaml import Reader, Unreadable, parse, read_text
from plainleaf.vocabulary.conditions import ALWAYS, Condition
from plainleaf.vocabulary.errors import ContentError, Fault

FILE = "glossary.yaml"


@dataclass(frozen=True)
class Term:
    """A word of the trade. `means` None: an everyday word that needs no explaining.

    `needs`: the patients who may read it.
    """

    id: str
    words: tuple[str, ...]
    means: str | None
    explained: tuple[str, ...]
    exceptions: tuple[str, ...]
    needs: Condition = ALWAYS

    @property
    def clauses(self) -> tuple[str, ...]:
        """Every wording that explains it."""
        return () if self.means is None else (self.means, *self.explained)


@dataclass(frozen=True)
class OneWord:
    """Words that never print because another one stands for the same thing."""

    say: str
    never: tuple[str, ...]
    exceptions: tuple[str, ...]


@dataclass(frozen=True)
class Glossary:
    """The words of `teaching/glossary.yaml`."""

    terms: tuple[Term, ...]
    one_word: tuple[OneWord, ...]


def load_glossary(folder: Path) -> Glossary:
    """The glossary of a teaching folder.

    Raises:
        ContentError: With every fault found.
    """
    try:
        root = parse(read_text(folder / FILE), FILE)
    except Unreadable as error:
        raise ContentError([error.fault]) from error
    faults: list[Fault] = []
    reader = Reader(root, faults)
    terms = tuple(_term(r) for r in reader.children("terms", required=True))
    one_word = tuple(_one_word(r) for r in reader.children("one_word"))
    reader.close()
    if faults:
        raise ContentError(sorted(faults, key=lambda fault: fault.line))
    return Glossary(terms, one_word)


def _strings(reader: Reader, key: str, *, required: bool = False) -> tuple[str, ...]:
    nodes = reader.items(key, required=required)
    for node in nodes:
        if not isinstance(node.value, str):
            reader.note(node, f"{reader.name(key)} holds something that is not a text.")
    return tuple(node.value for node in nodes if isinstance(node.value, str))


def _term(reader: Reader) -> Term:
    if "means" not in reader.mapping:
        reader.note(reader.node, "a term says what it means.", "Write means: null if it is plain.")
    needs = reader.get("needs")
    term = Term(
        reader.text("id", required=True) or "",
        _strings(reader, "words", required=True),
        reader.text("means"),
        _strings(reader, "explained"),
        _strings(reader, "except"),
        ALWAYS if needs is None else read_condition(needs, FACTS, reader.faults),
    )
    reader.close()
    return term


def _one_word(reader: Reader) -> OneWord:
    entry = OneWord(
        reader.text("say", required=True) or "",
        _strings(reader, "never", required=True),
        _strings(reader, "except"),
    )
    reader.close()
    return entry


@cache
def _pattern(words: tuple[str, ...]) -> re.Pattern[str]:
    """Any of the words, whole; a word with a capital inside is taken as it is written."""
    parts = []
    for word in sorted(words, key=len, reverse=True):
        plain = re.escape(word).replace(r"\ ", r"\s+")
        parts.append(plain if word != word.lower() else f"(?i:{plain})")
    return re.compile(rf"(?<![\w-])(?:{'|'.join(parts)})(?![\w-])")


@cache
def uses(text: str, words: tuple[str, ...], exceptions: tuple[str, ...]) -> tuple[str, ...]:
    """The words of a list that a text uses outside the excepted phrases.

    >>> uses("Open the balloon port.", ("port",), ("balloon port",))
    ()
    """
    text = text.replace("\u00a0", " ")
    if exceptions:
        text = _pattern(exceptions).sub("\0", text)
    return tuple(_pattern(words).findall(text))


@cache
def explains(text: str, clauses: tuple[str, ...]) -> bool:
    """Whether a text holds one of the clauses, whatever the capitals and spaces."""
    plain = " ".join(text.lower().split())
    return any(clause.lower() in plain for clause in clauses)


@dataclass(frozen=True)
class FirstUse:
    """Where a term stands first in a packet, and whether any page of the packet explains it."""

    term: Term
    where: str
    text: str
    explained: bool


def _first_use(term: Term, pieces: Sequence[Piece]) -> FirstUse | None:
    """Titles and headings name a topic, a label points at what it names: they use no word."""
    running = (p for p in pieces if p.role not in ("title", "heading", "label", "alt"))
    first = next((p for p in running if uses(p.words.plain, term.words, term.exceptions)), None)
    if first is None:
        return None
    explained = any(explains(piece.words.plain, term.clauses) for piece in pieces)
    return FirstUse(term, first.where, first.words.plain, explained)


def first_uses(printed: Printed, glossary: Glossary) -> list[FirstUse]:
    """For each term with a meaning that the packet uses: its first use in reading order.

    Pages are looked up, not read through, and page 1 has no room to explain: a term is explained
    where any page of the packet says what it means.
    """
    pieces = list(handout(printed))
    each_first = (_first_use(term, pieces) for term in glossary.terms if term.means is not None)
    return [use for use in each_first if use is not None]


def explained_words(firsts: Sequence[FirstUse]) -> frozenset[tuple[str, ...]]:
    """The explained terms, each as its words in small letters, for the counters."""
    return frozenset(
        tuple(form.lower().split()) for use in firsts if use.explained for form in use.term.words
    )


def term_remarks(printed: Printed, glossary: Glossary, firsts: Sequence[FirstUse]) -> list[Remark]:
    """A fault for each term not explained at first use, and for each second word for a thing."""
    remarks = [
        Remark(
            "fault",
            "PM-04",
            use.where,
            f"'{use.term.id}' is not explained on any page: say \"{use.term.means}\".",
            printed.name,
        )
        for use in firsts
        if not use.explained
    ]
    for piece in (*handout(printed), *sheet(printed)):
        text = "".join(run.text for run in piece.words.runs if run.kind != "text")
        for entry in glossary.one_word:
            for word in uses(text, entry.never, entry.exceptions):
                says = f"'{word}': say '{entry.say}'."
                remarks.append(Remark("fault", "one-word", piece.where, says, printed.name))
    return remarks
