"""What of a packet a clinician has read, and which settings somebody has approved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import PurePath

from plainleaf.inputs.content import Library
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.reviews import Review

_PHRASES, _RULES, _MODULES, _PROOF = "phrases.yaml", "rules/", "modules/", "rules/proof.yaml"


def readable(library: Library) -> Mapping[str, str]:
    """What a clinician reads, by name → digest: each module, the phrases, each file of rules."""
    return {
        PurePath(file).stem: digest
        for file, digest in library.files.items()
        if file == _PHRASES or (file.startswith((_MODULES, _RULES)) and file != _PROOF)
    }


def _for_everybody(library: Library) -> Iterator[str]:
    """What every packet is made from, whichever modules it has."""
    for file in library.files:
        if file == _PHRASES or (file.startswith(_RULES) and file != _PROOF):
            yield PurePath(file).stem


def unread(library: Library, policy: Policy, modules: set[str], day: date) -> tuple[str, ...]:
    """What of a packet with these modules no review of a day covers, by name."""
    whole = readable(library)
    needed = sorted({*modules, *_for_everybody(library)})
    return tuple(name for name in needed if not _counts(policy, name, whole.get(name), day))


def unapproved(policy: Policy, day: date) -> tuple[str, ...]:
    """Lines of the settings that no approval of a day covers: `policy.NAME`, `directory.NAME` …"""
    return tuple(
        name for name, digest in policy.lines.items() if not _counts(policy, name, digest, day)
    )


def lapsed(library: Library, policy: Policy, day: date) -> Iterator[tuple[Review, str]]:
    """Each record that counts no more on a day, and why."""
    whole = {**readable(library), **policy.lines}
    for name, review in sorted(policy.reviews.items()):
        why = review.lapsed(whole.get(name), day)
        if why:
            yield review, why


def _counts(policy: Policy, name: str, digest: str | None, day: date) -> bool:
    review = policy.reviews.get(name)
    return review is not None and not review.lapsed(digest, day)
