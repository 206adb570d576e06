"""Holds what a decided hold takes from the feeding against what was asked about it.

Findings are raised on the file as it stands, so a hold that only an outcome says has not been
asked about. What it costs is never taken in silence.
"""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.facts import Facts
from plainleaf.facts.derived import CheckedPart
from plainleaf.inputs.patient import Patient
from plainleaf.rules.findings import Finding, finding_about_file

_COSTS, _MEETS = "hold_costs_feed", "hold_meets_feed"


def hold_faults(patient: Patient, asked: Facts, decided: Facts) -> Iterator[Finding]:
    """A stop for each decided hold whose cost, or whose feeding, nobody was asked about.

    Args:
        patient: With what was decided in its keys.
        asked: The facts of the file as it stands.
        decided: Those of the patient.
    """
    key = _first_hold(patient)
    if key is None:
        return
    known = [part.details for part in _parts(asked, _COSTS)]
    for part in _parts(decided, _COSTS):
        if part.details not in known:
            lost = f"{part.details['lost']} a day are not given, {part.details['given']} are"
            yield _unasked(key, part, lost)
    met = decided.checks[_MEETS]
    if met.answer and met.details != asked.checks[_MEETS].details:
        part = CheckedPart(met.concerns, met.details)
        yield _unasked(key, part, f"the feeding at {met.details['feed']} falls into it")


def _parts(facts: Facts, check: str) -> tuple[CheckedPart, ...]:
    return facts.checks[check].parts if facts.checks[check].answer else ()


def _first_hold(patient: Patient) -> str | None:
    """The first line of `settled` that takes time from the feeding."""
    return next(
        (
            f"settled[{number}].decided[{place}]"
            for number, block in enumerate(patient.settled)
            for place, line in enumerate(block.decided)
            if line.do == "hold"
        ),
        None,
    )


def _unasked(key: str, part: CheckedPart, what: str) -> Finding:
    return finding_about_file(
        "decision-differs",
        "stop",
        f"Feeding is off around {part.details['medicines']} by {key}: {what}, and nobody was "
        "asked about that.",
        "Write hold_before and hold_after of the medicine in the file too, and have settled what "
        "the review then asks.",
        (key, *part.keys),
        "hold",
    )
