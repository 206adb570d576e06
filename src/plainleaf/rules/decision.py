"""What was decided for one patient: facts, statements, findings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from plainleaf.facts import FACTS, SLOTS, Facts, derive, noting, settings_for
from plainleaf.inputs.content import Library, pointer_to, slots_in
from plainleaf.inputs.load_inputs import Inputs
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.policy import Policy
from plainleaf.rules.findings import Finding, finding_about_file, judge
from plainleaf.rules.goal_faults import goal_faults
from plainleaf.rules.hold_faults import hold_faults
from plainleaf.rules.outcomes import resolved
from plainleaf.rules.page_one import Weakened, untranslated_for, weakened_for
from plainleaf.rules.proved import unproved
from plainleaf.rules.raised import raise_all
from plainleaf.rules.reviewed import lapsed, unapproved, unread
from plainleaf.rules.select import Selection, select
from plainleaf.rules.settle import SettledLine, settle
from plainleaf.rules.typed_keys import TypedKey
from plainleaf.vocabulary.terms import LEVELS


@dataclass(frozen=True)
class Decision:
    """One patient under one policy with one teaching: what every paper is made from.

    Attributes:
        facts: Everything derived.
        selection: Which statements, and why.
        findings: What the rules say, what is missing, and whether there is a handout to read;
            the gravest first.
        settled_lines: What the lines of `settled` should carry, in file order.
        typed: What prints each value that was typed in a file of format 2, in file order; filled
            in by who knows the papers, where nothing stops.
    """

    inputs: Inputs
    facts: Facts
    selection: Selection
    findings: tuple[Finding, ...]
    settled_lines: tuple[SettledLine, ...] = ()
    typed: tuple[TypedKey, ...] = ()

    @property
    def patient(self) -> Patient:
        """Whose decision it is."""
        return self.inputs.patient

    @property
    def policy(self) -> Policy:
        """Under which settings."""
        return self.inputs.policy

    @property
    def settings(self) -> Policy:
        """The settings with what is ordered for this patient in their place."""
        return settings_for(self.patient, self.policy)

    @property
    def library(self) -> Library:
        """With which teaching content."""
        return self.inputs.teaching.library

    @property
    def language(self) -> str:
        """Tag of the patient's handout."""
        return self.inputs.language

    @property
    def stopped(self) -> bool:
        """Whether no packet may be built."""
        return any(finding.blocks for finding in self.findings)

    @property
    def draft_teaching(self) -> bool:
        """Whether any teaching of this packet has not been reviewed by a clinician."""
        return bool(unread(self.library, self.policy, self._modules, self._day))

    @property
    def draft_settings(self) -> bool:
        """Whether any setting of a facility of its own was approved by nobody."""
        return not self.policy.example and bool(unapproved(self.policy, self._day))

    def reviewed(self, module: str) -> bool:
        """Whether a clinician has read a module as it stands."""
        return module not in unread(self.library, self.policy, {module}, self._day)

    @property
    def _modules(self) -> set[str]:
        return {chosen.module.id for chosen in self.selection.modules}

    @property
    def _day(self) -> date:
        return self.patient.prepared_on.date()

    @property
    def draft_languages(self) -> tuple[str, ...]:
        """Handout languages of which this packet prints words that no translator has read."""
        modules = self._modules
        catalogs = self.inputs.teaching.catalogs
        return tuple(t for t in self.inputs.handout_languages if catalogs[t].draft(modules))


def decide(inputs: Inputs) -> Decision:
    """Everything that follows from the inputs; the same inputs give the same decision.

    A file of format 2 is judged as it stands; all else follows from it with what was decided.
    """
    library = inputs.teaching.library
    if inputs.patient.format == 1:
        facts = derive(inputs.patient, inputs.policy, library.medicine_words)
        return _decision(inputs, facts, judge(library.rules, facts, inputs.patient))
    noted = noting(inputs.patient, inputs.policy, library.medicine_words)
    raised = raise_all(library.rules, noted, inputs.patient)
    judged = settle(raised, inputs.patient, inputs.policy.roles)
    patient = resolved(inputs.patient, judged.outcomes)
    facts = derive(patient, inputs.policy, library.medicine_words)
    return replace(
        _decision(
            replace(inputs, patient=patient),
            facts,
            (
                *judged.findings,
                *goal_faults(patient, facts),
                *hold_faults(patient, noted.facts, facts),
            ),
        ),
        settled_lines=judged.lines,
    )


def _decision(inputs: Inputs, facts: Facts, judged: Sequence[Finding]) -> Decision:
    selection = select(inputs.teaching.library, facts)
    missing = _missing(selection, facts, judged)
    findings = [
        *_not_proved(inputs),
        *judged,
        *missing,
        *_language_findings(inputs),
        *_page_one(inputs, facts),
        *_lapsed_reviews(inputs),
    ]
    findings.sort(key=lambda finding: LEVELS.index(finding.level))
    return Decision(inputs, facts, selection, tuple(findings))


# Differences from what was proved that one finding names; more are counted.
_NAMED = 3


