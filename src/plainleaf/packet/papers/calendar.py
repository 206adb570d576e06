"""The reminders for the family's phone, one file a language."""

from __future__ import annotations

from plainleaf.compose.word import Wording, Words
from plainleaf.packet.calendar import calendar_file, reminders
from plainleaf.packet.papers.handout import handout_title
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.time_zones import zone


def _about(decision: Decision, wording: Wording) -> list[Words]:
    """What stands in each entry: what it is, whom to call, whose word counts."""
    values = decision.facts.values
    lines = [
        wording.phrase(
            "remind-call", clinic=values["clinic_phone"], after_hours=values["after_hours_phone"]
        ),
        wording.phrase("remind-changes"),
    ]
    return [*lines, wording.phrase("remind-draft")] if decision.draft_teaching else lines


def reminders_file(decision: Decision, wording: Wording) -> bytes:
    """`reminders.ics` in the language of a handout.

    Raises:
        LocaleError: A message has no current translation.
    """
    return calendar_file(
        decision.patient,
        zone(decision.policy.word("time_zone")),
        reminders(decision.patient, decision.policy, decision.facts),
        wording,
        handout_title(decision, wording),
        _about(decision, wording),
    )
