"""Conditions in short, and what a model of legal combinations is made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from plainleaf.vocabulary.conditions import Condition


@dataclass(frozen=True)
class Constraint:
    """What holds for every printable patient, why, and where that is decided.

    `decided_by` is `loader`, `fact` or `rule ID`.
    """

    holds: Condition
    why: str
    decided_by: str


@dataclass(frozen=True)
class Model:
    """The facts with their answers, what holds between them, and the plainest answers.

    `plain` is only a wish: the smallest example of anything stays as near to it as it can.
    """

    variables: Mapping[str, tuple[str, ...]]
    constraints: tuple[Constraint, ...]
    plain: Mapping[str, str]

    def without(self, rule: str) -> Model:
        """The model without what one rule decides."""
        kept = tuple(c for c in self.constraints if c.decided_by != f"rule {rule}")
        return Model(self.variables, kept, self.plain)


def answers(fact: str, *words: str) -> Condition:
    """The fact has one of the answers."""
    return Condition("is", fact=fact, answers=words)


def yes(fact: str) -> Condition:
    """The fact is true."""
    return answers(fact, "true")


def no(fact: str) -> Condition:
    """The fact is false."""
    return answers(fact, "false")


def never(part: Condition) -> Condition:
    """The part is false."""
    return Condition("not", (part,))


def every(*parts: Condition) -> Condition:
    """All parts hold; of none, always."""
    return parts[0] if len(parts) == 1 else Condition("all", parts)


def some(*parts: Condition) -> Condition:
    """At least one part holds."""
    return parts[0] if len(parts) == 1 else Condition("any", parts)


def implies(first: Condition, then: Condition) -> Condition:
    """Where the first holds, the other holds."""
    return some(never(first), then)


def same(first: Condition, other: Condition) -> Condition:
    """Both hold or neither does."""
    return every(implies(first, other), implies(other, first))


def at_most_one(*parts: Condition) -> Condition:
    """No two of the parts hold together."""
    pairs = [never(every(one, other)) for i, one in enumerate(parts) for other in parts[i + 1 :]]
    return every(*pairs)


def alike(first: Condition, other: Condition, why: str, by: str = "fact") -> Constraint:
    """Both hold or neither does, and why."""
    return Constraint(same(first, other), why, by)


def whenever(first: Condition, then: Condition, why: str, by: str = "fact") -> Constraint:
    """Where the first holds, the other holds, and why."""
    return Constraint(implies(first, then), why, by)
