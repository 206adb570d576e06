"""Named checks that the safety rules ask: sums, ranges and gaps, each with its words and source.

`vocabulary.CHECKS` lists them; each is a function of that name in a file `checks_*.py`. A check
answers true, false, or None where a value it needs is missing; the missing value then has a check
of its own (a weight: `child_weight_missing`, `adult_weight_missing`).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from plainleaf.facts.checks.context import Case, case_of
from plainleaf.facts.checks.feeding import FEEDING_CHECKS
from plainleaf.facts.checks.file import FILE_CHECKS
from plainleaf.facts.checks.holds import HOLD_CHECKS
from plainleaf.facts.checks.medicines import MEDICINE_CHECKS
from plainleaf.facts.checks.opening import OPENING_CHECKS
from plainleaf.facts.checks.person import PERSON_CHECKS
from plainleaf.facts.checks.tube import TUBE_CHECKS
from plainleaf.facts.checks.water import WATER_CHECKS
from plainleaf.facts.record import Check, Event, MedicineFacts
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.policy import Policy

_ALL: tuple[Callable[[Case], Check], ...] = (
    *TUBE_CHECKS,
    *OPENING_CHECKS,
    *PERSON_CHECKS,
    *FILE_CHECKS,
    *FEEDING_CHECKS,
    *HOLD_CHECKS,
    *WATER_CHECKS,
    *MEDICINE_CHECKS,
)


def run_checks(
    patient: Patient, policy: Policy, events: Sequence[Event], medicines: Sequence[MedicineFacts]
) -> Mapping[str, Check]:
    """Every check of `vocabulary.CHECKS`, by name."""
    case = case_of(patient, policy, events, medicines)
    return {check.__name__: check(case) for check in _ALL}
