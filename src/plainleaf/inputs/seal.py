"""The seal of a facility: exactly which content, with which settings, `plainleaf prove` has proved.

It stands beside the policy file and holds a digest of each file of the teaching content, every
setting as it was, which kinds of patient the program knew, and its version. It is a guard against
oversight and not against malice: whoever can write the content can also write a seal.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from plainleaf.inputs.strict_yaml import Reader, Unreadable, parse, read_text
from plainleaf.vocabulary.errors import Fault

# How the words of a language are named in a seal.
LOCALES = "locales/"
_HEAD = """\
# What was proved, so that only that is built. Written by: plainleaf prove --seal
# A changed word or setting asks for a new proof; a comment, a phone number or a date does not.
"""


@dataclass(frozen=True)
class Seal:
    """What was proved together.

    `kinds`: digest of the kinds of patient that it was proved for, and `counted` how many there
    are. `content`: file or folder of words → digest of what it says. `settings`: name → value.
    """

    program: str
    kinds: str
    counted: str
    content: Mapping[str, str]
    settings: Mapping[str, str]


def seal_path(policy_file: Path) -> Path:
    """Where the seal of a policy file stands: beside it."""
    return policy_file.with_name(f"{policy_file.stem}.seal.yaml")


def seal_text(seal: Seal) -> str:
    """The file of a seal; the same seal gives the same text."""
    return "\n".join([_HEAD.rstrip(), *_lines(seal), ""])


def _lines(seal: Seal) -> Iterator[str]:
    yield f'program: "{seal.program}"'
    yield f"kinds_of_patient: {seal.counted}"
    yield f"kinds: {seal.kinds}"
    for key, entries in (("content", seal.content), ("settings", seal.settings)):
        yield f"{key}:"
        yield from (f"  {name}: {json.dumps(entries[name])}" for name in sorted(entries))


def load_seal(path: Path) -> Seal | Fault | None:
    """The seal of a file; None without one, a fault where it cannot be read whole."""
    if not path.exists():
        return None
    try:
        reader = Reader(parse(read_text(path), path.name), [])
    except Unreadable as error:
        return error.fault
    program, counted, kinds = (
        reader.scalar(key, required=True) or "" for key in ("program", "kinds_of_patient", "kinds")
    )
    content, settings = _entries(reader, "content"), _entries(reader, "settings")
    reader.close()
    if reader.faults:
        return reader.faults[0]
    return Seal(program, kinds, counted, content, settings)


def _entries(reader: Reader, key: str) -> Mapping[str, str]:
    inner = reader.child(key, required=True)
    if inner is None:
        return {}
    return {name: inner.scalar(name, required=True) or "" for name in inner.mapping}


def differences(seal: Seal, today: Seal, file: str) -> Iterator[Fault]:
    """What is not as it was when it was proved, each with its file.

    Args:
        today: What a proof of today would seal; of the languages, those that a packet needs.
        file: The name of the policy file.
    """
    if seal.program != today.program:
        yield Fault(file, 0, f"was proved by plainleaf {seal.program}; this is {today.program}.")
    if seal.kinds != today.kinds:
        yield Fault(file, 0, "was proved for other kinds of patient than the program knows now.")
    for name in sorted({*seal.content, *today.content}):
        if name not in today.content:
            if not name.startswith(LOCALES):
                yield Fault(name, 0, "is gone since the proof.")
        elif name not in seal.content:
            yield Fault(name, 0, "is new since the proof.")
        elif seal.content[name] != today.content[name]:
            yield Fault(name, 0, "was changed since the proof.")
    for name in sorted({*seal.settings, *today.settings}):
        old, new = seal.settings.get(name, "not there"), today.settings.get(name, "not there")
        if old != new:
            yield Fault(file, 0, f"{name} is {new} and was proved as {old}.")
