"""Reads all teaching content and reports every fault at once."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from plainleaf.content import Library, Module, Section, load_library
from plainleaf.errors import ContentError, Fault

# CDC index item 8 and PEMAT item 22 (restated): no more than seven items in one list.
LONGEST_LIST = 7
_YES_NO = re.compile(r"^(do|does|did|is|are|can|could|have|has|will|would) ", re.I)
_SHAMING = re.compile(
    r"\b(test|quiz|wrong|failed|compliant|do you understand|any questions)\b", re.I
)
_SYMBOLS = re.compile(r"[<>&+/°@]|\bcc\b|\b[0-9]")


def lint(folder: Path) -> tuple[Library | None, list[Fault]]:
    """The library of a folder, and every fault found in it."""
    try:
        library = load_library(folder)
    except ContentError as error:
        return None, list(error.faults)
    faults = [fault for module in library.modules for fault in _module_faults(module)]
    faults += _unused_acts(library)
    return library, sorted(faults, key=lambda fault: (fault.file, fault.line))


def _module_faults(module: Module) -> Iterator[Fault]:
    for section in module.sections:
        yield from _section_faults(module, section)
    for prompt in module.teach_back:
        for ask in filter(None, (prompt.ask, prompt.child_ask)):
            sentences = re.split(r"(?<=[.?])\s+", ask)
            if any(_YES_NO.match(s) and s.endswith("?") for s in sentences):
                yield Fault(module.file, prompt.line, f"'{prompt.id}' asks a yes-or-no question.")
            if _SHAMING.search(ask):
                yield Fault(module.file, prompt.line, f"'{prompt.id}' holds a word that shames.")


def _section_faults(module: Module, section: Section) -> Iterator[Fault]:
    for statement in section.statements:
        if statement.kind == "block":
            continue
        for text in filter(None, (statement.text, statement.child_text)):
            bare = re.sub(r"\{[a-z_]+\}", "", text)
            found = _SYMBOLS.search(bare)
            if found:
                yield Fault(
                    module.file,
                    statement.line,
                    f"'{statement.id}' holds '{found[0]}', a number or symbol outside a slot.",
                    "Use a slot or a word.",
                )


def _unused_acts(library: Library) -> Iterator[Fault]:
    used = Counter(
        advice.act
        for module in library.modules
        for _, statement in module.statements()
        for advice in statement.advice
    )
    for act in library.acts:
        if not used[act]:
            yield Fault("acts.yaml", 0, f"'{act}' is used by no statement.", "Take it out.")
