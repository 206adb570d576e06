"""Reads one module: sections, statements, teach-back and show-back."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from plainleaf.inputs.content.loader import Loader, strings_at
from plainleaf.inputs.content.teaching_parts import (
    BLOCKS,
    KINDS,
    LONGEST_ALT,
    LONGEST_CAPTION,
    SECTION_LEVELS,
    SLOT,
    TIERS,
    Advice,
    Heard,
    Kind,
    Module,
    Section,
    ShowBack,
    Statement,
    TeachBack,
)
from plainleaf.inputs.strict_yaml import Reader
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.asked_of import OPEN_TOPICS, WHOLE, AskedOf
from plainleaf.vocabulary.conditions import Condition
from plainleaf.vocabulary.errors import Fault
from plainleaf.vocabulary.pictures import PICTURES
from plainleaf.vocabulary.words_2 import DUTIES


def read_module(loader: Loader, relative: str, acts: Mapping[str, str]) -> Module | None:
    """One module from its file, or None when the file cannot be read."""
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
        title=loader.worded(reader, "title", required=True) or "",
        child_title=loader.worded(reader, "child_title"),
        when=_required_condition(loader, reader),
        sections=tuple(
            _section(loader, r, identity, acts) for r in reader.children("sections", required=True)
        ),
        teach_back=tuple(_teach_back(loader, r, identity) for r in reader.children("teach_back")),
        show_back=tuple(_show_back(loader, r, identity) for r in reader.children("show_back")),
    )
    reader.close()
    return module


def _required_condition(loader: Loader, reader: Reader) -> Condition:
    reader.get("when", required=True, hint="Write when: always, or a condition.")
    return loader.condition(reader)


def _section(loader: Loader, reader: Reader, module: str, acts: Mapping[str, str]) -> Section:
    section = Section(
        id=loader.own(reader, reader.text("id", required=True), module),
        heading=loader.worded(reader, "heading", required=True) or "",
        child_heading=loader.worded(reader, "child_heading"),
        when=loader.condition(reader),
        choice=reader.text("choice"),
        level=reader.choice("level", SECTION_LEVELS),
        statements=tuple(
            _statement(loader, r, module, acts) for r in reader.children("items", required=True)
        ),
        line=reader.node.line,
    )
    reader.close()
    return section


def _statement(loader: Loader, reader: Reader, module: str, acts: Mapping[str, str]) -> Statement:
    identity = loader.own(reader, reader.text("id", required=True), module)
    kinds = [kind for kind in KINDS if kind in reader.mapping]
    if len(kinds) != 1:
        reader.note(reader.node, f"'{identity}' needs exactly one of: {', '.join(KINDS)}.")
    kind: Kind = kinds[0] if kinds else "say"
    picture = reader.choice("picture", PICTURES) if kind == "picture" else None
    if kind == "block":
        text = reader.choice("block", BLOCKS)
    else:
        text = loader.worded(reader, "caption" if picture else kind, required=picture is not None)
    statement = Statement(
        id=identity,
        kind=kind,
        text=text or "",
        child_text=loader.worded(reader, "child"),
        when=loader.condition(reader),
        sources=strings_at(reader, "sources", required=True),
        advice=_advice(reader, acts),
        choice=reader.text("choice"),
        line=reader.node.line,
        picture=picture,
        alt=loader.worded(reader, "alt", required=True) if picture else None,
        leads_to=strings_at(reader, "leads_to"),
        events=strings_at(reader, "event"),
    )
    _check_picture(reader, statement)
    if statement.leads_to and kind not in TIERS:
        reader.note(reader.node, f"'{identity}' leads to a section and has no tier.",
                    f"Write it as one of: {', '.join(TIERS)}.")  # fmt: skip
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
    if len(SLOT.sub("", alt)) > LONGEST_ALT:
        reader.note(reader.node, f"'{statement.id}': alt is longer than {LONGEST_ALT} letters.")
    if re.search(r"\b(image|picture) of\b", alt, re.I) or alt == statement.text:
        reader.note(reader.node, f"'{statement.id}': alt says what to see and do, nothing else.")


def _advice(reader: Reader, acts: Mapping[str, str]) -> tuple[Advice, ...]:
    node = reader.get("advice")
    if node is None:
        return ()
    nodes = node.value if isinstance(node.value, tuple) else (node,)
    advice = []
    for entry in nodes:
        inner = Reader(entry, reader.faults, f"{reader.where}.advice")
        act = inner.choice("act", tuple(acts), required=True)
        stance = inner.choice("stance", terms.STANCES, required=True)
        inner.close()
        if act and stance:
            advice.append(Advice(act, stance))
    return tuple(advice)


def _teach_back(loader: Loader, reader: Reader, module: str) -> TeachBack:
    result = TeachBack(
        id=loader.own(reader, reader.text("id", required=True), module),
        when=loader.condition(reader),
        ask=loader.worded(reader, "ask", required=True) or "",
        child_ask=loader.worded(reader, "child_ask"),
        listen_for=strings_at(reader, "listen_for", required=True),
        again=loader.worded(reader, "again", required=True) or "",
        child_again=loader.worded(reader, "child_again"),
        critical=reader.flag("critical"),
        line=reader.node.line,
        asked_of=_asked_of(reader),
        listen=_listen(loader, reader),
    )
    reader.close()
    return result


def _listen(loader: Loader, reader: Reader) -> tuple[Heard, ...]:
    """The short lines of what to listen for, each of some of `listen_for`."""
    node = reader.get("listen")
    if node is None:
        return ()
    lines = []
    for entry in node.value if isinstance(node.value, tuple) else (node,):
        inner = Reader(entry, reader.faults, f"{reader.where}.listen")
        say = loader.worded(inner, "say", required=True) or ""
        lines.append(Heard(say, strings_at(inner, "of", required=True)))
        inner.close()
    wanted = strings_at(reader, "listen_for")
    for name in (name for line in lines for name in line.of if name not in wanted):
        reader.note(node, f"'{name}' is not in listen_for.", "Write it there too.")
    return tuple(lines)


def _asked_of(reader: Reader) -> AskedOf:
    """Whose duty it is; `duty: [all]` for who may do everything."""
    duty = strings_at(reader, "duty")
    topic = reader.choice("topic", OPEN_TOPICS) or ""
    for word in duty:
        if word not in (*DUTIES, WHOLE):
            reader.note(reader.mapping["duty"], f"'{word}' is no duty.",
                        f"Write one of: {', '.join((*DUTIES, WHOLE))}.")  # fmt: skip
    return AskedOf(duty, topic)


def _show_back(loader: Loader, reader: Reader, module: str) -> ShowBack:
    result = ShowBack(
        id=loader.own(reader, reader.text("id", required=True), module),
        when=loader.condition(reader),
        title=loader.worded(reader, "title", required=True) or "",
        child_title=loader.worded(reader, "child_title"),
        section=reader.text("from", required=True) or "",
        critical=reader.flag("critical"),
        line=reader.node.line,
        asked_of=_asked_of(reader),
    )
    reader.close()
    return result


def note_broken_references(loader: Loader, modules: Sequence[Module]) -> None:
    """Note every teach-back and show-back that points to nothing."""
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
