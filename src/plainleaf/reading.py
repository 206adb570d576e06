"""Strict reading of YAML: every value keeps its line, every scalar stays the text it was.

Nothing is resolved for the writer: `08:00`, `1.0`, `2026-03-04` and `no` arrive as text, and
the loaders decide what they mean. Duplicate keys, aliases, tags and several documents are
refused, so that a file means what it shows.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from difflib import get_close_matches
from pathlib import Path
from typing import TypeVar

import yaml

from plainleaf.errors import Fault, UnitError

# A patient file holds a few pages of text; anything larger is not one.
LARGEST_FILE = 2_000_000
# Names and notes longer than this do not fit the page they are for.
LONGEST_TEXT = 400
DEEPEST = 40

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
# Control characters, the marks that turn the direction of a line (Unicode TR 9), and letters
# without any shape, which a reader cannot see and the finished print does not give back.
_HIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u200b\u200e\u200f\u2028-\u202e"
    "\u2060-\u2069\ufeff\U000e0000-\U000e007f]"
)
# A blank of the starter file that nobody filled in: <name>.
_BLANK = re.compile("<[^<>]+>")
# Tags that plain YAML gives by itself; any other was written by hand.
_OWN_TAGS = frozenset(
    f"tag:yaml.org,2002:{name}"
    for name in ("map", "seq", "str", "int", "float", "bool", "null", "timestamp", "merge", "value")
)
_NULLS = ("", "~", "null", "Null", "NULL")
T = TypeVar("T")


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


class Unreadable(Exception):
    """The text is not YAML of the strict kind; `fault` says where and why."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(str(fault))
        self.fault = fault


def read_text(path: Path) -> str:
    """The text of a file, UTF-8.

    Raises:
        Unreadable: No such file, not readable, too large, or not UTF-8.
    """
    try:
        raw = path.read_bytes()
    except OSError as error:
        reason = error.strerror or "cannot be opened"
        raise Unreadable(Fault(str(path), 0, f"cannot be read: {reason}.")) from error
    if len(raw) > LARGEST_FILE:
        raise Unreadable(Fault(str(path), 0, "is too large to be a file of this kind."))
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


