"""Loads a teaching folder whole."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from hashlib import sha256
from pathlib import Path

from plainleaf.inputs.content.leads import with_leads
from plainleaf.inputs.content.loader import Loader
from plainleaf.inputs.content.medicine_table import read_medicine_lists
from plainleaf.inputs.content.modules import note_broken_references, read_module
from plainleaf.inputs.content.printed_pages import read_pages
from plainleaf.inputs.content.rules import (
    note_broken_sources,
    read_bibliography,
    read_rules,
)
from plainleaf.inputs.content.teaching_parts import Library, Module, Section, Statement
from plainleaf.inputs.files import LARGEST_TEXT, Unreadable, read_bytes
from plainleaf.vocabulary.conditions import Condition, both
from plainleaf.vocabulary.errors import ContentError, Fault
from plainleaf.vocabulary.facts import Vocabulary

# Files of a teaching folder that decide what the proof finds, and that no packet reads.
_ONLY_PROVED = ("glossary.yaml", "rules/proof.yaml")


def load_library(folder: Path, vocabulary: Vocabulary) -> Library:
    """The teaching content of a folder, read by the closed list of facts and slots.

    Raises:
        ContentError: With every fault found, by file and line.
    """
    loader = Loader(folder, vocabulary)
    acts = _texts(loader, "acts.yaml")
    sources, facts = read_bibliography(loader)
    phrases = _phrases(loader)
    modules = _modules(loader, acts)
    rules = read_rules(loader)
    medicines = read_medicine_lists(loader)
    note_broken_sources(loader, modules, rules, medicines, facts)
    note_broken_references(loader, modules)
    modules = with_leads(loader, modules)
    if not modules and not loader.faults:
        loader.faults.append(Fault(str(folder), 0, "has no modules.", "Pass a teaching folder."))
    pages = read_pages(loader, modules, phrases)
    if loader.faults:
        raise ContentError(sorted(loader.faults, key=lambda f: (f.file, f.line)))
    modules.sort(key=lambda module: (module.order, module.id))
    return Library(
        folder=folder,
        modules=tuple(modules),
        pages=pages,
        rules=tuple(rules),
        phrases=phrases,
        acts=acts,
        sources=sources,
        claims=facts,
        medicine_words=medicines,
        conditions={
            statement.id: condition_of(module, section, statement)
            for module in modules
            for section, statement in module.statements()
        },
        digest=_digest(loader.read),
        files=loader.files | _only_proved(folder),
    )


def _modules(loader: Loader, acts: Mapping[str, str]) -> list[Module]:
    """Every module of the folder that can be read."""
    read = (
        read_module(loader, f"modules/{path.name}", acts)
        for path in sorted((loader.folder / "modules").glob("*.yaml"))
    )
    return [module for module in read if module is not None]


def _only_proved(folder: Path) -> dict[str, str]:
    """File → digest of its bytes: whoever reads it says what is wrong in it."""
    there = (name for name in _ONLY_PROVED if (folder / name).exists())
    try:
        return {name: sha256(read_bytes(folder / name, LARGEST_TEXT)).hexdigest() for name in there}
    except Unreadable as error:
        raise ContentError([error.fault]) from error


def _digest(read: Sequence[tuple[str, str]]) -> str:
    whole = sha256()
    for name, text in sorted(read):
        whole.update(f"{name}\0{text}\0".encode())
    return whole.hexdigest()


def _texts(loader: Loader, relative: str) -> Mapping[str, str]:
    reader = loader.open(relative)
    if reader is None:
        return {}
    return {key: reader.text(key, required=True) or "" for key in reader.mapping}


def _phrases(loader: Loader) -> Mapping[str, tuple[str, str | None]]:
    """Phrase id → (text, None), or (text for one, text for any other number)."""
    reader = loader.open("phrases.yaml")
    phrases: dict[str, tuple[str, str | None]] = {}
    for key, node in reader.mapping.items() if reader else ():
        assert reader is not None
        if isinstance(node.value, Mapping):
            plural = reader.child(key, required=True)
            assert plural is not None
            singular, other = plural.text("one", required=True), plural.text("other", required=True)
            plural.close()
            phrases[key] = (singular or "", other or "")
        else:
            phrases[key] = (reader.text(key, required=True) or "", None)
    return phrases


def condition_of(module: Module, section: Section, statement: Statement) -> Condition:
    """All that must hold for a statement to print."""
    return both(both(module.when, section.when), statement.when)
