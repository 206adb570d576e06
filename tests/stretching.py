"""A pseudo-language for tests: English words with accents, 40 percent longer."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from math import ceil

from plainleaf.inputs.catalog import Catalog
from plainleaf.rules.decision import Decision

_ACCENTS = str.maketrans("aeioun", "àéîõüñ")


def stretch(text: str) -> str:
    """The text 40 percent longer; slots stay as they are.

    >>> stretch("Call us at {phone}.")
    'Càllàà üsà àtà {phone}.'
    """
    parts = re.split(r"(\{[a-z_]+\})", text)
    return "".join(
        part if part.startswith("{") else re.sub(r"[A-Za-z]{2,}", _longer, part) for part in parts
    )


def _longer(match: re.Match[str]) -> str:
    word = match[0].translate(_ACCENTS)
    return word + "à" * ceil(len(word) * 0.4)


@dataclass(frozen=True)
class Stretched(Catalog):
    """A catalog that needs no file: every message is the stretched English."""

    def text(self, identity: str, source: str) -> str:
        # What is read out in place of a picture has its own limit, which authors keep.
        return source if identity.endswith("/alt") else stretch(source)

    def plural(self, identity: str, one: str, other: str, count: int) -> str:
        return stretch(one if count == 1 else other)


def stretched(decision: Decision) -> Decision:
    """The same decision with all words in the pseudo-language."""
    teaching = replace(decision.inputs.teaching, catalogs={"en": Stretched("en", {})})
    return replace(decision, inputs=replace(decision.inputs, teaching=teaching))
