"""Named checks that the safety rules ask: sums, ranges and gaps, each with its words and source."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plainleaf.facts.record import Check, Event, MedicineFacts
from plainleaf.patient import Patient
from plainleaf.policy import Policy


def run_checks(
    patient: Patient, policy: Policy, events: Sequence[Event], medicines: Sequence[MedicineFacts]
) -> Mapping[str, Check]:
    """Every check of `vocabulary.CHECKS`, by name."""
    return {}
