"""Typed means printed: a value of the patient file that changes no page stops the packet."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plainleaf.rules.findings import Finding, finding_about_file

TYPED_NOT_PRINTED = "typed-not-printed"
# Keys that print nowhere, by their name without numbers, each with the reason.
PRINT_NOWHERE = {
    "format": "says how the file is read",
    "settled.decided.code": "binds a decision to what it was made about",
    "settled.decided.finding": "names what is decided; the page prints the answer",
}
_NUMBER = re.compile(r"\[\d+\]")


@dataclass(frozen=True)
class TypedKey:
    """A value that somebody typed, and what prints it: ids of statements, tables and papers."""

    key: str
    prints: tuple[str, ...]


def without_numbers(key: str) -> str:
    """A key without the numbers of its lists.

    >>> without_numbers("settled[0].decided[1].code")
    'settled.decided.code'
    """
    return _NUMBER.sub("", key)


def unprinted(keys: Sequence[TypedKey]) -> Iterator[str]:
    """The keys that nothing prints, although they should."""
    for typed in keys:
        if not typed.prints and without_numbers(typed.key) not in PRINT_NOWHERE:
            yield typed.key


def not_printed(key: str) -> Finding:
    """The stop for a value that changes no page."""
    return finding_about_file(
        TYPED_NOT_PRINTED, "stop",
        f"{key} changes no page of this packet: nobody at home would read it.",
        "Take it out and teach it by hand, or write it as an order in words; report it to the "
        "developers.",
        (key,), key,
    )  # fmt: skip