def _not_proved(inputs: Inputs) -> Iterator[Finding]:
    """A stop where content or settings are not those that were proved."""
    faults = unproved(inputs.teaching, inputs.policy)
    if not faults:
        return
    told = " ".join(str(fault) for fault in faults[:_NAMED])
    more = f" And {len(faults) - _NAMED} more." if len(faults) > _NAMED else ""
    yield finding_about_file(
        "content-not-proved",
        "stop",
        f"What the packet is made from is not what was proved: {told}{more}",
        "Run: plainleaf prove --seal, with the same --teaching and --policy where you type them.",
        tuple(dict.fromkeys(fault.file for fault in faults[:_NAMED])),
    )


def _lapsed_reviews(inputs: Inputs) -> Iterator[Finding]:
    """A note of each review that counts no more: what it was about is a draft again."""
    library, policy = inputs.teaching.library, inputs.policy
    for review, why in lapsed(library, policy, inputs.patient.prepared_on.date()):
        yield finding_about_file(
            "review-lapsed",
            "note",
            f"'{review.of}' is a draft again: {review.by}, {review.credential}, read it on "
            f"{review.on}, and {why}.",
            f"Have it read again, and write it down with: plainleaf reviewed {review.of}",
            (review.of,),
            review.of,
        )


def _missing(selection: Selection, facts: Facts, judged: Sequence[Finding]) -> Iterator[Finding]:
    """A stop for each fact that a condition or a slot could not do without.

    A fact that an open finding asks for already is not asked for twice.
    """
    asked = {key for finding in judged for key in finding.concerns}
    for fact in selection.unknown:
        key = FACTS[fact].needs or fact
        if key not in asked:
            yield finding_about_file(
                f"missing-{fact.replace('_', '-')}",
                "stop",
                f"The packet cannot be chosen: '{fact}' is not known.",
                f"Write {key} in the patient file.",
                (key,),
            )
    if not selection.unknown:
        yield from map(_without_value, missing_slots(selection, facts))


def _page_one(inputs: Inputs, facts: Facts) -> Iterator[Finding]:
    """A stop for each emergency that page 1 of this patient lacks, in whatever language."""
    teaching, answers = inputs.teaching, facts.answers
    yield from map(_lacking, weakened_for(teaching.library, answers))
    for tag in inputs.handout_languages:
        if tag in teaching.catalogs:
            yield from map(
                _lacking, untranslated_for(teaching.library, teaching.catalogs[tag], answers)
            )


def _lacking(weakened: Weakened) -> Finding:
    return finding_about_file(
        "emergency-not-on-page-1",
        "stop",
        f"Page 1 lacks an emergency: {weakened.says}",
        f"Have who owns the teaching content mend {weakened.place}; plainleaf lint and plainleaf "
        "locales check name every such line.",
        (weakened.place,),
        weakened.emergency,
    )


def _without_value(slot: str) -> Finding:
    return finding_about_file(
        "missing-value",
        "stop",
        f"A sentence of the handout needs a value that is not there: {slot}.",
        f"Write {meaning_of_slot(slot)}.",
        (slot,),
    )


def meaning_of_slot(slot: str) -> str:
    """What a slot prints, in words for whoever has to write it."""
    fact = SLOTS.get(slot) or FACTS.get(slot)
    return f"what gives '{slot}' ({fact.means})" if fact else slot


def missing_slots(selection: Selection, facts: Facts) -> tuple[str, ...]:
    """Slots of the selected texts that have no value for this patient, each once."""
    child = facts.answers["child"] == "true"
    needed = (slot for text in _texts(selection, child=child) for slot in slots_in(text))
    there = {*facts.values, *(pointer_to(page) for page in selection.page_numbers)}
    return tuple(dict.fromkeys(slot for slot in needed if slot not in there))


def _texts(selection: Selection, *, child: bool) -> Iterator[str]:
    """Every text with slots that this reader gets."""

    def for_reader(adult: str, for_child: str | None) -> str:
        return for_child if child and for_child is not None else adult

    for chosen in selection.modules:
        yield chosen.module.words(child=child)
        for opened in chosen.sections:
            yield opened.section.words(child=child)
            for statement in opened.statements:
                if statement.kind != "block":
                    yield statement.words(child=child)
                if statement.picture is not None and statement.alt is not None:
                    yield statement.alt
        for prompt in chosen.teach_back:
            yield for_reader(prompt.ask, prompt.child_ask)
            yield for_reader(prompt.again, prompt.child_again)
        for skill in chosen.show_back:
            yield for_reader(skill.title, skill.child_title)


def _language_findings(inputs: Inputs) -> Iterator[Finding]:
    """A stop when there is no handout in the language, a note for other readers."""
    have = inputs.teaching.languages
    if inputs.language not in have:
        yield finding_about_file(
            "no-handout-in-language",
            "stop",
            f"There is no handout in '{inputs.language}' yet. Handouts exist in: "
            f"{', '.join(have)}.",
            "Build with --language en and go through it with a qualified interpreter.",
            ("patient.language",),
        )
    for number, learner in enumerate(inputs.patient.learners):
        if inputs.teaching.best_language(learner.language) not in (*have, inputs.language):
            yield finding_about_file(
                "learner-without-handout",
                "note",
                f"{learner.name} reads '{learner.language}', and there is no handout in it.",
                "Use a qualified interpreter.",
                (f"learners[{number}].language",),
            )
