"""The fields of a teach-back sheet: one name for each, for the template and for reading it back.

Names have no period: inside a PDF it would part a name in two.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from plainleaf.packet.sheet.outline import SHOW, Outline

TEXT, TICK = "text", "tick"
VERSION = "packet/version"
TRY_PARTS = ("code", "when", "initials", "words")
INTERPRETER_PARTS = ("name", "id", "language", "mode", "start", "end")
SIGNATURE_PARTS = ("name", "role", "signature", "date", "time")
SIGN_TEXTS = ("goal", "safety", "discharge", "reason", "witness")


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
            yield Field(field_name("learner", number, need, "not-assessed"), TICK)


def _of_items(outline: Outline) -> Iterator[Field]:
    for item in outline.items:
        for number, _ in outline.takers(item):
            if item.kind == SHOW:
                for step, _ in enumerate(item.points, 1):
                    yield Field(field_name(item.id, number, f"step-{step}"), TICK)
            for one in range(1, outline.tries + 1):
                for part in TRY_PARTS:
                    yield Field(field_name(item.id, number, f"try-{one}", part), TEXT)
            yield Field(field_name(item.id, number, "second-way"), TICK)
            yield Field(field_name(item.id, number, "plan", "letter"), TEXT)
            yield Field(field_name(item.id, number, "plan", "words"), TEXT)


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
        *_of_items(outline),
        *_of_signatures(outline),
    )
    return {field.name: field for field in every}
