"""Reads the safety rules and the bibliography."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plainleaf.inputs.content.loader import Loader, strings_at
from plainleaf.inputs.content.medicine_parts import MedicineLists
from plainleaf.inputs.content.teaching_parts import (
    Claim,
    Module,
    SafetyRule,
    Source,
    slots_in,
)
from plainleaf.inputs.strict_yaml import Reader
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.errors import Fault
from plainleaf.vocabulary.facts import MEDICINE_DETAILS, Fact
from plainleaf.vocabulary.settings import SETTINGS

# Advice stands for acts; "practice" and "patient-file" are records like any other source.
_POLICY_SOURCE = "policy."


def read_rules(loader: Loader) -> list[SafetyRule]:
    """All safety rules of the folder, in file order."""
    rules: list[SafetyRule] = []
    for path in sorted((loader.folder / "rules").glob("*-rules.yaml")):
        reader = loader.open(f"rules/{path.name}")
        if reader is not None:
            rules.extend(_rule(loader, r) for r in reader.children("rules", required=True))
            reader.close()
    return rules


def _rule(loader: Loader, reader: Reader) -> SafetyRule:
    about = reader.choice("about", ("patient", "medicine"), required=True) or "patient"
    asked = loader.vocabulary.of_rules(about)
    reader.get("when", required=True)
    rule = SafetyRule(
        id=loader.own(reader, reader.text("id", required=True)),
        about=about,
        when=loader.condition(reader, asked),
        level=reader.choice("level", terms.LEVELS, required=True) or "stop",
        says=reader.text("says", required=True) or "",
        instead=reader.text("instead", required=True) or "",
        settled_by=reader.text("settled_by", required=True) or "",
        acceptable=reader.flag("acceptable"),
        events=strings_at(reader, "events"),
        sources=strings_at(reader, "sources", required=True),
        line=reader.node.line,
        file=reader.node.file,
    )
    _check_rule(reader, rule, asked)
    reader.close()
    return rule


def _check_rule(reader: Reader, rule: SafetyRule, asked: Mapping[str, Fact]) -> None:
    """Slots of a rule's words are details of what it asks; only a stop says who may accept it."""
    details = {word for name in rule.when.facts() if name in asked for word in asked[name].details}
    names = set(MEDICINE_DETAILS) if rule.about == "medicine" else details
    for key, text in (("says", rule.says), ("instead", rule.instead)):
        for slot in slots_in(text):
            if slot not in names:
                reader.note(
                    reader.mapping[key], f"'{{{slot}}}' is no detail of what '{rule.id}' asks.",
                    f"Known: {', '.join(sorted(names)) or 'none'}.",
                )  # fmt: skip
    if rule.acceptable and rule.level != "stop":
        reader.note(reader.node, f"'{rule.id}' is no stop.", "acceptable belongs to stops only.")


def read_bibliography(loader: Loader) -> tuple[Mapping[str, Source], Mapping[str, Claim]]:
    """Sources and fact records, by id."""
    sources: dict[str, Source] = {}
    facts: dict[str, Claim] = {}
    books, rows = loader.open("sources/bibliography.yaml"), loader.open("sources/facts.yaml")
    for key in books.mapping if books else ():
        if books and (entry := books.child(key, required=True)):
            sources[key] = Source(
                key,
                entry.text("title", required=True) or "",
                entry.text("body", required=True) or "",
                entry.text("year", required=True) or "",
                entry.text("link"),
                entry.text("read_on"),
            )
            entry.close()
    for key in rows.mapping if rows else ():
        if rows and (entry := rows.child(key, required=True)):
            facts[key] = _claim(entry, key, sources)
            entry.close()
    return sources, facts


def _claim(entry: Reader, key: str, sources: Mapping[str, Source]) -> Claim:
    cited = strings_at(entry, "source", required=True)
    for name in cited:
        if name not in sources:
            entry.note(entry.node, f"'{key}' cites '{name}', which the bibliography lacks.")
    return Claim(
        key,
        entry.text("says", required=True) or "",
        cited,
        entry.text("at"),
        entry.choice("status", terms.SOURCE_STATUSES, required=True) or "memory",
    )


def source_known(name: str, facts: Mapping[str, Claim]) -> bool:
    """Whether a cited id is a fact record or a policy setting."""
    return name in facts or (
        name.startswith(_POLICY_SOURCE) and name.removeprefix(_POLICY_SOURCE) in SETTINGS
    )


def note_broken_sources(
    loader: Loader,
    modules: Sequence[Module],
    rules: Sequence[SafetyRule],
    medicines: MedicineLists,
    facts: Mapping[str, Claim],
) -> None:
    """Note every cited source that no record has."""
    cited = [(m.file, s.line, s.id, s.sources) for m in modules for _, s in m.statements()]
    cited += [(rule.file, rule.line, rule.id, rule.sources + rule.events) for rule in rules]
    cited += [("rules/medicines.yaml", 0, name, of) for name, of in medicines.sources().items()]
    for file, line, identity, sources in cited:
        for name in sources:
            if not source_known(name, facts):
                loader.faults.append(
                    Fault(file, line, f"'{identity}' cites '{name}', which is no known source.")
                )
