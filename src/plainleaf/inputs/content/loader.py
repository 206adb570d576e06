"""Opens the files of a teaching folder and keeps every fault."""

from __future__ import annotations

import re
from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import Path

from plainleaf.inputs.content.page_parts import page_pointed_to
from plainleaf.inputs.content.teaching_parts import SLOT, slots_in
from plainleaf.inputs.read_condition import read_condition
from plainleaf.inputs.strict_yaml import Reader, Unreadable, digest_of, parse, read_text
from plainleaf.vocabulary.conditions import ALWAYS, Condition
from plainleaf.vocabulary.errors import Fault
from plainleaf.vocabulary.facts import Fact, Vocabulary

_ID = re.compile(r"[a-z][a-z0-9-]*(\.[a-z0-9-]+)*")


class Loader:
    """Reads one teaching folder by a closed vocabulary and keeps every fault."""

    def __init__(self, folder: Path, vocabulary: Vocabulary) -> None:
        self.folder = folder
        self.vocabulary = vocabulary
        self.faults: list[Fault] = []
        self.ids: dict[str, str] = {}
        self.read: list[tuple[str, str]] = []
        # File → digest of what it says.
        self.files: dict[str, str] = {}
        # Page that a text points to → where the first text that does stands.
        self.pointed: dict[str, tuple[str, int]] = {}

    def open(self, relative: str) -> Reader | None:
        """A reader of a file of the folder, or None with a fault."""
        path = self.folder / relative
        try:
            text = read_text(path)
            node = parse(text, relative)
        except Unreadable as error:
            self.faults.append(
                Fault(relative, error.fault.line, error.fault.wrong, error.fault.instead)
            )
            return None
        self.read.append((relative, text))
        self.files[relative] = digest_of(node)
        return Reader(node, self.faults)

    def own(self, reader: Reader, identity: str | None, prefix: str = "") -> str:
        """An id that is well formed, new, and under its module's name."""
        if identity is None:
            return ""
        node = reader.mapping["id"]
        if not _ID.fullmatch(identity):
            reader.note(node, f"'{identity}' is not an id.", "Write small-words.with-dots.")
        if prefix and not identity.startswith(prefix + "."):
            reader.note(node, f"'{identity}' does not start with '{prefix}.'.")
        if identity in self.ids:
            reader.note(
                node, f"'{identity}' stands in {self.ids[identity]} too.", "Ids are unique."
            )
        self.ids[identity] = f"{reader.node.file}:{reader.node.line}"
        return identity

    def condition(self, reader: Reader, asked: Mapping[str, Fact] | None = None) -> Condition:
        """The condition under `when`; always, where there is none.

        Args:
            asked: What may be asked there; by default the facts about the patient.
        """
        node = reader.get("when")
        if node is None:
            return ALWAYS
        return read_condition(node, asked or self.vocabulary.facts, reader.faults)

    def worded(self, reader: Reader, key: str, *, required: bool = False) -> str | None:
        """A text whose braces are slots of the vocabulary and nothing else."""
        text = reader.text(key, required=required, longest=900)
        if text is None:
            return None
        node = reader.mapping[key]
        for slot in slots_in(text):
            pointed = page_pointed_to(slot)
            if pointed is not None:
                self.pointed.setdefault(pointed, (node.file, node.line))
            elif slot not in self.vocabulary.slots:
                close = get_close_matches(slot, self.vocabulary.slots, n=1)
                hint = f"Did you mean {{{close[0]}}}?" if close else "Write the value in words."
                reader.note(node, f"'{{{slot}}}' is not a slot.", hint)
        if re.search(r"[{}]", SLOT.sub("", text)):
            reader.note(node, "holds a brace that is not a slot.", "Write {slot_name}.")
        return text


def strings_at(reader: Reader, key: str, *, required: bool = False) -> tuple[str, ...]:
    """A list of words, each kept as it is written."""
    strings = []
    for node in reader.items(key, required=required):
        if isinstance(node.value, str) and node.value:
            strings.append(node.value)
        else:
            reader.note(node, f"{reader.name(key)} holds something that is not a word.")
    return tuple(strings)
