"""The reminders for the family's phone, one file a language."""

from __future__ import annotations

from plainleaf.compose.word import Wording, Words
from plainleaf.packet.calendar import calendar_file, reminders
from plainleaf.packet.case import Case
from plainleaf.packet.papers.handout import handout_title
from plainleaf.packet.papers.paper import is_draft
from plainleaf.vocabulary.time_zones import zone


def _about(case: Case, wording: Wording) -> list[Words]:
    """What stands in each entry: what it is, whom to call, whose word counts."""
    values = case.facts.values
    lines = [
        wording.phrase(
            "remind-call", clinic=values["clinic_phone"], after_hours=values["after_hours_phone"]
        ),
        wording.phrase("remind-changes"),
    ]
    return [*lines, wording.phrase("remind-draft")] if is_draft(case) else lines


def reminders_file(case: Case, wording: Wording) -> bytes:
    """`reminders.ics` in the language of a handout.

    Raises:
        LocaleError: A message has no current translation.
    """
    return calendar_file(
        case.patient,
        zone(case.policy.word("time_zone")),
        reminders(case.patient, case.policy, case.facts),
        wording,
        handout_title(case, wording),
        _about(case, wording),
    )
