"""The small closed language of conditions, answering true, false or unknown.

A condition is `always`, a mapping of facts to answers, or one of `all`, `any`, `not`:

    {tube_kind: gastrostomy, held_by: {one_of: [balloon, bumper]}}
    {any: [{child: true}, {eats: nothing}]}

Logic with an unknown fact is Kleene's: `all` is false as soon as one part is false, `any` true as
soon as one is true, else an unknown part makes the whole unknown.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum


class Answer(Enum):
    """What a condition says of one patient."""

    TRUE = "true"
    FALSE = "false"
    UNKNOWN = "unknown"

    def __invert__(self) -> Answer:
        if self is Answer.UNKNOWN:
            return self
        return Answer.FALSE if self is Answer.TRUE else Answer.TRUE


# Asked some thousand times a packet: a name of this file is found faster than one of the class.
_TRUE, _FALSE, _UNKNOWN = Answer.TRUE, Answer.FALSE, Answer.UNKNOWN


def all_of(first: Answer, second: Answer) -> Answer:
    """What holds of two conditions together."""
    if first is _FALSE or second is _FALSE:
        return _FALSE
    return _UNKNOWN if first is _UNKNOWN or second is _UNKNOWN else _TRUE


@dataclass(frozen=True)
class Condition:
    """One node of a condition.

    `op` is `all`, `any`, `not` or `is`; `parts` holds the inner conditions; for `is`, `fact`
    names the fact and `answers` the words that make it true. `always` is an `all` of nothing.
    """

    op: str
    parts: tuple[Condition, ...] = ()
    fact: str = ""
    answers: tuple[str, ...] = ()

    def ask(self, answers: Mapping[str, str | None]) -> Answer:
        """The answer for one patient.

        Args:
            known: Fact name → answer word, or None where the fact is unknown.
        """
        if self.op == "is":
            answer = answers.get(self.fact)
            if answer is None:
                return _UNKNOWN
            return _TRUE if answer in self.answers else _FALSE
        if self.op == "not":
            return ~self.parts[0].ask(answers)
        deciding = _FALSE if self.op == "all" else _TRUE
        unknown = False
        for part in self.parts:
            answer_of_part = part.ask(answers)
            if answer_of_part is deciding:
                return deciding
            unknown = unknown or answer_of_part is _UNKNOWN
        return _UNKNOWN if unknown else ~deciding

    def facts(self) -> Iterator[str]:
        """Names of the facts asked, in order, with repeats."""
        if self.op == "is":
            yield self.fact
        for part in self.parts:
            yield from part.facts()

    def __str__(self) -> str:
        if self.op == "is":
            return f"{self.fact} is {' or '.join(self.answers)}"
        if self.op == "not":
            return f"not ({self.parts[0]})"
        if not self.parts:
            return "always"
        joined = (" and " if self.op == "all" else " or ").join(
            f"({part})" if part.op in ("all", "any") else str(part) for part in self.parts
        )
        return joined


ALWAYS = Condition("all")
NEVER = Condition("not", (ALWAYS,))


def both(first: Condition, second: Condition) -> Condition:
    """The condition that holds where both hold."""
    if first == ALWAYS:
        return second
    return first if second == ALWAYS else Condition("all", (first, second))


# --- conditions in short ------------------------------------------------------------------------


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
    pairs = [
        never(every(first, other)) for i, first in enumerate(parts) for other in parts[i + 1 :]
    ]
    return every(*pairs)
