"""Commented starter patient files, one a tube kind, made from the table of the patient file.

A key that is always there, or that this kind of tube needs, has a blank `<…>`; any other stands
in a comment with an example. The starter loads only once every blank is filled in: one that is
forgotten is refused by the loader with its line, never printed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from plainleaf.inputs.key_words import blank_of, example_of
from plainleaf.inputs.patient_schema import SCHEMA_FILE
from plainleaf.vocabulary import terms, words_2
from plainleaf.vocabulary.patient_file import (
    METHOD_KEYS,
    TABLES,
    Block,
    Key,
    ListOf,
    Shape,
    Word,
    listed,
)

_HEAD = f"""\
# yaml-language-server: $schema={SCHEMA_FILE}
# A patient file for plainleaf. Fill in every <...>, take out lines that do not apply.
# Amounts carry their unit (60 mL, 75 mL/h, 18 Fr). Dates: 2026-03-04. Times: "18:00", clinic time.
# Then run:  plainleaf review THIS-FILE    and:  plainleaf build THIS-FILE --out FOLDER
# An editor can check each line:  plainleaf schema > {SCHEMA_FILE}  beside this file.
"""
_HEAD_2 = _HEAD.replace("plainleaf schema >", "plainleaf schema --format 2 >")
# Where the comments begin.
_COLUMN = 39

_USES = {
    "gastrostomy": {"gastric": "[feeding, medicines, venting]"},
    "jejunostomy": {"jejunal": "[feeding, medicines]"},
    "gastrojejunostomy": {"gastric": "[medicines, venting]", "jejunal": "[feeding]"},
}
_HELD = {
    "gastrostomy": "<balloon, bumper or stitches>",
    "jejunostomy": "<stitches, balloon or bumper>",
    "gastrojejunostomy": "<balloon or bumper>",
}


def starter(kind: str, written: int = 1) -> str:
    """A commented starter file for a tube kind of `terms.TUBE_KINDS`.

    Args:
        written: In which format.
    """
    drafts = _drafts_2(kind) if written == 2 else _drafts(kind)
    parts = ("\n".join(_key(key, _Place("", 0, drafts))) for key in TABLES[written].root.keys)
    head = _HEAD_2 if written == 2 else _HEAD
    return head + "\n\n".join(parts) + "\n"


_PORTS_2 = {
    "gastrostomy": "{gastric: [feeding, medicines]}",
    "jejunostomy": "{jejunal: [feeding, medicines]}",
    "gastrojejunostomy": "{gastric: [medicines], jejunal: [feeding]}",
}


def _drafts_2(kind: str) -> dict[str, str]:
    """What a file of format 2 asks or says otherwise."""
    drafts = _drafts(kind)
    flushes = ("before_feed", "after_feed", "medicine")
    return {path: draft for path, draft in drafts.items() if path != "medicines.through"} | {
        **{f"water.{key}": "<amount with mL>" for key in flushes},
        "patient.setting": f"<list of {', '.join(words_2.SETTINGS)}>",
        "tube.ports": _PORTS_2[kind],
        "tube.mark_at_skin": "<mark with cm>",
        "feeding.formula": "<name of the formulary, or a block>",
        "medicines.route": drafts["medicines.through"],
        "medicines.dose": "<dose with unit>",
        "medicines.times": '<list of times, as in ["08:00"]>',
        "contacts.emergency": '"911"',
    }


def _drafts(kind: str) -> dict[str, str]:
    """Path → what the file for a kind of tube asks or says, besides what is always there."""
    fed = "gastric" if kind == "gastrostomy" else "jejunal"
    method = "syringe" if fed == "gastric" else "pump"
    blanks = {f"feeding.{key}": "" for key in ("formula", *METHOD_KEYS[method])}
    return blanks | {
        **{f"tube.ports.{port}": uses for port, uses in _USES[kind].items()},
        "tube.kind": kind,
        "tube.held_by": _HELD[kind],
        "feeding": "",
        "feeding.method": "<syringe or gravity>" if fed == "gastric" else "pump",
        "feeding.through": fed,
        "medicines": "",
        "medicines.through": "jejunal" if kind == "jejunostomy" else "gastric",
        "contacts.clinic.hours": '"<days and hours>"',
        "contacts.emergency.phone": '"911"',
    }


@dataclass(frozen=True)
class _Place:
    """Where keys are written: their path so far, how deep, and what the kind of tube asks."""

    path: str
    deep: int
    drafts: Mapping[str, str]

    def of(self, key: Key) -> str:
        """The path of a key of this place."""
        return f"{self.path}.{key.name}" if self.path else key.name

    def below(self, key: Key, deeper: int = 2) -> _Place:
        """The place of the keys under a key."""
        return _Place(self.of(key), self.deep + deeper, self.drafts)


def _key(key: Key, place: _Place) -> Iterator[str]:
    draft = place.drafts.get(place.of(key), key.draft)
    if not (key.required or draft or place.of(key) in place.drafts):
        yield from _in_comment(key, place)
        return
    pad = " " * place.deep
    if isinstance(key.holds, Block) and not draft:
        yield _said(f"{pad}{key.name}:", key.means)
        for inner in _asked(key.holds, place.below(key)):
            yield from _key(inner, place.below(key))
    elif isinstance(key.holds, ListOf) and isinstance(key.holds.item, Block) and not draft:
        yield _said(f"{pad}{key.name}:", key.means)
        yield from _first_item(key, key.holds.item, place)
    else:
        yield _said(f"{pad}{key.name}: {draft or blank_of(key)}", key.means)


def _asked(block: Block, place: _Place) -> Iterator[Key]:
    """The keys of a block; of the ports, those that this kind of tube has."""
    ports = place.path == "tube.ports"
    return (key for key in block.keys if not ports or place.of(key) in place.drafts)


def _first_item(key: Key, block: Block, place: _Place) -> Iterator[str]:
    lines = [line for inner in block.keys for line in _key(inner, place.below(key, 4))]
    start = place.deep + 2
    yield f"{' ' * start}- {lines[0][start + 2 :]}"
    yield from lines[1:]


def _in_comment(key: Key, place: _Place) -> Iterator[str]:
    pad = " " * place.deep
    blocks = isinstance(key.holds, ListOf) and isinstance(key.holds.item, Block)
    if blocks and place.deep == 0:
        yield _said(f"# {key.name}:", key.means)
        yield f"#   - {example_of(key)[1:-1]}"
        return
    if isinstance(key.holds, Block) and place.deep == 0:
        yield _said(f"# {key.name}:", key.means)
        for inner in key.holds.keys:
            yield _said(f"#   {inner.name}: {example_of(inner)}", inner.means)
        return
    yield _said(f"{pad}# {key.name}: {example_of(key)}", _with_words(key.means, key.holds))
    if isinstance(key.holds, ListOf) and isinstance(key.holds.item, Word):
        yield f"{pad}# any of: {', '.join(key.holds.item.words)}"


def _with_words(means: str, shape: Shape) -> str:
    return f"{means}: {listed(shape.words)}" if isinstance(shape, Word) else means


def _said(line: str, means: str) -> str:
    """A line with what it means, in a column of its own where the line leaves room."""
    return f"{line.ljust(_COLUMN - 1)} # {means}" if means else line


assert set(_USES) == set(_HELD) == set(terms.TUBE_KINDS)
