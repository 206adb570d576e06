"""Who has read what, and exactly which words: a record for each module, setting or catalog.

`NAME.reviews.yaml` beside a policy file holds those of a facility, `locales/<tag>/reviews.yaml`
those of the translators. A record holds a digest of what was read and counts only while that gives
the same digest, so that one changed word makes a draft of it again. No word can be typed that does
it; whoever computes a digest by hand can, as with every file that may be written.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from pathlib import Path

import yaml

from plainleaf.inputs.strict_yaml import Reader, Unreadable, parse, read_date, read_text
from plainleaf.vocabulary.errors import Fault

FILE = "reviews.yaml"
_HEAD = """\
# Who has read what. Written by plainleaf; a record counts only while what was read is unchanged.
"""


class BrokenReviewsError(ValueError):
    """A file of reviews cannot be read whole; `faults` holds every fault."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(map(str, self.faults)))


@dataclass(frozen=True)
class Review:
    """One thing read by one person; `read` is the digest of what was read.

    `again_by`: the last day on which it counts; None where it counts until a word is changed.
    """

    of: str
    by: str
    credential: str
    on: date
    again_by: date | None
    read: str

    def lapsed(self, today: str | None, day: date) -> str:
        """Why it does not count on a day; empty where it does.

        Args:
            today: The digest of what it is about, as that is now; None where it is gone.
        """
        if today is None:
            return "it is gone"
        if self.read != today:
            return "it was changed since"
        if self.again_by is not None and self.again_by < day:
            return f"it was to be read again by {self.again_by}"
        return f"it was read after {day}" if self.on > day else ""


def digest_of_words(messages: Iterable[tuple[str, tuple[str, ...], tuple[str, ...]]]) -> str:
    """The digest of a module's words: of every message its id, its English and its forms.

    The order of the messages does not count.
    """
    whole = sha256()
    for identity, source, forms in sorted(messages):
        whole.update("\0".join((identity, *source, "", *forms, "\n")).encode())
    return whole.hexdigest()


def reviews_beside(policy_file: Path) -> Path:
    """Where the reviews of a facility stand: beside its policy file."""
    return policy_file.with_name(f"{policy_file.stem}.{FILE}")


def load_reviews(path: Path, file: str) -> Mapping[str, Review]:
    """What was read → its latest record; empty without a file.

    Args:
        file: What messages call it.
    Raises:
        BrokenReviewsError: The file cannot be read, or a record lacks something.
    """
    if not path.exists():
        return {}
    try:
        reader = Reader(parse(read_text(path), file), [])
    except Unreadable as error:
        raise BrokenReviewsError([error.fault]) from error
    reviews: dict[str, Review] = {}
    for entry in reader.children("reviews", required=True):
        review = _review(entry)
        if review.of not in reviews or reviews[review.of].on <= review.on:
            reviews[review.of] = review
    reader.close()
    if reader.faults:
        raise BrokenReviewsError(reader.faults)
    return reviews


def _review(entry: Reader) -> Review:
    review = Review(
        entry.text("of", required=True) or "",
        entry.text("by", required=True) or "",
        entry.text("credential", required=True) or "",
        entry.convert("on", read_date, required=True) or date.min,
        entry.convert("again_by", read_date),
        entry.text("read", required=True) or "",
    )
    entry.close()
    return review


def reviews_text(reviews: Mapping[str, Review]) -> str:
    """The file of records, one a thing, in the order of their names."""
    rows = [
        {
            "of": review.of,
            "by": review.by,
            "credential": review.credential,
            "on": review.on.isoformat(),
            **({"again_by": review.again_by.isoformat()} if review.again_by else {}),
            "read": review.read,
        }
        for _, review in sorted(reviews.items())
    ]
    return _HEAD + yaml.safe_dump(
        {"reviews": rows}, allow_unicode=True, sort_keys=False, width=1000
    )
