"""Where the safety rules hold: of the patient, of one medicine, or apart for each thing."""

from __future__ import annotations

import re
from collections import ChainMap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias, cast

from plainleaf.facts import CHECKS, FACTS, Facts, word_of
from plainleaf.facts.derived import Checked, MedicineFacts
from plainleaf.facts.medicine_forms import dose_words
from plainleaf.facts.notebook import Lazy
from plainleaf.inputs.content import SafetyRule
from plainleaf.vocabulary.conditions import Answer

# Fact or check → its answer, as conditions ask for it.
Known: TypeAlias = Mapping[str, str | None]
_ASKED = frozenset((*FACTS, *CHECKS))


@dataclass(frozen=True)
class RuleHit:
    """Where a rule holds: a medicine or nothing, words for its message, keys, more sources.

    `apart`: keys of the one thing of several that it is about; `beside`: keys of other things
    that were looked at for it; `about`: what a decision calls it, besides what its keys tell.
    """

    subject: str
    details: Mapping[str, str]
    concerns: tuple[str, ...]
    sources: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    about: str = ""


def answers_when_asked(facts: Facts) -> Known:
    """The answers to facts and checks, each worked out when a condition asks for it."""
    return Lazy(
        _ASKED,
        lambda name: word_of(facts.checks[name].answer) if name in CHECKS else facts.answers[name],
    )


def asked_answers(rules: Sequence[SafetyRule], facts: Facts) -> Known:
    """Facts and checks that a rule asks, with their answers, each asked once."""
    known = answers_when_asked(facts)
    asked = dict.fromkeys(name for rule in rules for name in rule.when.facts())
    return {name: known[name] for name in asked if name in FACTS or name in CHECKS}


def fill(text: str, details: Mapping[str, str]) -> str:
    """The text with its slots filled, in one pass, so that no filled word is read as a slot."""
    return re.sub(r"\{([a-z_]+)\}", lambda slot: details.get(slot[1], slot[0]), text)


def patient_hits(rule: SafetyRule, facts: Facts, answers: Known, *, apart: bool) -> list[RuleHit]:
    """A hit where a rule about the patient holds; its keys are those of the checks it asks.

    Args:
        apart: One hit for each thing that a check says the same of, instead of one for all.
    """
    if rule.when.ask(answers) is not Answer.TRUE:
        return []
    asked = tuple(dict.fromkeys(rule.when.facts()))
    checks = [facts.checks[name] for name in asked if name in CHECKS]
    details = {name: words for check in checks for name, words in check.details.items()}
    concerns = [key for check in checks for key in check.concerns]
    if not concerns:
        concerns = [FACTS[name].needs for name in asked if name in FACTS and FACTS[name].needs]
    if apart and (parts := _parts_of(checks)):
        return [
            RuleHit(
                "", {**details, **part.details}, part.keys, (), part.keys, part.beside, part.about
            )
            for part in parts.parts
        ]
    return [RuleHit("", details, tuple(dict.fromkeys(concerns)))]


def _parts_of(checks: Sequence[Checked]) -> Checked | None:
    """The check that says the same of several things."""
    return next((check for check in checks if check.answer and check.parts), None)


def medicine_hits(rule: SafetyRule, facts: Facts, answers: Known, *, apart: bool) -> list[RuleHit]:
    """A hit for each medicine that a rule about medicines holds for."""
    return [
        _medicine_hit(rule, medicine, apart=apart)
        for medicine in facts.medicines
        if rule.when.ask(_with(medicine.answers, answers)) is Answer.TRUE
    ]


def _with(own: Known, others: Known) -> Known:
    """The answers of one medicine before those of the patient, none worked out unasked."""
    return cast("Known", ChainMap(cast("Any", own), cast("Any", others)))


def _medicine_hit(rule: SafetyRule, medicine: MedicineFacts, *, apart: bool) -> RuleHit:
    line = medicine.medicine
    entries = [medicine.entries[fact] for fact in rule.when.facts() if fact in medicine.entries]
    details = {
        "medicine": line.name,
        "form": line.form,
        "dose": dose_words(line),
        "why": "; ".join(dict.fromkeys(entry.why for entry in entries)),
        "what": "; ".join(entry.what for entry in entries if entry.what),
        "who": " and ".join(e.who_settles for e in entries if e.who_settles),
        "known": "; ".join(row.says for row in medicine.known.rows_of("known")) or "nothing",
    }
    keys = (f"medicines[{line.number}]",)
    sources = tuple(name for entry in entries for name in entry.sources)
    return RuleHit(line.name, details, keys, sources, keys if apart else ())


def hits_of(
    rule: SafetyRule, facts: Facts, answers: Known, *, apart: bool = False
) -> list[RuleHit]:
    """All hits of one rule."""
    hits = medicine_hits if rule.about == "medicine" else patient_hits
    return hits(rule, facts, answers, apart=apart)
