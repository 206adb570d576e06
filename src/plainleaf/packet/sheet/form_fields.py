"""The fields of a teach-back sheet: one name for each, for the template and for reading it back.

Names have no period: inside a PDF it would part a name in two.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from plainleaf.packet.sheet.outline import Outline

TEXT, TICK = "text", "tick"
VERSION = "packet/version"
# What each learner is asked before the teaching (phrases need-…).
NEEDS = ("needs", "readiness", "way")
# A line for each session; its letter stands beside every code that was given in it.
SESSION_PARTS = ("start", "minutes", "who", "initials", "rows")
TRY_PARTS = ("code",)
# A line for each row that is still open at the end.
OPEN_LINES = 5
OPEN_PARTS = ("row", "learner", "letter", "words", "who")
INTERPRETER_PARTS = ("used",)
SIGNATURE_PARTS = ("signature", "name", "when")
SIGN_TEXTS = ("backup", "goal", "safety", "discharge", "reason", "notes")


@dataclass(frozen=True)
class Field:
    """One field: its name and whether it holds text or a tick."""

    name: str
    kind: str


def field_name(*parts: str | int) -> str:
    """The name of a field.

    >>> field_name("flushing.tb.when", 0, "try-1", "code")
    'flushing/tb/when/0/try-1/code'
    """
    return "/".join(str(part).replace(".", "/") for part in parts)


def _of_learners(outline: Outline) -> Iterator[Field]:
    for number, _ in enumerate(outline.learners):
        yield Field(field_name("learner", number, "present"), TICK)
        for need in outline.needs:
            yield Field(field_name("learner", number, need), TEXT)


def _of_sessions(outline: Outline) -> Iterator[Field]:
    for letter in outline.letters:
        for part in SESSION_PARTS:
            yield Field(field_name("session", letter, part), TEXT)


def _of_items(outline: Outline) -> Iterator[Field]:
    for item in outline.items:
        for number, _ in outline.takers(item):
            for step in item.ticked:
                yield Field(field_name(item.id, number, f"step-{step}"), TICK)
            for one in range(1, outline.tries + 1):
                yield Field(field_name(item.id, number, f"try-{one}", "code"), TEXT)


def _of_open_points() -> Iterator[Field]:
    for line in range(1, OPEN_LINES + 1):
        for part in OPEN_PARTS:
            yield Field(field_name("open", line, part), TEXT)


def _of_signatures(outline: Outline) -> Iterator[Field]:
    for part in SIGN_TEXTS:
        yield Field(field_name("sign", part), TEXT)
    yield Field(field_name("sign", "declined"), TICK)
    for signer in outline.signers:
        for part in SIGNATURE_PARTS:
            yield Field(field_name(signer.key, part), TEXT)


def fields_of(outline: Outline) -> dict[str, Field]:
    """Every field that a nurse may fill in, by name; the read-only version is not among them."""
    every = (
        *_of_learners(outline),
        *(Field(field_name("interpreter", part), TEXT) for part in INTERPRETER_PARTS),
        *_of_sessions(outline),
        *_of_items(outline),
        *_of_open_points(),
        *_of_signatures(outline),
    )
    return {field.name: field for field in every}
