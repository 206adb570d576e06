"""Writes down that a qualified person has read the words of a module."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import yaml

from plainleaf.authoring.translation.messages import Messages
from plainleaf.authoring.translation.status import rows
from plainleaf.inputs.catalog import load_catalog
from plainleaf.inputs.catalog_reviews import FILE, Review, load_reviews
from plainleaf.vocabulary.errors import Fault, LocaleError

_HEAD = """\
# Who has read the words of which module. Written by: plainleaf locales reviewed MODULE
# A record counts only while the words are exactly those that were read (words_read is computed).
"""


def record(messages: Messages, locales: Path, tag: str, review: Review) -> Review:
    """The review with the digest of the words as they are now.

    Raises:
        LocaleError: No such module, or words of it are missing, fuzzy or stale.
    """
    if review.module not in messages:
        wrong = f"There is no module '{review.module}'."
        raise LocaleError([Fault(f"locales/{tag}", 0, wrong, f"There is: {', '.join(messages)}.")])
    row = next(row for row in rows(messages, locales, tag) if row.module == review.module)
    if not row.complete:
        untranslated = {i: state for i, state in row.states.items() if state != "translated"}
        first, state = next(iter(untranslated.items()))
        wrong = f"{len(untranslated)} messages are not ready to be reviewed; '{first}' is {state}."
        raise LocaleError(
            [Fault(f"locales/{tag}/{review.module}.po", 0, wrong, "Finish it first.")]
        )
    words = load_catalog(locales, tag).words(review.module)
    return Review(review.module, review.by, review.qualification, review.on, words)


def reviews_text(locales: Path, tag: str, new: Review) -> str:
    """The reviews file with one more record, one a module, in the order of their names."""
    reviews = {**load_reviews(locales / tag), new.module: new}
    data = [
        {**asdict(reviews[name]), "on": reviews[name].on.isoformat()} for name in sorted(reviews)
    ]
    body = yaml.safe_dump({"reviews": data}, allow_unicode=True, sort_keys=False, width=1000)
    return _HEAD + body


def reviews_path(locales: Path, tag: str) -> Path:
    """Where the reviews of a language stand."""
    return locales / tag / FILE
