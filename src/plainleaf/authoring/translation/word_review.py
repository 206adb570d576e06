"""Writes down that a qualified person has read the words of a module."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from plainleaf.authoring.translation.messages import Messages
from plainleaf.authoring.translation.status import rows
from plainleaf.inputs.catalog import load_catalog
from plainleaf.inputs.reviews import Review
from plainleaf.vocabulary.errors import Fault, LocaleError


def record(messages: Messages, locales: Path, tag: str, review: Review) -> Review:
    """The review with the digest of the words as they are now.

    Raises:
        LocaleError: No such module, or words of it are missing, fuzzy or stale.
    """
    if review.of not in messages:
        wrong = f"There is no module '{review.of}'."
        raise LocaleError([Fault(f"locales/{tag}", 0, wrong, f"There is: {', '.join(messages)}.")])
    row = next(row for row in rows(messages, locales, tag) if row.module == review.of)
    if not row.complete:
        untranslated = {i: state for i, state in row.states.items() if state != "translated"}
        first, state = next(iter(untranslated.items()))
        wrong = f"{len(untranslated)} messages are not ready to be reviewed; '{first}' is {state}."
        raise LocaleError([Fault(f"locales/{tag}/{review.of}.po", 0, wrong, "Finish it first.")])
    words = load_catalog(locales, tag).words(review.of)
    return replace(review, read=words)
