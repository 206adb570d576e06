"""The teaching library: modules, rules, phrases and sources, loaded strictly.

Every fault carries file and line, and all of them are reported at once. What a text means for a
patient is decided later; here a text is words with named slots.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Literal

from plainleaf import terms
from plainleaf.conditions import ALWAYS, Condition, both, read_condition
from plainleaf.draw import PICTURES
from plainleaf.errors import ContentError, Fault
from plainleaf.reading import Reader, Unreadable, parse, read_text
from plainleaf.settings import SETTINGS
from plainleaf.vocabulary import (
    CHECK_FACTS,
    CHECKS,
    FACTS,
    MEDICINE_DETAILS,
    MEDICINE_FACTS,
    SLOTS,
    Fact,
)

Kind = Literal[
    "say",
    "point",
    "step",
    "warn",
    "normal",
    "call_now",
    "call_today",
    "tell_visit",
    "block",
    "picture",
]
KINDS: tuple[Kind, ...] = (
    "say", "point", "step", "warn", "normal", "call_now", "call_today", "tell_visit", "block",
    "picture",
)  # fmt: skip
# Kinds that tell someone what not to do, or when to call: they need an advice or a level.
BLOCKS = (
    "contacts_box",
    "port_table",
    "tube_card",
    "first_days_table",
    "other_lines_list",
    "feed_table",
    "flush_table",
    "medicine_table",
    "day_schedule",
    "day_log",
    "supplies_table",
    "visits_table",
)
# What is read out in place of a picture stays short (print reference PI-08).
LONGEST_ALT = 150
# A caption says one thing (print reference PI-03).
LONGEST_CAPTION = 10
SECTION_LEVELS = ("now", "today", "visit")
_SLOT = re.compile(r"\{([a-z_]+)\}")
_ID = re.compile(r"[a-z][a-z0-9-]*(\.[a-z0-9-]+)*")
# Advice stands for acts; "practice" and "patient-file" are records like any other source.
_POLICY_SOURCE = "policy."


@dataclass(frozen=True)
class Advice:
    """An act of the closed list and the stance on it."""

    act: str
    stance: str


@dataclass(frozen=True)
class Statement:
    """One sentence, block or picture of the handout with all that decides and backs it.

    The text of a block is its name, that of a picture its caption; `alt` is read out in its place.
    """

    id: str
    kind: Kind
    text: str
    child_text: str | None
    when: Condition
    sources: tuple[str, ...]
    advice: tuple[Advice, ...]
    choice: str | None
    line: int
    picture: str | None = None
    alt: str | None = None

    def words(self, *, child: bool) -> str:
        """The text for an adult, or for the parent of a child where that differs."""
        return self.child_text if child and self.child_text is not None else self.text


@dataclass(frozen=True)
class Section:
    """A heading with its statements."""

    id: str
    heading: str
    child_heading: str | None
    when: Condition
    choice: str | None
    level: str | None
    statements: tuple[Statement, ...]
    line: int

    def words(self, *, child: bool) -> str:
        """The heading for an adult or for the parent of a child."""
        return self.child_heading if child and self.child_heading is not None else self.heading


@dataclass(frozen=True)
class TeachBack:
    """An open question, what to listen for (statement ids) and another way to explain."""

    id: str
    when: Condition
    ask: str
    child_ask: str | None
    listen_for: tuple[str, ...]
    again: str
    child_again: str | None
    critical: bool
    line: int


@dataclass(frozen=True)
class ShowBack:
    """A skill that is shown: the steps are those of a section of the handout."""

    id: str
    when: Condition
    title: str
    child_title: str | None
    section: str
    critical: bool
    line: int


@dataclass(frozen=True)
class Module:
    """One topic, one file."""

    id: str
    file: str
    order: int
    status: str
    title: str
    child_title: str | None
    when: Condition
    sections: tuple[Section, ...]
    teach_back: tuple[TeachBack, ...]
    show_back: tuple[ShowBack, ...]

    def words(self, *, child: bool) -> str:
        """The title for an adult or for the parent of a child."""
        return self.child_title if child and self.child_title is not None else self.title

    def statements(self) -> Iterator[tuple[Section, Statement]]:
        """Every statement with its section, in print order."""
        for section in self.sections:
            for statement in section.statements:
                yield section, statement


@dataclass(frozen=True)
class Rule:
    """A safety rule: when it holds, a finding of its level appears."""

    id: str
    about: str
    when: Condition
    level: str
    says: str
    instead: str
    settled_by: str
    acceptable: bool
    events: tuple[str, ...]
    sources: tuple[str, ...]
    line: int
    file: str


@dataclass(frozen=True)
class Source:
    """A published source, or the record that says there is none."""

    id: str
    title: str
    body: str
    year: str
    link: str | None
    read_on: str | None


@dataclass(frozen=True)
class FactRecord:
    """One clinical fact: what it says, where it stands, and how far it was checked."""

    id: str
    says: str
    sources: tuple[str, ...]
    at: str | None
    status: str


@dataclass(frozen=True)
class WordEntry:
    """One tripwire entry about medicines."""

    match: str
    kind: str
    why: str
    sources: tuple[str, ...]
    status: str
    unless: tuple[str, ...]
    only_forms: tuple[str, ...]
    side: str | None
    what: str | None
    who_settles: str | None
    level: str | None


@dataclass(frozen=True)
class Library:
    """All teaching content of a folder; `conditions`: statement id → all that must hold."""

    folder: Path
    modules: tuple[Module, ...]
    rules: tuple[Rule, ...]
    phrases: Mapping[str, tuple[str, str | None]]
    acts: Mapping[str, str]
    sources: Mapping[str, Source]
    facts: Mapping[str, FactRecord]
    medicine_words: Mapping[str, tuple[WordEntry, ...]]
    conditions: Mapping[str, Condition]
    digest: str


def slots_in(text: str) -> tuple[str, ...]:
    """Names of the slots of a text, in order, each once.

    >>> slots_in("Give {water_each} of water, then {water_each} more.")
    ('water_each',)
    """
    return tuple(dict.fromkeys(_SLOT.findall(text)))


class _Loader:
    """Reads one teaching folder and keeps every fault."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.faults: list[Fault] = []
        self.ids: dict[str, str] = {}
        self.read: list[tuple[str, str]] = []

    def open(self, relative: str) -> Reader | None:
        """A reader of a file of the folder, or None with a fault."""
        path = self.folder / relative
        try:
            text = read_text(path)
            node = parse(text, relative)
        except Unreadable as error:
            self.faults.append(
                Fault(relative, error.fault.line, error.fault.wrong, error.fault.instead)
            )
            return None
        self.read.append((relative, text))
        return Reader(node, self.faults)

    def own(self, reader: Reader, identity: str | None, prefix: str = "") -> str:
        """An id that is well formed, new, and under its module's name."""
        if identity is None:
            return ""
        node = reader.mapping["id"]
        if not _ID.fullmatch(identity):
            reader.note(node, f"'{identity}' is not an id.", "Write small-words.with-dots.")
        if prefix and not identity.startswith(prefix + "."):
            reader.note(node, f"'{identity}' does not start with '{prefix}.'.")
        if identity in self.ids:
            reader.note(
                node, f"'{identity}' stands in {self.ids[identity]} too.", "Ids are unique."
            )
        self.ids[identity] = f"{reader.node.file}:{reader.node.line}"
        return identity


