"""Takes typed values out of one mapping and notes every fault on the way."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import TypeVar

from plainleaf.inputs.strict_yaml.nodes import Node
from plainleaf.vocabulary.errors import Fault, UnitError
from plainleaf.vocabulary.printable import named, unprintable

# Names and notes longer than this do not fit the page they are for.
LONGEST_TEXT = 400
# Control characters, the marks that turn the direction of a line (Unicode TR 9), and letters
# without any shape, which a reader cannot see and the finished print does not give back.
_HIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u200b\u200e\u200f\u2028-\u202e"
    "\u2060-\u2069\ufeff\U000e0000-\U000e007f]"
)
# Signs without a letter or a digit, or the number of a list: they say nothing, and in print they
# pass for the sign of a list.
_SAYS_NOTHING = re.compile(r"[^\w]+|\d{1,2}\.")
# A blank of the starter file that nobody filled in: <name>.
_BLANK = re.compile("<[^<>]+>")
T = TypeVar("T")


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
        if lacking := unprintable(raw):
            wrong = f"{self.name(key)} holds what the packet's letters cannot print: "
            self.note(node, f"{wrong}{named(lacking)}.", "Write it in other letters.")
            return None
        if not clean:
            self.note(node, f"{self.name(key)} is empty.", "Write it, or leave the line out.")
            return None
        if _BLANK.fullmatch(clean):
            self.note(node, f"{self.name(key)}: '{clean}' is still a blank.", "Fill it in.")
            return None
        if _SAYS_NOTHING.fullmatch(clean):
            self.note(node, f"{self.name(key)}: '{clean}' says nothing.",
                      "Write it in words, or leave the line out.")  # fmt: skip
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
        words: list[str] = []
        for node in self.items(key):
            text = node.value if isinstance(node.value, str) else ""
            word = self.word(node, text, allowed, self.name(key))
            if word in words:
                self.note(node, f"{self.name(key)}: '{word}' stands twice.", "Keep one.")
            elif word is not None:
                words.append(word)
        return tuple(words)

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
