"""Reads a condition from YAML."""

from __future__ import annotations

from collections.abc import Mapping

from plainleaf.inputs.strict_yaml import Node
from plainleaf.vocabulary.conditions import ALWAYS, Condition
from plainleaf.vocabulary.errors import Fault
from plainleaf.vocabulary.facts import Fact


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
