"""What must be there besides the emergencies of page 1: `rules/proof.yaml`, read strictly.

`taught`: for these patients, one of these prompts or skills is on the nurse's sheet, and critical.
`ports`: in these modules, these words send something to a port; only these patients may read them.
"""

from __future__ import annotations

from dataclasses import dataclass

from plainleaf.facts import FACTS
from plainleaf.inputs.content import Library, source_known
from plainleaf.inputs.read_condition import read_condition
from plainleaf.inputs.strict_yaml import Reader, Unreadable, parse, read_text
from plainleaf.vocabulary.conditions import ALWAYS, Condition
from plainleaf.vocabulary.errors import ContentError, Fault
from plainleaf.vocabulary.words_2 import DUTIES

FILE = "rules/proof.yaml"


@dataclass(frozen=True)
class Duty:
    """One thing that must be there, for whom, and what makes it so; `duty`: whose it is."""

    id: str
    when: Condition
    any_of: tuple[str, ...]
    sources: tuple[str, ...]
    line: int
    duty: str | None = None


@dataclass(frozen=True)
class Kept:
    """Words of some modules that only some patients may read; no modules: of all."""

    id: str
    modules: tuple[str, ...]
    words: tuple[str, ...]
    needs: Condition


@dataclass(frozen=True)
class Duties:
    """What is taught, and the words that are kept for some patients."""

    taught: tuple[Duty, ...]
    kept: tuple[Kept, ...]


def _words(reader: Reader, key: str) -> tuple[str, ...]:
    nodes = reader.items(key, required=True)
    for node in nodes:
        if not isinstance(node.value, str):
            reader.note(node, f"{reader.name(key)} holds something that is not a word.")
    return tuple(node.value for node in nodes if isinstance(node.value, str))


def _duty(reader: Reader, asked_ids: frozenset[str], library: Library, seen: set[str]) -> Duty:
    node = reader.get("when", required=True, hint="Write when: always, or a condition.")
    duty = Duty(
        id=reader.text("id", required=True) or "",
        when=ALWAYS if node is None else read_condition(node, FACTS, reader.faults),
        any_of=_words(reader, "any_of"),
        sources=_words(reader, "sources"),
        line=reader.node.line,
        duty=reader.choice("duty", DUTIES),
    )
    for name in duty.any_of:
        if name not in asked_ids:
            reader.note(reader.node, f"'{duty.id}' names '{name}', which is not there.")
    _note_others(reader, duty, library)
    _own(reader, duty.id, duty.sources, library, seen)
    reader.close()
    return duty


def _note_others(reader: Reader, duty: Duty, library: Library) -> None:
    """Note what is asked of other people than those whose duty it is."""
    asked = {i.id: i.asked_of for module in library.modules for i in module.asked()}
    for name in duty.any_of if duty.duty else ():
        if name in asked and duty.duty not in asked[name].duty:
            reader.note(reader.node, f"'{name}' is not asked of who has the duty {duty.duty}.",
                        f"Write duty: [{duty.duty}] there.")  # fmt: skip


def _own(
    reader: Reader, identity: str, sources: tuple[str, ...], library: Library, seen: set[str]
) -> None:
    """An id that is new, and sources that are known."""
    if identity in seen:
        reader.note(reader.node, f"'{identity}' stands twice.", "Ids are unique.")
    seen.add(identity)
    for name in sources:
        if not source_known(name, library.claims):
            reader.note(reader.node, f"'{identity}' cites '{name}', which is no known source.")


def _kept(reader: Reader, library: Library, seen: set[str], *, anywhere: bool) -> Kept:
    needs = reader.get("needs", required=True)
    modules = {module.id for module in library.modules}
    kept = Kept(
        id=reader.text("id", required=True) or "",
        modules=() if anywhere else _words(reader, "in"),
        words=_words(reader, "words"),
        needs=ALWAYS if needs is None else read_condition(needs, FACTS, reader.faults),
    )
    for name in kept.modules:
        if name not in modules:
            reader.note(reader.node, f"'{kept.id}' names '{name}', which is no module.")
    _own(reader, kept.id, _words(reader, "sources"), library, seen)
    reader.close()
    return kept


def load_duties(library: Library) -> Duties:
    """The duties of a library's folder.

    Raises:
        ContentError: With every fault found; a name that the content lacks is one.
    """
    try:
        root = parse(read_text(library.folder / FILE), FILE)
    except Unreadable as error:
        raise ContentError([error.fault]) from error
    faults: list[Fault] = []
    reader = Reader(root, faults)
    checks = frozenset(
        identity for module in library.modules for identity in (item.id for item in module.asked())
    )
    seen: set[str] = set()
    children = list(reader.children("taught", required=True))
    taught = tuple(_duty(child, checks, library, seen) for child in children)
    kept = tuple(
        _kept(child, library, seen, anywhere=key == "ages")
        for key in ("ports", "ages")
        for child in reader.children(key, required=True)
    )
    reader.close()
    if faults:
        raise ContentError(sorted(faults, key=lambda fault: fault.line))
    return Duties(taught, kept)
