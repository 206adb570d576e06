"""How far each language is: message by message, and as a table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from plainleaf.authoring.translation.messages import English, Messages, variants_of
from plainleaf.authoring.translation.pofile import Entry, read_po_file

STATES = ("translated", "fuzzy", "stale", "missing")


@dataclass(frozen=True)
class Row:
    """One module of one language: message id → state, and the entries that there are."""

    language: str
    module: str
    states: Mapping[str, str]
    entries: Mapping[str, Entry]

    def count(self, state: str) -> int:
        """Messages in a state."""
        return sum(state_of_message == state for state_of_message in self.states.values())

    @property
    def complete(self) -> bool:
        """Whether every message is translated from the English of today."""
        return self.count("translated") == len(self.states)


def state_of(message: English, entry: Entry | None) -> str:
    """One of STATES; stale: made from another English, and not marked so by an update yet."""
    if entry is None or not entry.full:
        return "missing"
    if entry.fuzzy:
        return "fuzzy"
    return "translated" if entry.source == message.source else "stale"


def rows(messages: Messages, locales: Path, tag: str) -> Iterator[Row]:
    """Every module of a language.

    Raises:
        LocaleError: A PO file cannot be read.
    """
    for module, of_module in messages.items():
        file = read_po_file(locales / tag / f"{module}.po", f"locales/{tag}/{module}.po")
        entries = {entry.id: entry for entry in file.entries}
        every = [*of_module, *(v for message in of_module for v in variants_of(message, entries))]
        states = {message.id: state_of(message, entries.get(message.id)) for message in every}
        yield Row(tag, module, states, entries)
