"""Derived facts: one patient and one policy become answers, values, a day and a timeline.

A fact is declared once, in `about_*.py`: its answers, how it is derived, what is legal and how an
example shows it. `VOCABULARY` is the closed list of them. `derive` answers all for a packet;
`noting` says what stands behind any of them. Nothing here reads the clock: "now" is `prepared.on`
of the patient file.
"""

from plainleaf.facts.declare import Asked, Constraint, word_of
from plainleaf.facts.derived import Facts
from plainleaf.facts.deriving import Noting, derive, noting, noting_leaves
from plainleaf.facts.notebook import keys_in, settings_in
from plainleaf.facts.ordered_settings import settings_for
from plainleaf.facts.registry import (
    CHECKS,
    FACTS,
    SLOTS,
    UNASKED,
    VOCABULARY,
    kinds_digest,
)

__all__ = [
    "CHECKS",
    "FACTS",
    "SLOTS",
    "UNASKED",
    "VOCABULARY",
    "Asked",
    "Constraint",
    "Facts",
    "Noting",
    "derive",
    "keys_in",
    "kinds_digest",
    "noting",
    "noting_leaves",
    "settings_for",
    "settings_in",
    "word_of",
]
