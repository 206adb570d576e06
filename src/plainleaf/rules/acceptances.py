"""Entries of `accepted` in a file of format 1: which finding they accept, and whether they say why.

One credential that the rule names is enough here, also where format 2 wants two.
"""

from __future__ import annotations

import re

from plainleaf.inputs.patient import Accepted, Patient
from plainleaf.vocabulary.settling import ACCEPTED_BY, ROLES, SETTLED_BY, Settling

# Words that say that somebody looked, and nothing of what was seen or decided.
_NOTHING = frozenset((
    "a", "accept", "accepted", "agree", "agreed", "all", "an", "and", "approved", "as", "at",
    "aware", "by", "checked", "confirmed", "done", "fine", "good", "i", "is", "it", "known",
    "looked", "looks", "n", "na", "no", "none", "noted", "of", "ok", "okay", "on", "per", "right",
    "seen", "test", "text", "that", "the", "this", "to", "up", "was", "we", "with", "x", "yes",
))  # fmt: skip


def acceptance(rule_id: str, subject: str, patient: Patient, shared: bool) -> Accepted | None:
    """The entry of `accepted:` for one finding; where several share an id, `about` must name it."""
    for entry in patient.accepted:
        if entry.finding == rule_id and (entry.about == subject or not (shared or entry.about)):
            return entry
    return None


def _settling(finding: str) -> Settling | None:
    return SETTLED_BY.get(finding) or ACCEPTED_BY.get(finding)


def settled_by(finding: str) -> str:
    """Who may accept a finding, in words."""
    settling = _settling(finding)
    return "a licensed person" if settling is None else settling.words


def credential_for(finding: str) -> str:
    """A credential with which a finding may be accepted."""
    settling = _settling(finding)
    return "RN" if settling is None else ROLES[settling.roles[0]][0]


def what_is_empty(entry: Accepted) -> str | None:
    """What an acceptance leaves out, or None: a reason that says something, and a credential that
    the rule names.
    """
    words = re.findall(r"[^\W\d_]+|[0-9]+", entry.reason.casefold())
    if all(word in _NOTHING for word in words):
        return "its reason says nothing"
    settling = _settling(entry.finding)
    if settling is not None and settling.credentials.isdisjoint(_words(entry.by)):
        return f"'{entry.by}' names none of {', '.join(sorted(settling.credentials))}"
    return None


def _words(by: str) -> set[str]:
    return set(re.findall(r"[A-Za-z]+", by.replace(".", "")))
