"""Of whom a question or a skill of the nurse's sheet is asked, and in which teaching session."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from plainleaf.vocabulary.words_2 import DUTIES

# Instead of duties: who may do everything.
WHOLE = "all"
# Topics of a session that are no duty and belong to everybody.
OPEN_TOPICS = ("emergencies", "day plan")


@dataclass(frozen=True)
class AskedOf:
    """Duties of which one is enough to be asked; none: everybody who has a duty is.

    `topic`: where it is no duty, the topic of a session under which it is asked.
    """

    duty: tuple[str, ...] = ()
    topic: str = ""

    def asks(self, duties: Collection[str]) -> bool:
        """Whether it is asked of who has these duties; of who has none nothing is.

        >>> AskedOf(("feeding", "flushing")).asks(("flushing", "site-care"))
        True
        """
        if not duties or not self.duty:
            return bool(duties)
        if WHOLE in self.duty:
            return set(DUTIES) <= set(duties)
        return bool(set(self.duty) & set(duties))

    def belongs_to(self, topics: Collection[str]) -> bool:
        """Whether it is taught in a session of these topics."""
        return self.topic in topics or bool(set(self.duty) & set(topics))


EVERYBODY = AskedOf()
