"""What is signed on the nurse's sheet, in each language of those who sign."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from plainleaf.compose.word import Wording, Words
from plainleaf.packet.sheet.outline import Outline
from plainleaf.packet.sheet.sheet_words import SignatureRow
from plainleaf.vocabulary.languages import direction_of

# The key of the patient's row, and the beginning of a learner's.
PATIENT, LEARNER = "sign.patient", "sign.learner."


@dataclass(frozen=True)
class SignedIn:
    """What is signed, in one language; the first of them is that of staff."""

    language: str
    wording: Wording
    lines: tuple[Words, ...]

    @property
    def direction(self) -> str:
        """The way its lines run."""
        return self.wording.catalog.direction


@dataclass(frozen=True)
class SignerBeside:
    """Who signs, in the language that this person reads."""

    language: str
    direction: str
    who: Words


@dataclass(frozen=True)
class SigningRow:
    """One row of signatures: the key of its fields, who signs, and the same in another language."""

    key: str
    who: Words
    beside: tuple[SignerBeside, ...]


def signing_rows(
    rows: Mapping[str, Sequence[SignatureRow]], outline: Outline, patient_reads: str
) -> list[SigningRow]:
    """The rows of signatures.

    Args:
        rows: Language → every row in it; that of staff is among them.
        patient_reads: The language of the patient's handout.
    """
    reads = {f"{LEARNER}{n}": learner.handout for n, learner in enumerate(outline.learners)}
    reads[PATIENT] = patient_reads
    signing = []
    for place, row in enumerate(rows[outline.staff]):
        language = reads.get(row.key, outline.staff)
        beside = () if language == outline.staff else (_beside(language, rows[language][place]),)
        signing.append(SigningRow(row.key, row.who, beside))
    return signing


def initials(outline: Outline) -> list[str]:
    """What stands beside a learner's boxes: the first letter, with a number where two share it."""
    letters = [learner.name[:1] for learner in outline.learners]
    return [
        letter if letters.count(letter) == 1 else f"{number}{letter}"
        for number, letter in enumerate(letters, start=1)
    ]


def _beside(language: str, row: SignatureRow) -> SignerBeside:
    return SignerBeside(language, direction_of(language), row.who)