def load_library(folder: Path) -> Library:
    """The teaching content of a folder.

    Raises:
        ContentError: With every fault found, by file and line.
    """
    loader = _Loader(folder)
    acts = _texts(loader, "acts.yaml")
    sources, facts = _bibliography(loader)
    phrases = _phrases(loader)
    modules = [
        module
        for path in sorted((folder / "modules").glob("*.yaml"))
        if (module := _module(loader, f"modules/{path.name}", acts)) is not None
    ]
    rules = _rules(loader)
    words = _medicine_words(loader)
    _check_sources(loader, modules, rules, facts)
    _check_references(loader, modules)
    if not modules and not loader.faults:
        loader.faults.append(Fault(str(folder), 0, "has no modules.", "Pass a teaching folder."))
    if loader.faults:
        raise ContentError(sorted(loader.faults, key=lambda f: (f.file, f.line)))
    modules.sort(key=lambda module: (module.order, module.id))
    return Library(
        folder=folder,
        modules=tuple(modules),
        rules=tuple(rules),
        phrases=phrases,
        acts=acts,
        sources=sources,
        facts=facts,
        medicine_words=words,
        conditions={
            statement.id: condition_of(module, section, statement)
            for module in modules
            for section, statement in module.statements()
        },
        digest=_digest(loader.read),
    )


