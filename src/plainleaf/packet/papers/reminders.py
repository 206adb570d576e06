"""The reminders for the family's phone, one file a language."""

from __future__ import annotations

from plainleaf.compose.word import Wording, Words
from plainleaf.packet.calendar import calendar_file, reminders
from plainleaf.packet.papers.handout import handout_title
from plainleaf.packet.papers.paper_context import Kind, PaperContext
from plainleaf.packet.papers.paper_kind import MadeIn, PaperKind, Shown
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


def make_reminders(context: PaperContext, language: str) -> bytes:
    """The calendar file in the language of a handout.

    Raises:
        LocaleError: A message has no current translation.
    """
    decision, wording = context.decision, context.words[language].wording
    return calendar_file(
        decision.patient,
        zone(decision.policy.word("time_zone")),
        reminders(decision.patient, decision.settings, decision.facts),
        wording,
        handout_title(decision, wording),
        _about(decision, wording),
    )


REMINDERS: Kind = PaperKind(
    "reminders{language}.ics",
    "the family",
    "Reminders for the phone: visits, the first dressing, when to ask about bath and swimming, "
    "balloon checks, when the tube is usually changed, a review of the plan. It names nobody.",
    Shown.PROGRAM,
    make_reminders,
    MadeIn.READERS,
)
