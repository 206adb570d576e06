"""A pseudo-language for tests: English words with accents, 40 percent longer."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import ceil

from plainleaf.inputs.catalog import Catalog
from plainleaf.packet.case import Case

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


@dataclass(frozen=True)
class StretchedCase(Case):
    """A case whose words are all stretched."""

    def catalog(self, language: str) -> Catalog:
        return Stretched("en", {})


def stretched_case(case: Case) -> Case:
    """The same case in the pseudo-language."""
    return StretchedCase(case.settings, case.patient, case.policy, case.library, case.language)
