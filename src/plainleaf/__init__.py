"""Discharge teaching for a new feeding tube, for programs that call it.

Open the teaching and the settings once and hold them; they are frozen, and threads may share them.
Then each patient file's text becomes a decision, and a decision that nothing blocks a packet:

>>> from pathlib import Path
>>> import plainleaf
>>> teaching, policy = plainleaf.open_teaching(), plainleaf.open_policy()
>>> text = Path("examples/gj-pump-overnight.yaml").read_text(encoding="utf-8")
>>> decision = plainleaf.decide(text, teaching, policy)
>>> decision.stopped
True
>>> [finding.id for finding in decision.findings if finding.blocks]
['clashes-with-feeding', 'other-lines-not-recorded', 'water-below-goal']
>>> plainleaf.review(decision)["totals"]["flush_ml"]
210

A packet is made in memory; whoever calls decides where its files go:

    packet = plainleaf.build(decision)
    packet.files["handout.pdf"]

A text that cannot be used is refused with every fault at once, each with its line:

>>> plainleaf.decide("format: 1\\npatient: {weight: 61}", teaching, policy)  # doctest: +ELLIPSIS
Traceback (most recent call last):
plainleaf.vocabulary.errors.PatientError: patient:1: ...

Nothing here reads the clock, and importing it loads nothing: the parts come when they are asked
for the first time.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from plainleaf.api import (
        Decision,
        Finding,
        Packet,
        PlainleafError,
        Policy,
        Teaching,
        build,
        decide,
        open_policy,
        open_teaching,
        review,
    )

__all__ = [
    "Decision",
    "Finding",
    "Packet",
    "PlainleafError",
    "Policy",
    "Teaching",
    "build",
    "decide",
    "open_policy",
    "open_teaching",
    "review",
]


def __getattr__(name: str) -> Any:
    """What is public, loaded when it is asked for."""
    if name not in __all__:
        raise AttributeError(f"plainleaf has no {name}")
    return getattr(importlib.import_module("plainleaf.api"), name)


def __dir__() -> list[str]:
    """What is public."""
    return __all__
