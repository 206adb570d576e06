"""A small teaching folder for tests: one module, one rule, and what they need."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from builders import ROOT, library

from plainleaf.facts import VOCABULARY, derive
from plainleaf.inputs.catalog import Catalog
from plainleaf.inputs.content import Library, load_library
from plainleaf.inputs.load_inputs import Teaching, inputs_for
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.policy import Policy
from plainleaf.rules.decision import Decision
from plainleaf.rules.select import select

MODULE = """\
id: water
order: 10
status: draft
title: "Water for your tube"
child_title: "Water for your child's tube"
when: always
sections:
  - id: water.when
    heading: "When to flush"
    items:
      - id: water.when.why
        say: "Water keeps the tube open."
        sources: [clog-rate]
      - id: water.when.feed
        when: {water_before_feed_ordered: true}
        point: "Before each feeding: {water_before_feed}"
        child: "Before each feeding of your child: {water_before_feed}"
        sources: [patient-file]
      - id: water.when.kind-tap
        choice: kind
        when: {water_kind: tap}
        say: "Use water from the tap."
        sources: [policy.water_for_most]
      - id: water.when.kind-other
        choice: kind
        when: {water_kind: {one_of: [sterile, boiled]}}
        say: "Ask us which water to use."
        sources: [policy.water_for_most]
  - id: water.how
    heading: "How to flush"
    when: {fed_by_tube: true}
    items:
      - id: water.how.push
        step: "Push the water in slowly."
        sources: [practice]
      - id: water.how.close
        step: "Close the cap."
        sources: [practice]
      - id: water.how.never
        warn: "Do not push hard. Stop and call us."
        advice: {act: force-flush, stance: never}
        sources: [clog-rate]
teach_back:
  - id: water.tb.when
    ask: "I want to be sure I explained this well. When will you flush?"
    listen_for: [water.when.why, water.when.feed]
    again: "Think of a straw."
    critical: true
show_back:
  - id: water.sb.flush
    title: "Flush the tube"
    from: water.how
    critical: true
"""

RULES = """\
rules:
  - id: balloon-without-amount
    about: patient
    when: {balloon_fill_too_much: true}
    level: stop
    acceptable: true
    says: "The balloon holds {fill}."
    instead: "Read the number on the tube."
    settled_by: "the operator"
    sources: [clog-rate]
"""

FILES: dict[str, str] = {
    "acts.yaml": 'force-flush: "push hard against a block"\n',
    "sources/bibliography.yaml": (
        'own:\n  title: "Own record"\n  body: "the project"\n  year: "2026"\n'
    ),
    "sources/facts.yaml": "".join(
        f'{name}:\n  says: "A row."\n  source: [own]\n  status: memory\n'
        for name in ("clog-rate", "patient-file", "practice")
    ),
    "rules/safety-rules.yaml": RULES,
    "rules/medicine-words.yaml": (
        "modified_release_suffixes:\n"
        "  - {match: ER, kind: suffix, why: long, source: [practice], status: memory}\n"
    ),
    "rules/medicines.yaml": (
        "salts:\n  sulfate: [sulf]\nbesides:\n  forms: [tablet]\nsubstances:\n"
        "  - name: oxycodone\n    group: pain\n    rows:\n"
        "      - {kind: opioid, says: strong, source: [practice], status: memory}\n"
    ),
    "modules/water.yaml": MODULE,
}


def pages_of(files: Mapping[str, str]) -> str:
    """One page with every section of the modules."""
    modules = [text for name, text in files.items() if name.startswith("modules/")]
    heads = [text.partition("\nteach_back:")[0] for text in modules]
    takes = [name for head in heads for name in re.findall(r"(?m)^  - id: (\S+)", head)]
    return f"pages:\n  - {{id: checks, part: daily, takes: [{', '.join(takes)}]}}\n"


def write_library(folder: Path, changed: Mapping[str, str] | None = None) -> Path:
    """The folder with the small library in it; `changed` replaces whole files by name."""
    phrases = (ROOT / "teaching" / "phrases.yaml").read_text(encoding="utf-8")
    files = {**FILES, **(changed or {})}
    for name, text in {"phrases.yaml": phrases, "pages.yaml": pages_of(files), **files}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def small_decision(small: Library, patient: Patient, rules: Policy) -> Decision:
    """What is decided for a patient with a small library; its rules are not asked."""
    facts = derive(patient, rules, library().medicine_words)
    teaching = Teaching(small, ("en",), {"en": Catalog("en", {})})
    return Decision(inputs_for(patient, rules, teaching), facts, select(small, facts), ())


def small_library(folder: Path, edits: Mapping[str, str] | None = None) -> Library:
    """The small library with some words of its module replaced, each found exactly once."""
    text = MODULE
    for old, new in (edits or {}).items():
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return load_library(write_library(folder, {"modules/water.yaml": text}), VOCABULARY)
