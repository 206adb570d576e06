"""Everything that a decision is made from, loaded once and frozen."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from pathlib import Path

from plainleaf.inputs.catalog import SOURCE, Catalog, best_language, languages, load_catalog
from plainleaf.inputs.content import Library, load_library
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.seal import LOCALES
from plainleaf.vocabulary.facts import Vocabulary


@dataclass(frozen=True)
class Teaching:
    """The words and rules of a facility.

    Attributes:
        languages: Tags of all languages that there is a handout in, English first.
        catalogs: Language → its words, of those languages that were loaded.
    """

    library: Library
    languages: tuple[str, ...]
    catalogs: Mapping[str, Catalog]

    @cached_property
    def files(self) -> Mapping[str, str]:
        """Each file, and each language that was loaded → digest of what it says."""
        tags = (tag for tag in self.catalogs if tag != SOURCE)
        words = {f"{LOCALES}{tag}": self.catalogs[tag].all_words() for tag in tags}
        return {**self.library.files, **words}

    def best_language(self, reader: str) -> str:
        """The language of a handout for a reader's tag; it may be one without a handout."""
        return best_language(reader, self.languages)


def load_teaching(
    folder: Path, vocabulary: Vocabulary, only: Collection[str] | None = None
) -> Teaching:
    """The words and rules of a teaching folder.

    Args:
        vocabulary: The closed lists of what content may ask and print.
        only: Tags of the languages to load besides English; all without it.
    Raises:
        ContentError, LocaleError: The folder cannot be read as it stands.
    """
    library = load_library(folder, vocabulary)
    locales = folder / "locales"
    have = languages(locales)
    source, *others = have
    loaded = (source, *(tag for tag in others if only is None or tag in only))
    return Teaching(library, have, {tag: load_catalog(locales, tag) for tag in loaded})


@dataclass(frozen=True)
class Replaced:
    """An earlier packet of this patient: its version, when it was made, its record's SHA-256."""

    version: str
    made: datetime
    sha256: str


@dataclass(frozen=True)
class Inputs:
    """One patient, one policy, one teaching: what a decision is made from.

    Attributes:
        language: Tag of the patient's handout; there may be none in it.
        replaces: The packet that was given out before this one.
    """

    patient: Patient
    policy: Policy
    teaching: Teaching
    language: str
    replaces: Replaced | None = None

    @property
    def handout_languages(self) -> tuple[str, ...]:
        """The language of the patient's handout, then those of other readers that exist."""
        have = self.teaching.languages
        wanted = (self.teaching.best_language(reader.language) for reader in self.patient.learners)
        others = (tag for tag in dict.fromkeys(wanted) if tag in have and tag != self.language)
        return (self.language, *others)

    @property
    def without_handout(self) -> str | None:
        """The language that the patient reads, where there is no handout in it."""
        wanted = self.patient.person.language
        have = self.teaching.languages
        return None if self.teaching.best_language(wanted) in have else wanted

    def with_print_size(self, size: int) -> Inputs:
        """The same with the family's pages in another print size, in points."""
        person = replace(self.patient.person, print_size=size)
        return replace(self, patient=replace(self.patient, person=person))


def inputs_for(
    patient: Patient, policy: Policy, teaching: Teaching, language: str | None = None
) -> Inputs:
    """One patient with what is loaded already.

    Args:
        language: Tag of another handout language than the patient's.
    """
    wanted = teaching.best_language(language or patient.person.language)
    return Inputs(patient, policy, teaching, wanted)
