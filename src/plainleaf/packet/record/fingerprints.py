"""What a record carries so that a later change can be held against it without the patient file."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from hashlib import sha256
from typing import Any

from plainleaf.inputs.content import Claim, Library, Module, Statement
from plainleaf.inputs.policy import Policy, PolicyEntry
from plainleaf.inputs.setting_values import Range
from plainleaf.rules.select import Selection

_POLICY = "policy."


def digest(*parts: object) -> str:
    """Sixteen characters that change with any part."""
    return sha256(json.dumps(parts, ensure_ascii=False).encode()).hexdigest()[:16]


def text_digest(statement: Statement, *, child: bool) -> str:
    """Digest of the kind and the template text that this reader gets, or of the picture."""
    return digest(statement.kind, statement.words(child=child), statement.picture, statement.alt)


def statement_digest(library: Library, statement: Statement) -> str:
    """Digest of a statement's text, condition, sources and advice, for adult and child."""
    return digest(
        statement.kind,
        statement.text,
        statement.child_text,
        statement.picture,
        statement.alt,
        str(library.conditions[statement.id]),
        statement.sources,
        [(advice.act, advice.stance) for advice in statement.advice],
    )


def source_digest(fact: Claim, library: Library) -> str:
    """Digest of a fact, its status, and the titles and years of what it cites."""
    cited = [(s.title, s.body, s.year) for s in (library.sources[key] for key in fact.sources)]
    return digest(fact.says, fact.status, fact.at, cited)


def around_digests(modules: Mapping[str, Module], *, child: bool) -> dict[str, str]:
    """Digests of titles, headings, questions and skills, by id."""
    return {
        identity: digest(*texts)
        for module in modules.values()
        for identity, texts in _around(module, child)
    }


def _around(module: Module, child: bool) -> Iterator[tuple[str, tuple[object, ...]]]:
    yield module.id, (module.words(child=child),)
    for section in module.sections:
        yield section.id, (section.words(child=child),)
    for prompt in module.teach_back:
        ask = prompt.child_ask if child and prompt.child_ask else prompt.ask
        again = prompt.child_again if child and prompt.child_again else prompt.again
        yield prompt.id, (ask, again, prompt.listen_for, str(prompt.when))
    for skill in module.show_back:
        title = skill.child_title if child and skill.child_title else skill.title
        yield skill.id, (title, skill.section, str(skill.when))


def phrases_digest(library: Library) -> str:
    """Digest of the words that stand around the values and in the tables."""
    return digest(sorted(library.phrases.items()))


def entry_value(entry: PolicyEntry) -> str | int | bool | None:
    """The value of a setting for a record: as the policy file holds it."""
    if isinstance(entry.value, Range):
        return f"{entry.value.low} to {entry.value.high}"
    if entry.value is None or isinstance(entry.value, str | int):
        return entry.value
    return str(entry.value)


def policy_data(policy: Policy) -> dict[str, Any]:
    """The settings a packet was made with: value, origin, who approved it and until when."""
    return {
        "facility": policy.facility,
        "example": policy.example,
        "holds_from": policy.holds_from.isoformat(),
        "values": {
            name: {
                "value": entry_value(entry),
                "origin": entry.origin,
                "approved_by": entry.approved_by,
                "review_by": entry.review_by.isoformat(),
            }
            for name, entry in policy.entries.items()
        },
    }


def printed_around(selection: Selection) -> set[str]:
    """Ids of the titles, headings, questions and skills that one patient gets."""
    ids = set()
    for chosen in selection.modules:
        ids.add(chosen.module.id)
        ids.update(section.section.id for section in chosen.sections)
        ids.update(prompt.id for prompt in chosen.teach_back)
        ids.update(skill.id for skill in chosen.show_back)
    return ids


def traced_data(
    library: Library, policy: Policy, selection: Selection, *, child: bool
) -> dict[str, Any]:
    """The keys of a record besides its statements and decisions."""
    modules = {chosen.module.id: chosen.module for chosen in selection.modules}
    around = around_digests(modules, child=child)
    cited = {
        source
        for chosen in selection.modules
        for section in chosen.sections
        for statement in section.statements
        for source in statement.sources
        if not source.startswith(_POLICY)
    }
    return {
        "policy": policy_data(policy),
        "sources": {
            name: {
                "status": library.claims[name].status,
                "digest": source_digest(library.claims[name], library),
            }
            for name in sorted(cited)
        },
        "around": {name: around[name] for name in sorted(printed_around(selection))},
        "phrases": phrases_digest(library),
    }


def add_digests(
    statements: list[dict[str, Any]],
    decisions: list[dict[str, Any]],
    library: Library,
    *,
    child: bool,
) -> None:
    """Each statement gets the digest of its text, each decision that of the whole statement.

    What is no statement of the library, such as an order in words, gets that of its words.
    """
    statement_of = {s.id: s for module in library.modules for _, s in module.statements()}
    for row in statements:
        shipped = statement_of.get(row["id"])
        words = digest(row["says"]) if shipped is None else text_digest(shipped, child=child)
        row["text_digest"] = words
    for row in decisions:
        row["digest"] = statement_digest(library, statement_of[row["id"]])
