"""Where the folders and files of the program stand, unless others are named."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from plainleaf.facts import VOCABULARY
from plainleaf.inputs.catalog import best_language, languages
from plainleaf.inputs.load_inputs import Inputs, inputs_for, load_teaching
from plainleaf.inputs.patient import load_patient
from plainleaf.inputs.policy import load_policy
from plainleaf.printing.fonts import default_cache

_HERE = Path(__file__).resolve().parents[1]


def shipped(name: str) -> Path:
    """The folder `teaching` or `templates` that ships with the program."""
    inside = _HERE / "shipped" / name
    return inside if inside.is_dir() else _HERE.parents[1] / name


@dataclass(frozen=True)
class Places:
    """Where everything comes from; every path is passed in, none is looked up later."""

    teaching: Path
    templates: Path
    policy: Path
    cache: Path

    @classmethod
    def default(cls, teaching: Path | None = None, policy: Path | None = None) -> Places:
        """The shipped content and the shipped example facility, unless others are named."""
        folder = teaching or shipped("teaching")
        return cls(
            folder,
            shipped("templates"),
            policy or folder / "policy" / "example-facility.yaml",
            default_cache(),
        )

    def inputs(self, patient_file: Path, language: str | None = None) -> Inputs:
        """All that one patient file needs, loaded; of the languages, those that its readers need.

        Args:
            language: Tag of another handout language than the patient's.
        Raises:
            PatientError, PolicyError, ContentError, LocaleError: A file cannot be read.
        """
        policy = load_policy(self.policy)
        patient = load_patient(patient_file, policy.named)
        have = languages(self.teaching / "locales")
        readers = (patient.person.language, *(reader.language for reader in patient.learners))
        wanted = (*readers, *([language] if language else []))
        needed = {best_language(tag, have) for tag in wanted}
        teaching = load_teaching(self.teaching, VOCABULARY, needed)
        return inputs_for(patient, policy, teaching, language)
