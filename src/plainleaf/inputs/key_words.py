"""Words about the keys of the patient file: what one holds, when it is due, an example of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plainleaf.vocabulary.patient_file import (
    Block,
    Count,
    Either,
    Flag,
    Key,
    ListOf,
    MapOf,
    Rule,
    Scalar,
    Shape,
    Text,
    When,
    Word,
    listed,
)


def blank_of(key: Key) -> str:
    """What a starter file asks for under a key, quoted where its values are."""
    words = f"<{key.blank or _asks(key)}>"
    return f'"{words}"' if _scalar_example(key).startswith('"') and ":" not in words else words


def _asks(key: Key) -> str:
    if isinstance(key.holds, Word):
        return listed(key.holds.words)
    if isinstance(key.holds, Scalar):
        return key.holds.blank
    return key.name


def _scalar_example(key: Key) -> str:
    if key.example:
        return key.example
    return key.holds.example if isinstance(key.holds, Scalar) else ""


def example_of(key: Key) -> str:
    """An example of a key's value, as YAML in one line."""
    return key.example or _example(key.holds)


def _example(shape: Shape) -> str:
    if isinstance(shape, Scalar):
        return shape.example
    if isinstance(shape, Word):
        return shape.words[0]
    if isinstance(shape, ListOf):
        return f"[{_example(shape.item)}]"
    if isinstance(shape, Either):
        return _example(shape.choices[0])
    if isinstance(shape, Block):
        return f"{{{', '.join(f'{key.name}: {example_of(key)}' for key in shape.keys)}}}"
    return {Flag: "true", Count: "1"}.get(type(shape), "…")


def holds(shape: Shape) -> str:
    """What a key may hold, in words."""
    if isinstance(shape, Scalar):
        return shape.blank if " with " in shape.blank else shape.name
    if isinstance(shape, Word):
        return listed(shape.words)
    if isinstance(shape, ListOf):
        return f"list of {_many(shape.item)}"
    if isinstance(shape, Count):
        return f"{shape.low} to {shape.high}"
    if isinstance(shape, MapOf):
        return f"{holds(shape.name)}, each with: {holds(shape.item)}"
    if isinstance(shape, Either):
        return f"{', or '.join(holds(choice) for choice in shape.choices)}"
    if isinstance(shape, Text):
        return f"text, at most {shape.longest} letters"
    return "true or false" if isinstance(shape, Flag) else "keys below"


def _many(shape: Shape) -> str:
    if isinstance(shape, Word):
        return f"words: {', '.join(shape.words)}"
    return {Block: "blocks, keys below", Text: "texts"}.get(type(shape), f"one {holds(shape)} each")


def due(key: Key, block: Block) -> str:
    """When a key is due, in words; empty where it may always be left out."""
    if key.required:
        return "always"
    return "; ".join(_due(key.name, [rule for rule in block.rules if isinstance(rule, Rule)]))


def _due(key: str, rules: Sequence[Rule]) -> Iterator[str]:
    of_one_key: dict[str, list[str]] = {}
    for rule in rules:
        if key not in rule.needs:
            continue
        first = rule.when[0]
        if len(rule.when) == 1 and first.words and not first.is_not:
            of_one_key.setdefault(first.key, []).extend(first.words)
        else:
            yield " and ".join(_when(when) for when in rule.when)
    for other, words in of_one_key.items():
        yield f"{other} is {listed(words)}"
    yield from _instead_of(key, rules)


def _instead_of(key: str, rules: Sequence[Rule]) -> Iterator[str]:
    """The other keys of which one takes this one's place."""
    for rule in rules:
        others = [group.needs for group in rule.one_of if key not in group.needs]
        if others and len(others) < len(rule.one_of):
            given = "".join(f"{_when(when)}, " for when in rule.when)
            yield f"{given}unless {' or '.join(' and '.join(needs) for needs in others)}"


def _when(when: When) -> str:
    if when.words:
        return f"{when.key} is {'not ' if when.is_not else ''}{listed(when.words)}"
    return f"without {when.key}" if when.is_not else f"with {when.key}"
