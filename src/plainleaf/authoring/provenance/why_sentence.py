"""From a printed sentence back to its making: statement, rule, facts, settings, sources."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import partial

from plainleaf.authoring.provenance.explanation import (
    Cited,
    Explanation,
    SentenceAnswer,
    Traced,
    setting_line,
)
from plainleaf.authoring.readability.counters import sentences, tokens
from plainleaf.authoring.readability.pieces import Piece, Printed, handout, sheet
from plainleaf.compose.word import wording_of
from plainleaf.facts import FACTS, SLOTS, Noting, keys_in, settings_in
from plainleaf.inputs.content import (
    Library,
    Module,
    Section,
    ShowBack,
    Statement,
    TeachBack,
    slots_in,
)
from plainleaf.packet.build import word_only
from plainleaf.packet.record.settings_read import behind_statement, noting_of
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.conditions import ALWAYS, Answer, Condition

# As many places are explained; a word like "tube" stands in most.
MOST_PLACES = 5
NEAREST = 3
_POLICY = "policy."


@dataclass(frozen=True)
class PlacedStatement:
    """Where a statement stands in the teaching folder."""

    module: Module
    section: Section
    statement: Statement


def places(library: Library) -> dict[str, PlacedStatement]:
    """Every statement of the library by id."""
    return {
        statement.id: PlacedStatement(module, section, statement)
        for module in library.modules
        for section, statement in module.statements()
    }


def deciding(condition: Condition, known: Mapping[str, str | None]) -> tuple[str, ...]:
    """The facts that are enough for the answer, in the order of asking.

    One false part decides an `all`, one true part an `any`; unknown needs every unknown part.
    """
    if condition.op == "is":
        return (condition.fact,)
    if condition.op == "not":
        return deciding(condition.parts[0], known)
    answer = condition.ask(known)
    short = Answer.FALSE if condition.op == "all" else Answer.TRUE
    parts = [part for part in condition.parts if part.ask(known) is answer]
    if answer is short:
        parts = parts[:1]
    return tuple(dict.fromkeys(fact for part in parts for fact in deciding(part, known)))


def _is_policy(source: str) -> bool:
    return source.startswith(_POLICY)


# --- finding the sentence -----------------------------------------------------------------------


def _plain(text: str) -> str:
    return " ".join(text.lower().replace("\u00a0", " ").split())


def pieces_of(decision: Decision) -> list[Piece]:
    """Everything that prints for one patient: the handout, then what the nurse says."""
    packet, front = word_only(decision)
    printed = Printed(decision.patient.person.name, packet, front=front)
    return [*handout(printed), *sheet(printed)]


def find(pieces: list[Piece], text: str) -> list[Piece]:
    """The pieces that hold a text, whatever the spaces and capitals; each statement once."""
    wanted = _plain(text)
    if not wanted:
        return []
    holding = [piece for piece in pieces if wanted in _plain(piece.words.plain)]
    exact = [piece for piece in holding if _plain(piece.words.plain) == wanted]
    found: dict[str, Piece] = {}
    for piece in exact or holding:
        found.setdefault(piece.where, piece)
    return list(found.values())


def nearest(pieces: list[Piece], text: str) -> list[tuple[str, str]]:
    """The printed sentences most like a text, with their ids, nearest first, each words once.

    Shared words count first, then shared letters in order.
    """
    wanted = _plain(text)
    stems = _stems(wanted)
    printed: dict[str, str] = {}
    for piece in pieces:
        for one in sentences(piece.words.plain):
            printed.setdefault(one, piece.where)
    matcher = SequenceMatcher(b=wanted, autojunk=False)

    def likeness(said: str) -> float:
        matcher.set_seq1(_plain(said))
        own = _stems(_plain(said))
        return len(own & stems) / max(1, len(own | stems)) + matcher.ratio()

    ordered = sorted(printed, key=lambda said: -likeness(said))
    return [(said, printed[said]) for said in ordered[:NEAREST]]


def _stems(text: str) -> frozenset[str]:
    """The first letters of the longer words of a text: heavy, lifting → heav, lift."""
    return frozenset(word[:4] for word in tokens(text) if len(word) > 3)


# --- the answer ---------------------------------------------------------------------------------


def _behind(noted: Noting, work: Callable[[], object]) -> tuple[str, ...]:
    """The keys and settings that are read while something is worked out, in words."""
    names = noted.behind(work)
    keys = [f"patient file: {key}" for key in keys_in(names)]
    return (*keys, *(f"setting: {name}" for name in settings_in(names)))


def _facts(decision: Decision, condition: Condition) -> Iterator[Traced]:
    known, noted = decision.facts.answers, noting_of(decision)
    for fact in deciding(condition, known):
        behind = _behind(noted, partial(noted.facts.answers.get, fact))
        yield Traced(fact, known.get(fact) or "unknown", FACTS[fact].means, behind)


def _slots(decision: Decision, text: str) -> Iterator[Traced]:
    noted, wording = noting_of(decision), wording_of(decision)
    for slot in slots_in(text):
        value = decision.facts.values.get(slot)
        words = wording.value(value).plain if value else "no value"
        behind = _behind(noted, partial(noted.facts.values.get, slot))
        yield Traced(slot, words, SLOTS[slot].means, behind)


def _cited(decision: Decision, name: str) -> Cited:
    if _is_policy(name):
        entry = decision.policy.entries[name.removeprefix(_POLICY)]
        return Cited(name, "", setting_line(entry))
    library = decision.library
    fact = library.claims[name]
    place = f", {fact.at}" if fact.at else ""
    papers = (library.sources[key] for key in fact.sources)
    titles = tuple(f"{paper.title} ({paper.body}, {paper.year}){place}" for paper in papers)
    return Cited(name, fact.status, fact.says, titles)


def _rule(condition: Condition) -> str:
    return "always" if condition == ALWAYS else str(condition)


def explain(decision: Decision, place: PlacedStatement, says: str) -> Explanation:
    """All that stands behind one statement for this patient."""
    library, statement = decision.library, place.statement
    condition = library.conditions[statement.id]
    child = decision.facts.answers["child"] == "true"
    text = "" if statement.kind == "block" else statement.words(child=child)
    entries = decision.policy.entries
    settings = settings_in(
        behind_statement(noting_of(decision), library, decision.selection, statement)
    )
    return Explanation(
        says,
        "statement",
        statement.id,
        str(library.folder / place.module.file),
        statement.line,
        statement.kind.replace("_", " "),
        place.module.id,
        "reviewed" if decision.reviewed(place.module.id) else "draft",
        _rule(condition),
        {advice.act: advice.stance for advice in statement.advice},
        tuple(_facts(decision, condition)),
        tuple(_slots(decision, text)),
        tuple(entries[name] for name in settings),
        tuple(_cited(decision, name) for name in statement.sources),
    )


_Part = Section | TeachBack | ShowBack


def _part(library: Library, identity: str) -> tuple[Module, _Part] | None:
    """The section, question or skill of an id, with its topic."""
    for module in library.modules:
        parts: tuple[_Part, ...] = (*module.sections, *module.teach_back, *module.show_back)
        for part in parts:
            if part.id == identity:
                return module, part
    return None


def _other(decision: Decision, piece: Piece) -> Explanation:
    """What stands behind print that is no statement: a title, a heading, a caution, a question."""
    library, says = decision.library, piece.words.plain
    named = _part(library, piece.where)
    if named is None:
        phrases = str(library.folder / "phrases.yaml")
        title = f"page-{piece.where}" if piece.role == "title" else "words around the teaching"
        return Explanation(says, piece.role, title, phrases)
    module, part = named
    return Explanation(
        says,
        piece.role,
        part.id,
        str(library.folder / module.file),
        part.line,
        rule=_rule(part.when),
        facts=tuple(_facts(decision, part.when)),
    )


def _not_printed(decision: Decision, text: str) -> tuple[Explanation, ...]:
    """A sentence of the library that this patient does not get, with what kept it out."""
    wanted = _plain(text)
    for place in places(decision.library).values():
        texts = (place.statement.text, place.statement.child_text or "")
        if place.statement.kind != "block" and any(wanted in _plain(t) for t in texts):
            return (explain(decision, place, place.statement.text),)
    return ()


def why_sentence(decision: Decision, text: str) -> SentenceAnswer:
    """The making of a printed sentence or part of one.

    Raises:
        MissingFactError, LocaleError: The packet cannot be worded.
    """
    pieces, known = pieces_of(decision), places(decision.library)
    holding = find(pieces, text)
    if holding:
        explanations = tuple(
            explain(decision, known[piece.where], piece.words.plain)
            if piece.where in known
            else _other(decision, piece)
            for piece in holding[:MOST_PLACES]
        )
        return SentenceAnswer(text, True, explanations, max(0, len(holding) - MOST_PLACES))
    kept_out = _not_printed(decision, text) if text.strip() else ()
    close = () if kept_out else tuple(nearest(pieces, text))
    return SentenceAnswer(text, False, kept_out, close=close)
