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

from plainleaf.errors import Fault
from plainleaf.reading import Node
from plainleaf.vocabulary import Fact


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

    def ask(self, known: Mapping[str, str | None]) -> Answer:
        """The answer for one patient.

        Args:
            known: Fact name → answer word, or None where the fact is unknown.
        """
        if self.op == "is":
            answer = known.get(self.fact)
            if answer is None:
                return _UNKNOWN
            return _TRUE if answer in self.answers else _FALSE
        if self.op == "not":
            return ~self.parts[0].ask(known)
        deciding = _FALSE if self.op == "all" else _TRUE
        unknown = False
        for part in self.parts:
            answer_of_part = part.ask(known)
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


def both(first: Condition, second: Condition) -> Condition:
    """The condition that holds where both hold."""
    if first == ALWAYS:
        return second
    return first if second == ALWAYS else Condition("all", (first, second))


def read_condition(node: Node, vocabulary: Mapping[str, Fact], faults: list[Fault]) -> Condition:
    """A condition from YAML; faults are noted and the rest is read on.

    Args:
        vocabulary: The facts that may be asked here.
    """
    if node.value == "always":
        return ALWAYS
    if not isinstance(node.value, Mapping) or not node.value:
        faults.append(node.fault("is not a condition.", "Write always, or {fact: answer}."))
        return ALWAYS
    parts = [_entry(key, value, vocabulary, faults) for key, value in node.value.items()]
    return parts[0] if len(parts) == 1 else Condition("all", tuple(parts))


def _entry(key: str, node: Node, vocabulary: Mapping[str, Fact], faults: list[Fault]) -> Condition:
    if key in ("all", "any"):
        if not isinstance(node.value, tuple) or not node.value:
            faults.append(node.fault(f"'{key}' is not a list of conditions."))
            return ALWAYS
        return Condition(key, tuple(read_condition(n, vocabulary, faults) for n in node.value))
    if key == "not":
        return Condition("not", (read_condition(node, vocabulary, faults),))
    fact = vocabulary.get(key)
    if fact is None or not fact.answers:
        faults.append(node.fault(f"'{key}' is not a fact that a condition may ask."))
        return ALWAYS
    return Condition("is", fact=key, answers=_answers(fact, node, faults))


def _answers(fact: Fact, node: Node, faults: list[Fault]) -> tuple[str, ...]:
    value = node.value
    if isinstance(value, Mapping) and set(value) == {"one_of"}:
        inner = value["one_of"].value
        nodes = inner if isinstance(inner, tuple) else ()
    else:
        nodes = (node,)
    words = [n.value for n in nodes if isinstance(n.value, str)]
    for word in words:
        if word not in fact.answers:
            faults.append(
                node.fault(
                    f"'{fact.name}' is never '{word}'.", f"Write one of: {', '.join(fact.answers)}."
                )
            )
    if not words or len(words) != len(nodes):
        faults.append(node.fault(f"'{fact.name}' needs an answer or {{one_of: [ … ]}}."))
    return tuple(words)
