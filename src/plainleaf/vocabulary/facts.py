"""What a condition may ask and what a slot may print: the shape of the closed list.

The list itself is declared on the floor above, each fact beside its deriving (`facts/about_*.py`),
and handed to whoever reads content.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

YES_NO = ("true", "false")


@dataclass(frozen=True)
class Fact:
    """One entry of the vocabulary.

    `kind` is `word`, `yes-no`, or for slots the kind of value (`volume`, `phone`, `date` …). A
    fact with `answers` may stand in a condition; one without may only fill a slot. `needs`: the
    patient-file key that settles it when it is not known. `details`: words that the message of a
    rule may hold when it asks this.
    """

    name: str
    kind: str
    means: str
    answers: tuple[str, ...] = ()
    needs: str = ""
    details: tuple[str, ...] = ()


@dataclass(frozen=True)
class Vocabulary:
    """The closed list: what conditions may ask, what slots may print, what rules may ask besides.

    `medicine`: what a rule about one medicine may ask; `checks`: what one about the patient may.
    """

    facts: Mapping[str, Fact]
    slots: Mapping[str, Fact]
    medicine: Mapping[str, Fact]
    checks: Mapping[str, Fact]

    def of_rules(self, about: str) -> Mapping[str, Fact]:
        """What a rule may ask; `about` is `patient` or `medicine`."""
        return {**self.facts, **(self.medicine if about == "medicine" else self.checks)}


# Words that the message of a rule about one medicine may hold; filled in rules/findings.py.
MEDICINE_DETAILS = ("medicine", "form", "dose", "why", "what", "who", "known")