@dataclass
class Reader:
    """Takes typed values out of one mapping and notes every fault on the way.

    A value that cannot be used is noted in `faults` and comes back as None; the loader raises
    once at the end with all of them. `close` notes the keys that nobody asked for.
    """

    node: Node
    faults: list[Fault]
    where: str = ""
    _asked: dict[str, None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not isinstance(self.node.value, Mapping):
            self.note(self.node, f"{self.where or 'the file'} is not a list of 'key: value' lines.")

    @property
    def mapping(self) -> Mapping[str, Node]:
        """The keys with their nodes; empty where the value is no mapping."""
        return self.node.value if isinstance(self.node.value, Mapping) else {}

    def note(self, node: Node, wrong: str, instead: str = "") -> None:
        """Keep a fault for the end."""
        self.faults.append(node.fault(wrong, instead))

    def name(self, key: str) -> str:
        """The full name of a key, for messages."""
        return f"{self.where}.{key}" if self.where else key

    def get(self, key: str, *, required: bool = False, hint: str = "") -> Node | None:
        """The node of a key, or None when it is absent or empty (a fault if required)."""
        self._asked[key] = None
        node = self.mapping.get(key)
        if node is not None and node.value is not None:
            return node
        if required:
            self.note(node or self.node, f"{self.name(key)} is missing.", hint or f"Write {key}: …")
        return None

    def convert(self, key: str, how: Callable[[str], T], *, required: bool = False) -> T | None:
        """A scalar turned by `how`, which raises UnitError with the two parts of the message."""
        text = self.scalar(key, required=required)
        if text is None:
            return None
        try:
            return how(text)
        except UnitError as error:
            self.note(self.mapping[key], f"{self.name(key)}: {error.wrong}", error.instead)
            return None

    def scalar(self, key: str, *, required: bool = False) -> str | None:
        """The raw text of a scalar."""
        node = self.get(key, required=required)
        if node is None:
            return None
        if not isinstance(node.value, str):
            self.note(node, f"{self.name(key)} holds a list or a block.", "Write one value.")
            return None
        return node.value

    def text(self, key: str, *, required: bool = False, longest: int = LONGEST_TEXT) -> str | None:
        """A printable text without hidden characters, spaces trimmed; never empty."""
        raw = self.scalar(key, required=required)
        if raw is None:
            return None
        clean = " ".join(raw.split())
        node = self.mapping[key]
        if _HIDDEN.search(raw):
            self.note(node, f"{self.name(key)} holds a hidden control character.", "Type it again.")
            return None
        if not clean:
            self.note(node, f"{self.name(key)} is empty.", "Write it, or leave the line out.")
            return None
        if _BLANK.fullmatch(clean):
            self.note(node, f"{self.name(key)}: '{clean}' is still a blank.", "Fill it in.")
            return None
        if len(clean) > longest:
            self.note(node, f"{self.name(key)} is longer than {longest} letters.", "Shorten it.")
            return None
        return clean

    def choice(self, key: str, words: Sequence[str], *, required: bool = False) -> str | None:
        """One word of a closed list."""
        text = self.text(key, required=required)
        if text is None:
            return None
        return self.word(self.mapping[key], text, words, self.name(key))

    def word(self, node: Node, text: str, words: Sequence[str], name: str) -> str | None:
        """The text if it is in the list; otherwise a fault that shows the list."""
        if text in words:
            return text
        close = get_close_matches(text, words, n=1)
        hint = f"Did you mean '{close[0]}'? " if close else ""
        self.note(
            node, f"{name}: '{text}' is not known.", f"{hint}Write one of: {', '.join(words)}."
        )
        return None

    def flag(self, key: str, *, default: bool = False) -> bool:
        """`true` or `false`; absent gives the default, which the caller documents."""
        text = self.scalar(key)
        if text is None:
            return default
        if text in ("true", "false") and not self.mapping[key].quoted:
            return text == "true"
        self.note(self.mapping[key], f"{self.name(key)}: '{text}'.", "Write true or false.")
        return default

    def count(self, key: str, *, low: int, high: int, required: bool = False) -> int | None:
        """A whole number within bounds."""
        text = self.scalar(key, required=required)
        if text is None:
            return None
        if re.fullmatch(r"[0-9]{1,6}", text) and low <= int(text) <= high:
            return int(text)
        self.note(
            self.mapping[key],
            f"{self.name(key)}: '{text}' is not a number from {low} to {high}.",
        )
        return None

    def items(self, key: str, *, required: bool = False) -> tuple[Node, ...]:
        """The nodes of a list; a single value is not taken for a list of one.

        A required list holds at least one.
        """
        node = self.get(key, required=required)
        if node is None:
            return ()
        if not isinstance(node.value, tuple):
            self.note(node, f"{self.name(key)} is not a list.", f"Write {key}: [ … ].")
            return ()
        if required and not node.value:
            self.note(node, f"{self.name(key)} is an empty list.", "Write at least one.")
        return node.value

    def words(self, key: str, allowed: Sequence[str]) -> tuple[str, ...]:
        """A list of words of a closed list, each at most once."""
        found: list[str] = []
        for node in self.items(key):
            text = node.value if isinstance(node.value, str) else ""
            word = self.word(node, text, allowed, self.name(key))
            if word in found:
                self.note(node, f"{self.name(key)}: '{word}' stands twice.", "Keep one.")
            elif word is not None:
                found.append(word)
        return tuple(found)

    def child(self, key: str, *, required: bool = False) -> Reader | None:
        """A reader of the mapping under a key."""
        node = self.get(key, required=required)
        if node is None:
            return None
        return Reader(node, self.faults, self.name(key))

    def children(self, key: str, *, required: bool = False) -> Iterator[Reader]:
        """A reader for each mapping of a list."""
        for number, node in enumerate(self.items(key, required=required)):
            yield Reader(node, self.faults, f"{self.name(key)}[{number}]")

    def close(self) -> None:
        """Note every key that nobody asked for."""
        for key, node in self.mapping.items():
            if key in self._asked:
                continue
            close = get_close_matches(key, self._asked, n=1)
            hint = f"Did you mean '{close[0]}'?" if close else f"Known: {', '.join(self._asked)}."
            self.note(node, f"{self.name(key)}: unknown key '{key}'.", hint)


# Beyond these years a date of a patient file is a slip of the pen.
FIRST_YEAR, LAST_YEAR = 1900, 2100
_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_CLOCK = re.compile(r"([0-9]{2}):([0-9]{2})")
_MOMENT = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})[ T]([0-9]{2}:[0-9]{2})(?::00)?")


def read_date(text: str) -> date:
    """A calendar date, written 2026-03-04.

    >>> read_date("2026-03-04")
    datetime.date(2026, 3, 4)
    """
    match = _DATE.fullmatch(text.strip())
    if match is None:
        raise UnitError(f"'{text}' is not a date.", "Write year-month-day: 2026-03-04.")
    if not FIRST_YEAR <= int(match[1]) <= LAST_YEAR:
        raise UnitError(
            f"'{text}' is not in a year from {FIRST_YEAR} to {LAST_YEAR}.", "Check the year."
        )
    try:
        return date(int(match[1]), int(match[2]), int(match[3]))
    except ValueError:
        raise UnitError(
            f"'{text}' is not a day of the calendar.", "Write year-month-day: 2026-03-04."
        ) from None


def read_clock(text: str) -> time:
    """A time of day on the 24-hour clock, written 18:00.

    >>> read_clock("18:00")
    datetime.time(18, 0)
    """
    match = _CLOCK.fullmatch(text.strip())
    if match is None or int(match[1]) > 23 or int(match[2]) > 59:
        raise UnitError(f"'{text}' is not a time of day.", 'Write 24-hour time: "18:00".')
    return time(int(match[1]), int(match[2]))


def read_moment(text: str) -> datetime:
    """A date with a time of day, written 2026-03-04 10:30.

    >>> read_moment("2026-03-04 10:30")
    datetime.datetime(2026, 3, 4, 10, 30)
    """
    match = _MOMENT.fullmatch(text.strip())
    if match is None:
        raise UnitError(
            f"'{text}' is not a date with a time.", "Write date and time: 2026-03-04 10:30."
        )
    return datetime.combine(read_date(match[1]), read_clock(match[2]))
