"""Who has read the words of a language, and exactly which words.

`locales/<tag>/reviews.yaml` holds one record a module: who, on what qualification, on which day,
and a digest of the words that were read. A record counts only while the words of the module give
the same digest, so that one changed message turns the module back into a draft.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from pathlib import Path

from plainleaf.inputs.strict_yaml import Reader, Unreadable, parse, read_date, read_text
from plainleaf.vocabulary.errors import Fault, LocaleError, UnitError

FILE = "reviews.yaml"


@dataclass(frozen=True)
class Review:
    """One module read by one person; `words_read` is the digest of what was read."""

    module: str
    by: str
    qualification: str
    on: date
    words_read: str


def digest_of_words(messages: Iterable[tuple[str, tuple[str, ...], tuple[str, ...]]]) -> str:
    """The digest of a module's words: of every message its id, its English and its forms.

    The order of the messages does not count.
    """
    whole = sha256()
    for identity, source, forms in sorted(messages):
        whole.update("\0".join((identity, *source, "", *forms, "\n")).encode())
    return whole.hexdigest()


def load_reviews(folder: Path) -> Mapping[str, Review]:
    """Module → its latest record; empty without a file.

    Args:
        folder: The folder of one language.
    Raises:
        LocaleError: The file cannot be read, or a record lacks something.
    """
    path = folder / FILE
    if not path.exists():
        return {}
    file = f"locales/{folder.name}/{FILE}"
    try:
        reader = Reader(parse(read_text(path), file), [])
    except Unreadable as error:
        raise LocaleError([error.fault]) from error
    reviews: dict[str, Review] = {}
    for entry in reader.children("reviews", required=True):
        review = _review(entry)
        if review.module not in reviews or reviews[review.module].on <= review.on:
            reviews[review.module] = review
    reader.close()
    if reader.faults:
        raise LocaleError(reader.faults)
    return reviews


def _review(entry: Reader) -> Review:
    on = date.min
    text = entry.text("on", required=True)
    try:
        on = read_date(text or "")
    except UnitError as error:
        if text is not None:
            entry.faults.append(Fault(entry.node.file, entry.node.line, error.wrong, error.instead))
    review = Review(
        entry.text("module", required=True) or "",
        entry.text("by", required=True) or "",
        entry.text("qualification", required=True) or "",
        on,
        entry.text("words_read", required=True) or "",
    )
    entry.close()
    return review
