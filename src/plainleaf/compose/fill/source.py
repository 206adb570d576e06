"""What every table is made from, and the small words that tables share."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from plainleaf.facts.derived import Facts, Phrase, Typed
from plainleaf.inputs.patient import Patient
from plainleaf.vocabulary.quantities import Quantity

_NUMBER = re.compile(r"\d+(\.\d+)?")


@dataclass(frozen=True)
class SlotSource:
    """One patient with everything derived; `pages`: page → its number, for what points to one."""

    patient: Patient
    facts: Facts
    pages: Mapping[str, int] = field(default_factory=dict)

    @property
    def child(self) -> bool:
        """Whether the reader is the parent of a child."""
        return self.facts.answers["child"] == "true"

    @property
    def two_ports(self) -> bool:
        """Whether a port must be named by where it leads."""
        return self.facts.answers["two_ports"] == "true"


def port_words(source: SlotSource, port: str, picture: str = "") -> Phrase:
    """A port in plain words: by where it leads, or as the one port, for feeding or not.

    Args:
        picture: `pic-` for the words of a label.
    """
    if source.two_ports:
        return Phrase(f"{picture}port-{port}")
    fed = "feeding" in source.patient.tube.ports.get(port, ())
    return Phrase(f"{picture}port-{'only' if fed else 'plain'}")


def never_in_balloon(source: SlotSource, label: str) -> Phrase:
    """What never goes in the balloon port; food only where the tube is fed."""
    fed = source.facts.answers["fed_by_tube"] == "true"
    return Phrase(label if fed else f"{label}-unfed")


def use_words(port: str, use: str) -> Phrase:
    """What a port is for; what drains is named by where the port leads."""
    of_bowel = (port, use) == ("jejunal", "drainage")
    return Phrase("use-drainage-jejunal" if of_bowel else f"use-{use}")


def say(identity: str, **values: Typed | Phrase) -> Phrase:
    """A phrase with values for its slots."""
    return Phrase(identity, tuple(values.items()))


def text_of(text: str) -> Typed:
    """A text as a typed value."""
    return Typed("text", text)


def formula_text(name: str, energy: Quantity) -> Typed | Phrase:
    """A formula by name and strength, with the unit of the strength.

    A bare number at the end of the name that is the strength gives way to it; a name that has its
    own unit stays as it is.
    """
    if "kcal" in name:
        return text_of(name)
    first, _, last = name.rpartition(" ")
    if _NUMBER.fullmatch(last) and Decimal(last) == energy.to("kcal/mL").value:
        name = first.rstrip(", ")
    strength = Typed("energy-density", energy)
    return say("formula-strength", name=text_of(name), strength=strength)


def volume_of(amount: Quantity) -> Typed:
    """A volume as a typed value."""
    return Typed("volume", amount)


def port_phrase(port: str, two_ports: bool) -> Phrase:
    """A port in plain words: by where it leads where there are two."""
    return Phrase(f"port-{port}" if two_ports else "port-only")
