"""The outline of this packet's teach-back sheet, from the case and its worded papers."""

from __future__ import annotations

from collections.abc import Sequence

from plainleaf.compose.word import wording_of
from plainleaf.facts.calls import first_called, is_hospice_first
from plainleaf.inputs.catalog import SOURCE, best_language
from plainleaf.packet.papers.paper import LanguageWords, furniture
from plainleaf.packet.sheet import sheet_words
from plainleaf.packet.sheet.form_fields import NEEDS
from plainleaf.packet.sheet.outline import (
    Outline,
    OutlineLearner,
    Signer,
    Speech,
    danger_of,
    items_asked,
    speech_of,
)
from plainleaf.packet.sheet.sheet_rows import letters_for
from plainleaf.rules.decision import Decision


def outline_for(
    decision: Decision, staff: LanguageWords, handouts: Sequence[LanguageWords], version: str
) -> Outline:
    """What the sheet asks, of whom, and in which words.

    Args:
        staff: The teaching in the language of staff.
        handouts: The same of every handout, the patient's own first.
    """
    learners = tuple(_learners(decision, [words.packet.language for words in handouts]))
    return Outline(
        version,
        decision.patient.prepared_on,
        SOURCE,
        decision.patient.person.print_size,
        decision.policy.count("tries_before_plan"),
        decision.facts.answers["interpreter_needed"] == "true",
        learners,
        items_asked(staff.packet, learners),
        NEEDS,
        tuple(
            Signer(row.key, row.who.plain)
            for row in sheet_words.signature_rows(
                decision.patient, decision.facts, wording_of(decision)
            )
        ),
        danger_of(staff.packet),
        _phones(decision),
        {speech.language: speech for speech in _speeches(decision, staff, handouts, version)},
        letters_for(decision.patient),
    )


def _phones(decision: Decision) -> dict[str, str]:
    contacts = decision.patient.contacts
    phones = {
        "clinic": contacts.clinic.phone,
        "after_hours": contacts.after_hours.phone,
        "emergency": contacts.emergency.phone,
    }
    if is_hospice_first(decision.patient):
        phones["hospice"] = first_called(decision.patient).phone
    return phones


def _learners(decision: Decision, have: Sequence[str]) -> list[OutlineLearner]:
    """A learner without a handout in the own language gets the patient's."""
    learners = []
    for learner in decision.patient.learners:
        wanted = best_language(learner.language, have)
        reads = wanted if wanted in have else decision.language
        learners.append(
            OutlineLearner(
                learner.name,
                learner.relation,
                learner.language,
                reads,
                learner.hands_on,
                learner.phone,
                learner.duties,
            )
        )
    return learners


def _speeches(
    decision: Decision, staff: LanguageWords, handouts: Sequence[LanguageWords], version: str
) -> list[Speech]:
    """The words of staff, and of each handout; of one in the language of staff, those once."""
    title = staff.wording.phrase("sheet-title")
    return [
        speech_of(words.packet, furniture(decision, words.wording, title, version))
        for words in (staff, *handouts)
    ]