def _digest(read: Sequence[tuple[str, str]]) -> str:
    whole = sha256()
    for name, text in sorted(read):
        whole.update(f"{name}\0{text}\0".encode())
    return whole.hexdigest()


def _texts(loader: _Loader, relative: str) -> Mapping[str, str]:
    reader = loader.open(relative)
    if reader is None:
        return {}
    return {key: reader.text(key, required=True) or "" for key in reader.mapping}


def _phrases(loader: _Loader) -> Mapping[str, tuple[str, str | None]]:
    """Phrase id → (text, None), or (text for one, text for any other number)."""
    reader = loader.open("phrases.yaml")
    found: dict[str, tuple[str, str | None]] = {}
    for key, node in reader.mapping.items() if reader else ():
        assert reader is not None
        if isinstance(node.value, Mapping):
            plural = reader.child(key, required=True)
            assert plural is not None
            one, other = plural.text("one", required=True), plural.text("other", required=True)
            plural.close()
            found[key] = (one or "", other or "")
        else:
            found[key] = (reader.text(key, required=True) or "", None)
    return found


def _condition(
    reader: Reader, vocabulary: Mapping[str, Fact] = FACTS, key: str = "when"
) -> Condition:
    node = reader.get(key)
    return ALWAYS if node is None else read_condition(node, vocabulary, reader.faults)


def _strings(reader: Reader, key: str, *, required: bool = False) -> tuple[str, ...]:
    found = []
    for node in reader.items(key, required=required):
        if isinstance(node.value, str) and node.value:
            found.append(node.value)
        else:
            reader.note(node, f"{reader.name(key)} holds something that is not a word.")
    return tuple(found)


def _worded(reader: Reader, key: str, *, required: bool = False) -> str | None:
    """A text whose braces are slots of the vocabulary and nothing else."""
    text = reader.text(key, required=required, longest=900)
    if text is None:
        return None
    node = reader.mapping[key]
    for slot in slots_in(text):
        if slot not in SLOTS:
            reader.note(node, f"'{{{slot}}}' is not a slot.", "See vocabulary.py for the slots.")
    if re.search(r"[{}]", _SLOT.sub("", text)):
        reader.note(node, "holds a brace that is not a slot.", "Write {slot_name}.")
    return text


def _module(loader: _Loader, relative: str, acts: Mapping[str, str]) -> Module | None:
    reader = loader.open(relative)
    if reader is None:
        return None
    identity = loader.own(reader, reader.text("id", required=True))
    if identity and f"modules/{identity}.yaml" != relative:
        reader.note(reader.mapping["id"], f"'{identity}' is not the name of the file.")
    module = Module(
        id=identity,
        file=relative,
        order=reader.count("order", low=1, high=999, required=True) or 0,
        status=reader.choice("status", terms.MODULE_STATUSES, required=True) or "draft",
        title=_worded(reader, "title", required=True) or "",
        child_title=_worded(reader, "child_title"),
        when=_required_condition(reader),
        sections=tuple(
            _section(loader, r, identity, acts) for r in reader.children("sections", required=True)
        ),
        teach_back=tuple(_teach_back(loader, r, identity) for r in reader.children("teach_back")),
        show_back=tuple(_show_back(loader, r, identity) for r in reader.children("show_back")),
    )
    reader.close()
    return module


def _required_condition(reader: Reader) -> Condition:
    reader.get("when", required=True, hint="Write when: always, or a condition.")
    return _condition(reader)


def _section(loader: _Loader, reader: Reader, module: str, acts: Mapping[str, str]) -> Section:
    section = Section(
        id=loader.own(reader, reader.text("id", required=True), module),
        heading=_worded(reader, "heading", required=True) or "",
        child_heading=_worded(reader, "child_heading"),
        when=_condition(reader),
        choice=reader.text("choice"),
        level=reader.choice("level", SECTION_LEVELS),
        statements=tuple(
            _statement(loader, r, module, acts) for r in reader.children("items", required=True)
        ),
        line=reader.node.line,
    )
    reader.close()
    return section


