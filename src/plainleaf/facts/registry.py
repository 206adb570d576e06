"""The closed list: every fact, slot and check that is declared, by name."""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from typing import TypeVar

from plainleaf.facts.about_calls import CALLS_FACTS, CALLS_SLOTS
from plainleaf.facts.about_dates import DATE_FACTS, DATE_SLOTS
from plainleaf.facts.about_facility import FACILITY_FACTS, FACILITY_SLOTS
from plainleaf.facts.about_feed_orders import FEED_ORDER_FACTS
from plainleaf.facts.about_feeding import FEEDING_FACTS, FEEDING_SLOTS
from plainleaf.facts.about_lying import LYING_FACTS, LYING_SLOTS
from plainleaf.facts.about_medicines import (
    MEDICINES_FACTS,
    MEDICINES_SLOTS,
    MEDICINES_UNASKED,
)
from plainleaf.facts.about_person import PERSON_FACTS, PERSON_SLOTS, PERSON_UNASKED
from plainleaf.facts.about_purposes import PURPOSE_FACTS, PURPOSE_SLOTS, PURPOSES_UNASKED
from plainleaf.facts.about_tube import TUBE_FACTS, TUBE_SLOTS
from plainleaf.facts.about_water import WATER_FACTS, WATER_SLOTS, WATER_UNASKED
from plainleaf.facts.about_water_orders import WATER_ORDER_FACTS, WATER_ORDER_SLOTS
from plainleaf.facts.checks import CHECKS
from plainleaf.facts.declare import Asked, Slot
from plainleaf.facts.given import Given
from plainleaf.facts.tripwires import MEDICINE_FACTS, GivenMedicine
from plainleaf.vocabulary.facts import Fact, Vocabulary

F = TypeVar("F", bound=Fact)


def _named(*groups: tuple[F, ...]) -> dict[str, F]:
    """Entries by name.

    Raises:
        ValueError: A name is declared twice.
    """
    entries = [entry for group in groups for entry in group]
    named = {entry.name: entry for entry in entries}
    if len(named) != len(entries):
        raise ValueError(f"declared twice: {[e.name for e in entries if named[e.name] is not e]}")
    return named


# A fact that follows from others stands after them.
FACTS: dict[str, Asked[Given]] = _named(
    TUBE_FACTS, PURPOSE_FACTS, PERSON_FACTS, FEEDING_FACTS, WATER_FACTS, MEDICINES_FACTS,
    FACILITY_FACTS, DATE_FACTS, CALLS_FACTS, LYING_FACTS, FEED_ORDER_FACTS, WATER_ORDER_FACTS,
)  # fmt: skip
# What no condition asks, and yet decides whether a table has rows: only `prove` considers it.
UNASKED: dict[str, Asked[Given]] = _named(
    PERSON_UNASKED, PURPOSES_UNASKED, MEDICINES_UNASKED, WATER_UNASKED
)
SLOTS: dict[str, Slot[Given]] = _named(
    PERSON_SLOTS, TUBE_SLOTS, PURPOSE_SLOTS, FEEDING_SLOTS, WATER_SLOTS, MEDICINES_SLOTS,
    DATE_SLOTS, FACILITY_SLOTS, CALLS_SLOTS, LYING_SLOTS, WATER_ORDER_SLOTS,
)  # fmt: skip
OF_MEDICINES: dict[str, Asked[GivenMedicine]] = _named(MEDICINE_FACTS)

VOCABULARY = Vocabulary(FACTS, SLOTS, OF_MEDICINES, CHECKS)


@cache
def kinds_digest() -> str:
    """SHA-256 of what kinds of patient there are: each answer, and what holds between answers."""
    whole = sha256()
    for fact in (*FACTS.values(), *UNASKED.values()):
        legal = [str(constraint.holds) for constraint in fact.legal]
        whole.update(f"{fact.name}\0{fact.answers}\0{legal}\n".encode())
    return whole.hexdigest()


__all__ = ["CHECKS", "FACTS", "OF_MEDICINES", "SLOTS", "UNASKED", "VOCABULARY", "kinds_digest"]
