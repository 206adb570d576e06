"""The keys of a file's leaves: every value that somebody typed, by the key of its line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from plainleaf.inputs.strict_yaml import Node
from plainleaf.vocabulary.patient_file import FORMAT_2
from plainleaf.vocabulary.patient_file.leaf_shapes import leaf_shapes


def leaf_keys(root: Node) -> tuple[str, ...]:
    """The key of every value, in file order; a list of plain values counts as one.

    That a list of blocks is empty is no value: nothing was ordered there.

    >>> from plainleaf.inputs.strict_yaml import parse
    >>> leaf_keys(parse("tube: {size: 18 Fr}\\nfeeding: [{times: [a, b]}]", "patient.yaml"))
    ('tube.size', 'feeding[0].times')
    """
    return tuple(_below(root, ""))


def _below(node: Node, key: str) -> Iterator[str]:
    value = node.value
    if isinstance(value, Mapping):
        for name, inner in value.items():
            yield from _below(inner, f"{key}.{name}".lstrip("."))
    elif isinstance(value, tuple) and any(isinstance(item.value, Mapping) for item in value):
        for number, item in enumerate(value):
            yield from _below(item, f"{key}[{number}]")
    elif value != () or key in leaf_shapes(FORMAT_2):
        yield key
