"""The outline of this packet's teach-back sheet, from the case and its worded papers."""

from __future__ import annotations

from collections.abc import Sequence

from plainleaf.compose.word import WordedPacket
from plainleaf.inputs.catalog import SOURCE, best_language
from plainleaf.packet.case import Case
from plainleaf.packet.papers.handout import Manuscript
from plainleaf.packet.papers.paper import furniture
from plainleaf.packet.sheet import sheet_words
from plainleaf.packet.sheet.outline import (
    Learner,
    Outline,
    Signer,
    Speech,
    danger_of,
    items_of,
    speech_of,
)


def outline_for(
    case: Case, staff: WordedPacket, handouts: Sequence[Manuscript], version: str
) -> Outline:
    """What the sheet asks, of whom, and in which words.

    Args:
        staff: The handout's words in the staff's language.
        handouts: Every handout of the packet in words, the patient's own first.
    """
    return Outline(
        version,
        case.patient.prepared_on,
        SOURCE,
        handouts[0].size,
        case.policy.count("tries_before_plan"),
        case.facts.answers["interpreter_needed"] == "true",
        tuple(_learners(case, [made.words.language for made in handouts])),
        items_of(staff),
        sheet_words.NEEDS,
        tuple(
            Signer(row.key, row.who.plain)
            for row in sheet_words.signature_rows(case.patient, case.facts, case.wording)
        ),
        danger_of(staff),
        _phones(case),
        {speech.language: speech for speech in _speeches(case, staff, handouts, version)},
    )


def _phones(case: Case) -> dict[str, str]:
    contacts = case.patient.contacts
    return {
        "clinic": contacts.clinic.phone,
        "after_hours": contacts.after_hours.phone,
        "emergency": contacts.emergency.phone,
    }


def _learners(case: Case, have: Sequence[str]) -> list[Learner]:
    """A learner without a handout in the own language gets the patient's."""
    found = []
    for learner in case.patient.learners:
        wanted = best_language(learner.language, have)
        reads = wanted if wanted in have else case.language
        found.append(
            Learner(
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
    case: Case, staff: WordedPacket, handouts: Sequence[Manuscript], version: str
) -> list[Speech]:
    around = furniture(case, case.wording, case.wording.phrase("sheet-title"), version)
    found = [speech_of(staff, around)]
    for made in handouts:
        found.append(speech_of(made.words, made.furniture))
    return found
