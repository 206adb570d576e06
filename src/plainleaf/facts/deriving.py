"""Derives facts: all of them for a packet, or one at a time with what stands behind it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import cast

from plainleaf.facts.checks import CHECKS
from plainleaf.facts.declare import Asked, Slot, word_of
from plainleaf.facts.derived import Facts, Phrase, Supply, Typed
from plainleaf.facts.given import Given, given_of, leaf_noting_given, noting_given
from plainleaf.facts.notebook import Lazy, Notebook
from plainleaf.facts.registry import FACTS, SLOTS
from plainleaf.facts.supplies import look_at_supplied, supplies
from plainleaf.facts.timeline import timeline
from plainleaf.inputs.content import MedicineLists
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.policy import Policy


def _answer(fact: Asked[Given], given: Given, answers: Mapping[str, str | None]) -> str | None:
    """The word of one fact.

    Args:
        known: Answers to the facts that it follows from.
    """
    if fact.follows is not None:
        answer = fact.follows.ask(answers).value
        return None if answer == "unknown" else answer
    return word_of(fact.derive(given)) if fact.derive is not None else None


def _value(slot: Slot[Given], given: Given) -> Typed | None:
    """The value of one slot; a phrase may stand in for a text that the file does not hold."""
    value = slot.derive(given)
    if value is None:
        return None
    return Typed("phrase" if isinstance(value, Phrase) else slot.kind, value)


def derive(patient: Patient, policy: Policy, lists: MedicineLists) -> Facts:
    """All facts of one patient under one policy.

    Args:
        lists: The medicine lists of the library.
    """
    given = given_of(patient, policy, lists)
    answers: dict[str, str | None] = {}
    for name, fact in FACTS.items():
        answers[name] = _answer(fact, given, answers)
    values = {name: _value(slot, given) for name, slot in SLOTS.items()}
    return Facts(
        answers=answers,
        values={name: value for name, value in values.items() if value is not None},
        events=given.events,
        totals=given.totals,
        plans=given.plans,
        timeline=timeline(given),
        supplies=supplies(given),
        medicines=given.medicines,
        checks={name: check.run(given) for name, check in CHECKS.items()},
    )


# --- with what stands behind ---------------------------------------------------------------------


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


def noting(patient: Patient, policy: Policy, lists: MedicineLists) -> Noting:
    """The givens of one patient in such a way that what is read of them is noted."""
    return _noting(*noting_given(given_of(patient, policy, lists)))


def noting_leaves(patient: Patient, policy: Policy, lists: MedicineLists, facts: Facts) -> Noting:
    """The same, with every single value noted that somebody typed in a file of format 2.

    Args:
        facts: Those of the patient: plans and supplies are not worked out a second time.
    """
    given, notebook = leaf_noting_given(given_of(patient, policy, lists), facts.plans)
    return _noting(given, notebook, facts.supplies)


def _noting(given: Given, notebook: Notebook, counted: tuple[Supply, ...] | None = None) -> Noting:
    def value(name: str) -> Typed:
        typed = notebook.once(("values", name), lambda: _value(SLOTS[name], given))
        if typed is None:
            raise KeyError(name)
        return typed

    def list_of_supplies() -> tuple[Supply, ...]:
        if counted is None:
            return supplies(given)
        look_at_supplied(given)
        return counted

    answers: Mapping[str, str | None] = notebook.lazy(
        "answers", FACTS, lambda name: _answer(FACTS[name], given, answers)
    )
    values = Lazy(SLOTS, value)
    checks = notebook.lazy("checks", CHECKS, lambda name: CHECKS[name].run(given))
    parts: dict[str, Callable[[], object]] = {
        "answers": lambda: answers,
        "values": lambda: values,
        "checks": lambda: checks,
        "events": lambda: given.events,
        "totals": lambda: given.totals,
        "plans": lambda: given.plans,
        "medicines": lambda: given.medicines,
        "timeline": lambda: timeline(given),
        "supplies": lambda: notebook.once("supplies", list_of_supplies),
    }
    return Noting(given.patient, given.policy, cast("Facts", _Parts(parts)), notebook)