def _statement(loader: _Loader, reader: Reader, module: str, acts: Mapping[str, str]) -> Statement:
    identity = loader.own(reader, reader.text("id", required=True), module)
    kinds = [kind for kind in KINDS if kind in reader.mapping]
    if len(kinds) != 1:
        reader.note(reader.node, f"'{identity}' needs exactly one of: {', '.join(KINDS)}.")
    kind: Kind = kinds[0] if kinds else "say"
    picture = reader.choice("picture", PICTURES) if kind == "picture" else None
    if kind == "block":
        text = reader.choice("block", BLOCKS)
    else:
        text = _worded(reader, "caption" if picture else kind, required=picture is not None)
    statement = Statement(
        id=identity,
        kind=kind,
        text=text or "",
        child_text=_worded(reader, "child"),
        when=_condition(reader),
        sources=_strings(reader, "sources", required=True),
        advice=_advice(reader, acts),
        choice=reader.text("choice"),
        line=reader.node.line,
        picture=picture,
        alt=_worded(reader, "alt", required=True) if picture else None,
    )
    _check_picture(reader, statement)
    if kind == "warn" and not statement.advice:
        reader.note(reader.node, f"'{identity}' warns without an advice.", "Write advice: …")
    reader.close()
    return statement


def _check_picture(reader: Reader, statement: Statement) -> None:
    """A caption is short, and what is read out says more than that there is a picture."""
    if statement.picture is None:
        return
    if len(statement.text.split()) > LONGEST_CAPTION:
        reader.note(reader.node, f"'{statement.id}': the caption has more than {LONGEST_CAPTION} "
                    "words.")  # fmt: skip
    alt = statement.alt or ""
    if len(_SLOT.sub("", alt)) > LONGEST_ALT:
        reader.note(reader.node, f"'{statement.id}': alt is longer than {LONGEST_ALT} letters.")
    if re.search(r"\b(image|picture) of\b", alt, re.I) or alt == statement.text:
        reader.note(reader.node, f"'{statement.id}': alt says what to see and do, nothing else.")


def _advice(reader: Reader, acts: Mapping[str, str]) -> tuple[Advice, ...]:
    node = reader.get("advice")
    if node is None:
        return ()
    nodes = node.value if isinstance(node.value, tuple) else (node,)
    found = []
    for entry in nodes:
        inner = Reader(entry, reader.faults, f"{reader.where}.advice")
        act = inner.choice("act", tuple(acts), required=True)
        stance = inner.choice("stance", terms.STANCES, required=True)
        inner.close()
        if act and stance:
            found.append(Advice(act, stance))
    return tuple(found)


def _teach_back(loader: _Loader, reader: Reader, module: str) -> TeachBack:
    result = TeachBack(
        id=loader.own(reader, reader.text("id", required=True), module),
        when=_condition(reader),
        ask=_worded(reader, "ask", required=True) or "",
        child_ask=_worded(reader, "child_ask"),
        listen_for=_strings(reader, "listen_for", required=True),
        again=_worded(reader, "again", required=True) or "",
        child_again=_worded(reader, "child_again"),
        critical=reader.flag("critical"),
        line=reader.node.line,
    )
    reader.close()
    return result


def _show_back(loader: _Loader, reader: Reader, module: str) -> ShowBack:
    result = ShowBack(
        id=loader.own(reader, reader.text("id", required=True), module),
        when=_condition(reader),
        title=_worded(reader, "title", required=True) or "",
        child_title=_worded(reader, "child_title"),
        section=reader.text("from", required=True) or "",
        critical=reader.flag("critical"),
        line=reader.node.line,
    )
    reader.close()
    return result


def _rules(loader: _Loader) -> list[Rule]:
    rules: list[Rule] = []
    for path in sorted((loader.folder / "rules").glob("*-rules.yaml")):
        reader = loader.open(f"rules/{path.name}")
        if reader is not None:
            rules.extend(_rule(loader, r) for r in reader.children("rules", required=True))
            reader.close()
    return rules


def _rule(loader: _Loader, reader: Reader) -> Rule:
    about = reader.choice("about", ("patient", "medicine"), required=True) or "patient"
    vocabulary = {**FACTS, **(MEDICINE_FACTS if about == "medicine" else CHECK_FACTS)}
    reader.get("when", required=True)
    rule = Rule(
        id=loader.own(reader, reader.text("id", required=True)),
        about=about,
        when=_condition(reader, vocabulary),
        level=reader.choice("level", terms.LEVELS, required=True) or "stop",
        says=reader.text("says", required=True) or "",
        instead=reader.text("instead", required=True) or "",
        settled_by=reader.text("settled_by", required=True) or "",
        acceptable=reader.flag("acceptable"),
        events=_strings(reader, "events"),
        sources=_strings(reader, "sources", required=True),
        line=reader.node.line,
        file=reader.node.file,
    )
    _check_rule(reader, rule)
    reader.close()
    return rule


