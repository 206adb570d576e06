"""From a printed sentence back to its making: statement, rule, facts, settings, sources."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import partial

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
from plainleaf.inputs.policy import Policy, PolicyEntry, Range
from plainleaf.packet.build import word_only
from plainleaf.packet.record.settings_read import behind_statement, noting_of
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.conditions import ALWAYS, Answer, Condition

# As many places are explained; a word like "tube" stands in most.
MOST_PLACES = 5
NEAREST = 3
_POLICY = "policy."


@dataclass(frozen=True)
class Place:
    """Where a statement stands in the teaching folder."""

    module: Module
    section: Section
    statement: Statement


def places(library: Library) -> dict[str, Place]:
    """Every statement of the library by id."""
    return {
        statement.id: Place(module, section, statement)
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


def shown(entry: PolicyEntry) -> str:
    """The value of a setting as the policy file holds it."""
    value = entry.value
    if isinstance(value, Range):
        return f"{value.low} to {value.high}"
    if isinstance(value, bool):
        return "true" if value else "false"
    return "none" if value is None else str(value)


def setting_line(policy: Policy, name: str) -> str:
    """One setting with its value, its origin and who approved it."""
    entry = policy.entries[name]
    by = f"approved by {entry.approved_by}" if entry.approved_by else "approved by nobody yet"
    return f"{name} = {shown(entry)} ({entry.origin}; {by}; review by {entry.review_by})"


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


def _behind(noted: Noting, work: Callable[[], object]) -> str:
    """The keys and settings that are read while something is worked out, in words."""
    names = noted.behind(work)
    keys = [f"patient file: {key}" for key in keys_in(names)]
    return "; ".join([*keys, *(f"setting: {name}" for name in settings_in(names))])


def _facts(decision: Decision, condition: Condition) -> Iterator[str]:
    known, noted = decision.facts.answers, noting_of(decision)
    for fact in deciding(condition, known):
        answer = known.get(fact) or "unknown"
        behind = _behind(noted, partial(noted.facts.answers.get, fact))
        yield f"  {fact} = {answer} ({FACTS[fact].means}; {behind})"


def _slots(decision: Decision, text: str) -> Iterator[str]:
    noted = noting_of(decision)
    for slot in slots_in(text):
        value = decision.facts.values.get(slot)
        worded = wording_of(decision).value(value).plain if value else "no value"
        behind = _behind(noted, partial(noted.facts.values.get, slot))
        yield f"  {{{slot}}} = {worded} ({SLOTS[slot].means}; {behind})"


def _sources(decision: Decision, statement: Statement) -> Iterator[str]:
    library = decision.library
    for name in statement.sources:
        if _is_policy(name):
            yield f"  {name}: {setting_line(decision.policy, name.removeprefix(_POLICY))}"
            continue
        fact = library.facts[name]
        at = f", {fact.at}" if fact.at else ""
        yield f"  {name} [{fact.status}]: {fact.says}"
        for key in fact.sources:
            source = library.sources[key]
            yield f"    {source.title} ({source.body}, {source.year}){at}"


def _section_of(title: str, lines: Iterator[str]) -> list[str]:
    found = list(lines)
    return [title, *found] if found else []


def explain(decision: Decision, place: Place, said: str) -> str:
    """All that stands behind one statement for this patient."""
    library, statement = decision.library, place.statement
    condition = library.conditions[statement.id]
    child = decision.facts.answers["child"] == "true"
    text = "" if statement.kind == "block" else statement.words(child=child)
    settings = settings_in(behind_statement(noting_of(decision), library, statement))
    advice = ", ".join(f"{a.act}: {a.stance}" for a in statement.advice)
    lines = [
        f'"{said}"',
        f"statement: {statement.id} ({statement.kind.replace('_', ' ')})",
        f"topic: {place.module.id} ({place.module.status})",
        f"file: {library.folder / place.module.file}:{statement.line}",
        f"rule: {'always' if condition == ALWAYS else condition}",
        *([f"advice: {advice}"] if advice else []),
        *_section_of("facts that decided:", _facts(decision, condition)),
        *_section_of("values:", _slots(decision, text)),
        *_section_of(
            "settings:", (f"  {setting_line(decision.policy, name)}" for name in settings)
        ),
        *_section_of("sources:", _sources(decision, statement)),
    ]
    return "\n".join(lines) + "\n"


_Part = Module | Section | TeachBack | ShowBack


def _part(library: Library, identity: str) -> tuple[Module, _Part] | None:
    """The topic, section, question or skill of an id, with its topic."""
    for module in library.modules:
        parts: tuple[_Part, ...] = (
            module,
            *module.sections,
            *module.teach_back,
            *module.show_back,
        )
        for part in parts:
            if part.id == identity:
                return module, part
    return None


def _other(decision: Decision, piece: Piece) -> str:
    """What stands behind print that is no statement: a title, a heading, a caution, a question."""
    found = _part(decision.library, piece.where)
    lines = [f'"{piece.words.plain}"']
    if found is None:
        lines.append(f"{piece.role}: words around the teaching")
        lines.append(f"file: {decision.library.folder / 'phrases.yaml'}")
    else:
        module, part = found
        line = "" if isinstance(part, Module) else f":{part.line}"
        lines.append(f"{piece.role}: {part.id}")
        lines.append(f"file: {decision.library.folder / module.file}{line}")
        lines.append(f"rule: {'always' if part.when == ALWAYS else part.when}")
        lines += _section_of("facts that decided:", _facts(decision, part.when))
    return "\n".join(lines) + "\n"


def _not_printed(decision: Decision, text: str) -> str:
    """A sentence of the library that this patient does not get, with what kept it out."""
    wanted = _plain(text)
    for place in places(decision.library).values():
        texts = (place.statement.text, place.statement.child_text or "")
        if place.statement.kind != "block" and any(wanted in _plain(t) for t in texts):
            return "Not printed for this patient. It stands in the teaching:\n" + explain(
                decision, place, place.statement.text
            )
    return ""


def why_sentence(decision: Decision, text: str) -> tuple[str, bool]:
    """The making of a printed sentence or part of one, and whether it prints.

    Raises:
        MissingFactError, LocaleError: The packet cannot be worded.
    """
    pieces, known = pieces_of(decision), places(decision.library)
    found = find(pieces, text)
    if found:
        answers = [
            explain(decision, known[piece.where], piece.words.plain)
            if piece.where in known
            else _other(decision, piece)
            for piece in found[:MOST_PLACES]
        ]
        if len(found) > MOST_PLACES:
            answers.append(f"and {len(found) - MOST_PLACES} places more; give more of the words.\n")
        return "\n".join(answers), True
    kept_out = _not_printed(decision, text) if text.strip() else ""
    if kept_out:
        return kept_out, False
    close = [f'  {where}: "{said}"\n' for said, where in nearest(pieces, text)]
    return "".join([f'No printed sentence holds "{text}". The nearest:\n', *close]), False
