"""One patient under one policy with one library: what every command works on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from pathlib import Path

from plainleaf.compose.fill import fill
from plainleaf.compose.word import Wording
from plainleaf.facts import FACTS, VOCABULARY, Facts, derive
from plainleaf.inputs.catalog import SOURCE, Catalog, best_language, languages, load_catalog
from plainleaf.inputs.content import Library, load_library
from plainleaf.inputs.patient import Patient, load_patient
from plainleaf.inputs.policy import Policy, load_policy
from plainleaf.printing.fonts import default_cache
from plainleaf.rules.findings import Finding, judge
from plainleaf.rules.select import Selection, select
from plainleaf.vocabulary.errors import MissingFactError
from plainleaf.vocabulary.terms import LEVELS

_HERE = Path(__file__).resolve().parents[1]


def shipped(name: str) -> Path:
    """The folder `teaching` or `templates` that ships with the program."""
    inside = _HERE / "shipped" / name
    return inside if inside.is_dir() else _HERE.parents[1] / name


@dataclass(frozen=True)
class Settings:
    """Where everything comes from; every path is passed in, none is looked up later."""

    teaching: Path
    templates: Path
    policy: Path
    cache: Path

    @property
    def compiled(self) -> Path:
        """Where compiled templates are kept."""
        return self.cache / "templates"

    @classmethod
    def default(cls, teaching: Path | None = None, policy: Path | None = None) -> Settings:
        """The shipped content and the shipped example facility, unless others are named."""
        folder = teaching or shipped("teaching")
        return cls(
            folder,
            shipped("templates"),
            policy or folder / "policy" / "example-facility.yaml",
            default_cache(),
        )


@dataclass(frozen=True)
class Replaced:
    """An earlier packet of this patient: its version, when it was made, its record's SHA-256."""

    version: str
    made: datetime
    sha256: str


@dataclass(frozen=True)
class Case:
    """One patient under one policy with one library: what every command works on.

    `replaces`: the packet that was given out before this one.
    """

    settings: Settings
    patient: Patient
    policy: Policy
    library: Library
    language: str
    replaces: Replaced | None = None

    @cached_property
    def facts(self) -> Facts:
        """Everything derived."""
        return derive(self.patient, self.policy, self.library.medicine_words)

    @cached_property
    def selection(self) -> Selection:
        """Which statements, and why."""
        return select(self.library, self.facts)

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """What the rules say, what is missing, and whether there is a handout to read."""
        judged = judge(self.library.rules, self.facts, self.patient)
        found = (*judged, *_missing(self, judged), *_language_findings(self))
        return tuple(sorted(found, key=lambda f: LEVELS.index(f.level)))

    @cached_property
    def handout_languages(self) -> tuple[str, ...]:
        """The language of the patient's handout, then those of other readers that exist."""
        have = languages(self.settings.teaching / "locales")
        wanted = (best_language(learner.language, have) for learner in self.patient.learners)
        return (self.language, *(tag for tag in dict.fromkeys(wanted) if tag in have
                and tag != self.language))  # fmt: skip

    @property
    def without_handout(self) -> str | None:
        """The language that the patient reads, where there is no handout in it."""
        wanted = self.patient.person.language
        have = languages(self.settings.teaching / "locales")
        return None if best_language(wanted, have) in have else wanted

    def catalog(self, language: str) -> Catalog:
        """The words of a language.

        Raises:
            LocaleError: There are none, or a file cannot be read.
        """
        return load_catalog(self.settings.teaching / "locales", language)

    @property
    def draft_languages(self) -> tuple[str, ...]:
        """Handout languages of which this packet prints words that no translator has read."""
        modules = [chosen.module.id for chosen in self.selection.modules]
        return tuple(tag for tag in self.handout_languages if self.catalog(tag).draft(modules))

    @property
    def stopped(self) -> bool:
        """Whether no packet may be built."""
        return any(finding.blocks for finding in self.findings)

    @cached_property
    def wording(self) -> Wording:
        """The staff's language, for the sheet, the review and the record."""
        return Wording(self.library, self.catalog(SOURCE))


def open_case(patient: Path, settings: Settings, language: str | None = None) -> Case:
    """Load everything one patient file needs.

    Args:
        language: Tag of another handout language than the patient's.
    Raises:
        PatientError, PolicyError, ContentError: A file cannot be read as it stands.
    """
    record = load_patient(patient)
    return Case(
        settings,
        record,
        load_policy(settings.policy),
        load_library(settings.teaching, VOCABULARY),
        best_language(language or record.person.language, languages(settings.teaching / "locales")),
    )


def with_print_size(case: Case, size: int) -> Case:
    """The same case with the family's pages in another print size, in points."""
    person = replace(case.patient.person, print_size=size)
    return replace(case, patient=replace(case.patient, person=person))


def _note(identity: str, level: str, says: str, instead: str, concerns: tuple[str, ...]) -> Finding:
    return Finding(
        identity, level, says, instead, "the nurse who prepares the packet", False, concerns, "",
        ("patient-file",), None,
    )  # fmt: skip


def _missing(case: Case, judged: Sequence[Finding]) -> list[Finding]:
    """A stop for each fact that a condition or a slot could not do without.

    A fact that an open finding asks for already is not asked for twice.
    """
    asked = {key for finding in judged for key in finding.concerns}
    found = []
    for fact in case.selection.unknown:
        key = _needs(fact)
        if key not in asked:
            found.append(
                _note(
                    f"missing-{fact.replace('_', '-')}",
                    "stop",
                    f"The packet cannot be chosen: '{fact}' is not known.",
                    f"Write {key} in the patient file.",
                    (key,),
                )
            )
    if not found and not case.selection.unknown:
        found += _unfilled(case)
    return found


def _needs(fact: str) -> str:
    return FACTS[fact].needs or fact


def _unfilled(case: Case) -> list[Finding]:
    try:
        fill(case.selection, case.patient, case.facts)
    except MissingFactError as error:
        return [
            _note(
                "missing-value",
                "stop",
                f"A sentence of the handout needs a value that is not there: {error.fact}.",
                f"Write {error.needs}.",
                (error.fact,),
            )
        ]
    return []


def _language_findings(case: Case) -> list[Finding]:
    """A stop when there is no handout in the language, a note for other readers."""
    have = languages(case.settings.teaching / "locales")
    listed = ", ".join(have)
    found = []
    if case.language not in have:
        found.append(
            _note(
                "no-handout-in-language",
                "stop",
                f"There is no handout in '{case.language}' yet. Handouts exist in: {listed}.",
                "Build with --language en and go through it with a qualified interpreter.",
                ("patient.language",),
            )
        )
    for number, learner in enumerate(case.patient.learners):
        if best_language(learner.language, have) not in (*have, case.language):
            found.append(
                _note(
                    "learner-without-handout",
                    "note",
                    f"{learner.name} reads '{learner.language}', and there is no handout in it.",
                    "Use a qualified interpreter.",
                    (f"learners[{number}].language",),
                )
            )
    return found