def _check_rule(reader: Reader, rule: Rule) -> None:
    """Slots of a rule's words are details of what it asks; only a stop says who may accept it."""
    asked = [CHECKS[name] for name in rule.when.facts() if name in CHECKS]
    details = {detail for check in asked for detail in check.details}
    known = set(MEDICINE_DETAILS) if rule.about == "medicine" else details
    for key, text in (("says", rule.says), ("instead", rule.instead)):
        for slot in slots_in(text):
            if slot not in known:
                reader.note(
                    reader.mapping[key], f"'{{{slot}}}' is no detail of what '{rule.id}' asks.",
                    f"Known: {', '.join(sorted(known)) or 'none'}.",
                )  # fmt: skip
    if rule.acceptable and rule.level != "stop":
        reader.note(reader.node, f"'{rule.id}' is no stop.", "acceptable belongs to stops only.")


def _bibliography(loader: _Loader) -> tuple[Mapping[str, Source], Mapping[str, FactRecord]]:
    sources: dict[str, Source] = {}
    facts: dict[str, FactRecord] = {}
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
            facts[key] = _fact_record(entry, key, sources)
            entry.close()
    return sources, facts


def _fact_record(entry: Reader, key: str, sources: Mapping[str, Source]) -> FactRecord:
    cited = _strings(entry, "source", required=True)
    for name in cited:
        if name not in sources:
            entry.note(entry.node, f"'{key}' cites '{name}', which the bibliography lacks.")
    return FactRecord(
        key,
        entry.text("says", required=True) or "",
        cited,
        entry.text("at"),
        entry.choice("status", terms.SOURCE_STATUSES, required=True) or "memory",
    )


def _medicine_words(loader: _Loader) -> Mapping[str, tuple[WordEntry, ...]]:
    reader = loader.open("rules/medicine-words.yaml")
    if reader is None:
        return {}
    return {key: tuple(_word_entry(r) for r in reader.children(key)) for key in reader.mapping}


def _word_entry(reader: Reader) -> WordEntry:
    entry = WordEntry(
        match=reader.text("match", required=True) or "",
        kind=reader.choice("kind", ("word", "suffix", "name"), required=True) or "word",
        why=reader.text("why", required=True) or "",
        sources=_strings(reader, "source", required=True),
        status=reader.choice("status", terms.SOURCE_STATUSES, required=True) or "memory",
        unless=(*_strings(reader, "unless"), *_strings(reader, "except")),
        only_forms=_strings(reader, "only_forms"),
        side=reader.text("side"),
        what=reader.text("what"),
        who_settles=reader.text("who_settles"),
        level=reader.text("level"),
    )
    reader.close()
    return entry


def source_known(name: str, facts: Mapping[str, FactRecord]) -> bool:
    """Whether a cited id is a fact record or a policy setting."""
    return name in facts or (
        name.startswith(_POLICY_SOURCE) and name.removeprefix(_POLICY_SOURCE) in SETTINGS
    )


def _check_sources(
    loader: _Loader,
    modules: Sequence[Module],
    rules: Sequence[Rule],
    facts: Mapping[str, FactRecord],
) -> None:
    cited = [(m.file, s.line, s.id, s.sources) for m in modules for _, s in m.statements()]
    cited += [(rule.file, rule.line, rule.id, rule.sources + rule.events) for rule in rules]
    for file, line, identity, sources in cited:
        for name in sources:
            if not source_known(name, facts):
                loader.faults.append(
                    Fault(file, line, f"'{identity}' cites '{name}', which is no known source.")
                )


def _check_references(loader: _Loader, modules: Sequence[Module]) -> None:
    for module in modules:
        statements = {statement.id for _, statement in module.statements()}
        sections = {section.id: section for section in module.sections}
        for prompt in module.teach_back:
            for name in prompt.listen_for:
                if name not in statements:
                    loader.faults.append(
                        Fault(
                            module.file,
                            prompt.line,
                            f"'{prompt.id}' listens for '{name}', unknown.",
                        )
                    )
        for skill in module.show_back:
            section = sections.get(skill.section)
            if section is None or not any(s.kind == "step" for s in section.statements):
                loader.faults.append(
                    Fault(module.file, skill.line, f"'{skill.id}': '{skill.section}' has no steps.")
                )


def condition_of(module: Module, section: Section, statement: Statement) -> Condition:
    """All that must hold for a statement to print."""
    return both(both(module.when, section.when), statement.when)
