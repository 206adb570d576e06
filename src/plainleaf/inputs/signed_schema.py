"""Who may settle what, as a JSON Schema of a block that signers and their decisions stand in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plainleaf.vocabulary.patient_file import one_of
from plainleaf.vocabulary.settling import CREDENTIALS, ROLES, Settling

Schema = dict[str, Any]


def signed_schema(settled_by: Mapping[str, Settling]) -> Schema:
    """That each decision is one that its signers may make."""
    alone = [_of_credential(word, settled_by) for word in CREDENTIALS]
    pairs = sorted({settling.roles for settling in settled_by.values() if settling.both})
    return {"allOf": alone + [_of_pair(roles, settled_by) for roles in pairs]}


def _ends(words: tuple[str, ...]) -> Schema:
    return {"type": "string", "pattern": f", {one_of(words)}$"}


def _of_credential(word: str, settled_by: Mapping[str, Settling]) -> Schema:
    """The findings that somebody with a credential may settle, alone or as one of two."""
    findings = [name for name, settling in settled_by.items() if word in settling.credentials]
    line = {"properties": {"finding": {"enum": findings} if findings else False}}
    return {
        "if": {"properties": {"by": _ends((word,))}, "required": ["by"]},
        "then": {"properties": {"decided": {"items": line}}},
    }


def _of_pair(roles: tuple[str, ...], settled_by: Mapping[str, Settling]) -> Schema:
    """That both sign where a finding is settled by two together, in either order."""
    findings = [
        n for n, settling in settled_by.items() if settling.both and settling.roles == roles
    ]
    line = {"properties": {"finding": {"enum": findings}}, "required": ["finding"]}
    first, second = (_ends(ROLES[role]) for role in roles)
    orders = [
        {"properties": {"by": one, "with": other}, "required": ["by", "with"]}
        for one, other in ((first, second), (second, first))
    ]
    return {
        "if": {"properties": {"decided": {"contains": line}}, "required": ["decided"]},
        "then": {"anyOf": orders},
    }
