"""The outline of this packet's teach-back sheet, from the case and its worded papers."""

from __future__ import annotations

from collections.abc import Sequence

from plainleaf.compose.word import WordedPacket, wording_of
from plainleaf.inputs.catalog import SOURCE, best_language
from plainleaf.packet.papers.handout import Manuscript
from plainleaf.packet.papers.paper import furniture
from plainleaf.packet.sheet import sheet_words
from plainleaf.packet.sheet.outline import (
    Outline,
    OutlineLearner,
    Signer,
    Speech,
    danger_of,
    items_of,
    speech_of,
)
from plainleaf.rules.decision import Decision


def outline_for(
    decision: Decision, staff: WordedPacket, handouts: Sequence[Manuscript], version: str
) -> Outline:
    """What the sheet asks, of whom, and in which words.

    Args:
        staff: The handout's words in the staff's language.
        handouts: Every handout of the packet in words, the patient's own first.
    """
    return Outline(
        version,
        decision.patient.prepared_on,
        SOURCE,
        handouts[0].size,
        decision.policy.count("tries_before_plan"),
        decision.facts.answers["interpreter_needed"] == "true",
        tuple(_learners(decision, [made.words.language for made in handouts])),
        items_of(staff),
        sheet_words.NEEDS,
        tuple(
            Signer(row.key, row.who.plain)
            for row in sheet_words.signature_rows(
                decision.patient, decision.facts, wording_of(decision)
            )
        ),
        danger_of(staff),
        _phones(decision),
        {speech.language: speech for speech in _speeches(decision, staff, handouts, version)},
    )


def _phones(decision: Decision) -> dict[str, str]:
    contacts = decision.patient.contacts
    return {
        "clinic": contacts.clinic.phone,
        "after_hours": contacts.after_hours.phone,
        "emergency": contacts.emergency.phone,
    }


def _learners(decision: Decision, have: Sequence[str]) -> list[OutlineLearner]:
    """A learner without a handout in the own language gets the patient's."""
    found = []
    for learner in decision.patient.learners:
        wanted = best_language(learner.language, have)
        reads = wanted if wanted in have else decision.language
        found.append(
            OutlineLearner(
                learner.name,
                learner.relation,
                learner.language,
                reads,
                learner.hands_on,
                learner.phone,
            )
        )
    return found


def _speeches(
    decision: Decision, staff: WordedPacket, handouts: Sequence[Manuscript], version: str
) -> list[Speech]:
    around = furniture(
        decision, wording_of(decision), wording_of(decision).phrase("sheet-title"), version
    )
    found = [speech_of(staff, around)]
    for made in handouts:
        found.append(speech_of(made.words, made.furniture))
    return found
