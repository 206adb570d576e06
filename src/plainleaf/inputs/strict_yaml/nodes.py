"""YAML as nodes: every value keeps its line, every scalar stays the text it was."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import yaml

from plainleaf.inputs.files import LARGEST_TEXT, Unreadable, read_bytes
from plainleaf.vocabulary.errors import Fault

DEEPEST = 40

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
# Tags that plain YAML gives by itself; any other was written by hand.
_OWN_TAGS = frozenset(
    f"tag:yaml.org,2002:{name}"
    for name in ("map", "seq", "str", "int", "float", "bool", "null", "timestamp", "merge", "value")
)
_NULLS = ("", "~", "null", "Null", "NULL")


@dataclass(frozen=True)
class Node:
    """One value of a YAML file with the line it stands on.

    `value` is a text, a mapping of texts to nodes, a sequence of nodes, or None for an empty
    value. `quoted` tells a quoted scalar from a plain one.
    """

    value: str | Mapping[str, Node] | tuple[Node, ...] | None
    file: str
    line: int
    quoted: bool = False

    def fault(self, wrong: str, instead: str = "") -> Fault:
        """A fault at this value's line."""
        return Fault(self.file, self.line, wrong, instead)


def digest_of(node: Node) -> str:
    """SHA-256 of what a value says: its words, lists and keys, whatever the order of the keys.

    Comments, blank lines and quotes do not count.
    """
    return sha256(json.dumps(_plain(node), sort_keys=True).encode()).hexdigest()


def _plain(node: Node) -> Any:
    if isinstance(node.value, Mapping):
        return {key: _plain(inner) for key, inner in node.value.items()}
    if isinstance(node.value, tuple):
        return [_plain(inner) for inner in node.value]
    return node.value


def read_text(path: Path) -> str:
    """The text of a file, UTF-8.

    Raises:
        Unreadable: As `read_bytes`, or not UTF-8.
    """
    raw = read_bytes(path, LARGEST_TEXT)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise Unreadable(
            Fault(str(path), line, "holds letters that are not UTF-8.", "Save the file as UTF-8.")
        ) from error


def parse(text: str, file: str) -> Node:
    """The one YAML document in a text, as nodes.

    Raises:
        Unreadable: Not YAML, empty, or a form that is refused here.
    """
    try:
        root = yaml.compose(text, Loader=_Loader)
    except yaml.YAMLError as error:
        raise Unreadable(_yaml_fault(error, file)) from error
    except RecursionError as error:
        raise Unreadable(Fault(file, 1, "is nested too deeply.")) from error
    if root is None:
        raise Unreadable(Fault(file, 1, "is empty."))
    return _convert(root, file, set(), 0)


def _yaml_fault(error: yaml.YAMLError, file: str) -> Fault:
    mark = getattr(error, "problem_mark", None)
    problem = getattr(error, "problem", None) or getattr(error, "reason", "") or "is not YAML"
    line = mark.line + 1 if mark is not None else 1
    return Fault(
        file,
        line,
        f"cannot be read as YAML ({problem}).",
        "Check the spaces at the start of this line and the one above, and close each quote.",
    )


def _convert(node: yaml.Node, file: str, seen: set[int], depth: int) -> Node:
    line = node.start_mark.line + 1
    if id(node) in seen:
        raise Unreadable(
            Fault(file, line, "is used again through an alias (*).", "Write the value out there.")
        )
    if depth > DEEPEST:
        raise Unreadable(Fault(file, line, "is nested too deeply."))
    seen.add(id(node))
    if node.tag not in _OWN_TAGS:
        raise Unreadable(Fault(file, line, f"uses a tag ({node.tag}).", "Write plain text."))
    if isinstance(node, yaml.MappingNode):
        return Node(_convert_mapping(node, file, seen, depth), file, line)
    if isinstance(node, yaml.SequenceNode):
        items = tuple(_convert(item, file, seen, depth + 1) for item in node.value)
        return Node(items, file, line)
    if node.tag == "tag:yaml.org,2002:null" and node.value in _NULLS:
        return Node(None, file, line)
    return Node(node.value, file, line, quoted=bool(getattr(node, "style", None)))


def _convert_mapping(
    node: yaml.MappingNode, file: str, seen: set[int], depth: int
) -> Mapping[str, Node]:
    result: dict[str, Node] = {}
    for key_node, value_node in node.value:
        line = key_node.start_mark.line + 1
        if not isinstance(key_node, yaml.ScalarNode) or key_node.tag.endswith(":merge"):
            raise Unreadable(Fault(file, line, "has a key that is not a word."))
        _convert(key_node, file, seen, depth)
        key = key_node.value
        if key in result:
            raise Unreadable(
                Fault(file, line, f"has the key '{key}' twice.", "Keep one of the two.")
            )
        result[key] = _convert(value_node, file, seen, depth + 1)
    return result
