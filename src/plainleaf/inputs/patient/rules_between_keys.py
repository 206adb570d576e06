"""Checks the rules between the keys of a block."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plainleaf.inputs.strict_yaml import Node, Reader
from plainleaf.vocabulary.patient_file import Block, Group, Rule, SignedBy, When
from plainleaf.vocabulary.settling import credential_of


def note_broken_rules(reader: Reader, block: Block, values: Mapping[str, Any]) -> None:
    """Note every key that is missing or may not stand beside the others."""
    for rule in block.rules:
        if isinstance(rule, SignedBy):
            _signed(reader, rule, values)
        elif all(_holds(when, values) for when in rule.when):
            _missing(reader, rule)
            _refused(reader, rule)
            _groups(reader, rule)
            _among(reader, rule, values)


def _holds(when: When, values: Mapping[str, Any]) -> bool:
    value = _below(values, when.key)
    if when.words:
        fits = not set(when.words).isdisjoint(value if isinstance(value, tuple) else (value,))
    else:
        fits = value not in (None, False)
    return fits is not when.is_not


def _below(values: Any, key: str) -> Any:
    for part in key.split("."):
        values = values.get(part) if isinstance(values, Mapping) else None
    return values


def _node(reader: Reader, key: str) -> Node | None:
    """The node under a dotted key, or None where nothing, or a flag's `false`, is written."""
    node: Node | None = reader.node
    for part in key.split("."):
        inner = node.value if node is not None else None
        node = inner.get(part) if isinstance(inner, Mapping) else None
    if node is None or node.value is None or (node.value == "false" and not node.quoted):
        return None
    return node


def _missing(reader: Reader, rule: Rule) -> None:
    for key in rule.needs:
        above, _, name = key.rpartition(".")
        if _node(reader, key) is None and (not above or _node(reader, above) is not None):
            block = _node(reader, above) if above else reader.node
            reader.note(block or reader.node, f"{reader.name(key)} is missing.", f"Write {name}: …")
    if rule.any_of and all(_node(reader, key) is None for key in rule.any_of):
        wanted = f"Write at least one of: {', '.join(rule.any_of)}."
        reader.note(reader.node, f"{reader.where} lacks a key that it needs.", wanted)


def _refused(reader: Reader, rule: Rule) -> None:
    wrong, instead = rule.refused
    for key in rule.refuses:
        node = _node(reader, key)
        if node is not None:
            reader.note(node, wrong.format(name=reader.name(key)), instead)


def _groups(reader: Reader, rule: Rule) -> None:
    if not rule.one_of:
        return
    fitting = [group for group in rule.one_of if _complete(reader, group)]
    if len(fitting) == 1:
        return
    wrong, instead = rule.several if fitting else rule.none
    reader.note(reader.node, f"{reader.where} {wrong}", instead)


def _complete(reader: Reader, group: Group) -> bool:
    return all(_node(reader, key) is not None for key in group.needs) and all(
        _node(reader, key) is None for key in group.refuses
    )


def _among(reader: Reader, rule: Rule, values: Mapping[str, Any]) -> None:
    for key, words in rule.among:
        if values[key] is not None and values[key] not in words:
            reader.note(
                reader.mapping[key],
                f"{reader.name(key)}: '{values[key]}' cannot stand here.",
                f"Write one of: {', '.join(words)}.",
            )


def _signed(reader: Reader, rule: SignedBy, values: Mapping[str, Any]) -> None:
    """Note each decision that its signers may not make."""
    signer, other = values["by"], values["with"]
    lines = reader.mapping["decided"].value if values["decided"] else ()
    unread = signer is None or (other is None and "with" in reader.mapping)
    if unread or not isinstance(lines, tuple):
        return
    for line in lines:
        node = line.value.get("finding") if isinstance(line.value, Mapping) else None
        settling = rule.settled_by.get(str(node.value)) if node is not None else None
        if node is None or settling is None:
            continue
        signers = [who for who in (signer, other) if who is not None]
        if not any(credential_of(who) in settling.credentials for who in signers):
            wrong = f"{reader.where}: {signer} may not settle {node.value} (credential-wrong)."
            reader.note(node, wrong, f"Settled by: {settling.who}.")
        elif settling.both and not settling.pair(signer, other):
            wrong = f"{reader.where}: {node.value} is settled by two together (credential-wrong)."
            reader.note(node, wrong, f"Write by: and with:, {settling.who}.")
