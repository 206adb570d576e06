"""Derives facts: all of them for a packet, or one at a time with what stands behind it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar, cast

from plainleaf.facts.checks import CHECKS
from plainleaf.facts.declare import Asked, Slot, word_of
from plainleaf.facts.derived import Checked, Facts, Phrase, Typed
from plainleaf.facts.given import Given, given_of, noting_given
from plainleaf.facts.notebook import Notebook
from plainleaf.facts.registry import FACTS, SLOTS
from plainleaf.facts.supplies import supplies
from plainleaf.facts.timeline import timeline
from plainleaf.facts.tripwires import WordLists
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.policy import Policy

T = TypeVar("T")


def _answer(fact: Asked[Given], given: Given, known: Mapping[str, str | None]) -> str | None:
    """The word of one fact.

    Args:
        known: Answers to the facts that it follows from.
    """
    if fact.follows is not None:
        answer = fact.follows.ask(known).value
        return None if answer == "unknown" else answer
    return word_of(fact.derive(given)) if fact.derive is not None else None


def _value(slot: Slot[Given], given: Given) -> Typed | None:
    """The value of one slot; a phrase may stand in for a text that the file does not hold."""
    value = slot.derive(given)
    if value is None:
        return None
    return Typed("phrase" if isinstance(value, Phrase) else slot.kind, value)


def derive(patient: Patient, policy: Policy, words: WordLists) -> Facts:
    """All facts of one patient under one policy.

    Args:
        words: The medicine tripwire lists of the library.
    """
    given = given_of(patient, policy, words)
    known: dict[str, str | None] = {}
    for name, fact in FACTS.items():
        known[name] = _answer(fact, given, known)
    values = {name: _value(slot, given) for name, slot in SLOTS.items()}
    return Facts(
        answers=known,
        values={name: value for name, value in values.items() if value is not None},
        events=given.events,
        totals=given.totals,
        timeline=timeline(given),
        supplies=supplies(given),
        medicines=given.medicines,
        checks={name: check.run(given) for name, check in CHECKS.items()},
    )


# --- with what stands behind ---------------------------------------------------------------------


class _Lazy(Mapping[str, T]):
    """Values by name, each worked out when it is asked for, and noted with what it reads."""

    def __init__(self, names: Collection[str], work: Callable[[str], T]) -> None:
        self.names, self.work = names, work

    def __getitem__(self, name: str) -> T:
        if name not in self.names:
            raise KeyError(name)
        return self.work(name)

    def __iter__(self) -> Iterator[str]:
        return (name for name in self.names if name in self)

    def __len__(self) -> int:
        return sum(1 for _ in self)


class _Parts:
    """Facts of which each part is worked out when it is asked for."""

    def __init__(self, parts: Mapping[str, Callable[[], object]]) -> None:
        self.parts = parts

    def __getattr__(self, name: str) -> object:
        return self.parts[name]()


@dataclass(frozen=True)
class Noting:
    """The facts of one patient, worked out again one at a time, so that it can be said of
    anything made of them what it was read from.

    `patient`, `policy` and `facts` are the values that are noted when they are read.
    """

    patient: Patient
    policy: Policy
    facts: Facts
    notebook: Notebook

    def behind(self, work: Callable[[], object]) -> tuple[str, ...]:
        """Keys and settings that are read while something is worked out, each once."""
        return self.notebook.behind(work)[1]


def noting(patient: Patient, policy: Policy, words: WordLists) -> Noting:
    """The givens of one patient in such a way that what is read of them is noted."""
    given, notebook = noting_given(given_of(patient, policy, words))

    def answer(name: str) -> str | None:
        return notebook.once(("fact", name), lambda: _answer(FACTS[name], given, answers))

    def value(name: str) -> Typed:
        typed = notebook.once(("slot", name), lambda: _value(SLOTS[name], given))
        if typed is None:
            raise KeyError(name)
        return typed

    def checked(name: str) -> Checked:
        return notebook.once(("check", name), lambda: CHECKS[name].run(given))

    answers: Mapping[str, str | None] = _Lazy(FACTS, answer)
    parts: dict[str, Callable[[], object]] = {
        "answers": lambda: answers,
        "values": lambda: _Lazy(SLOTS, value),
        "checks": lambda: _Lazy(CHECKS, checked),
        "events": lambda: given.events,
        "totals": lambda: given.totals,
        "medicines": lambda: given.medicines,
        "timeline": lambda: notebook.once("timeline", lambda: timeline(given)),
        "supplies": lambda: notebook.once("supplies", lambda: supplies(given)),
    }
    return Noting(given.patient, given.policy, cast("Facts", _Parts(parts)), notebook)
