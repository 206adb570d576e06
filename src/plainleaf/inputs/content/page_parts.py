"""The pages of the family's packet as they are declared, and how a text points to one."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

# Parts of the family's packet: the sheet for the wall, what is taught, what is looked up, the rest.
PARTS = ("sheet", "daily", "wrong", "more")


@dataclass(frozen=True)
class Page:
    """A page of the family's packet: `takes` names the sections that are printed on it, in order.

    Its title is the phrase `page-ID`; for the parent of a child `page-ID-child`, where there is
    one.
    """

    id: str
    part: str
    takes: tuple[str, ...]

    def title(self, phrases: Collection[str], *, child: bool) -> str:
        """The id of the phrase that is its title."""
        for_child = f"page-{self.id}-child"
        return for_child if child and for_child in phrases else f"page-{self.id}"


# A text points to a page by `{page_ID}`, with low lines in the id.
_POINTER = "page_"


def page_pointed_to(slot: str) -> str | None:
    """The id of the page that a slot of a text points to; None for a slot that is none.

    >>> page_pointed_to("page_tube_trouble"), page_pointed_to("water_each")
    ('tube-trouble', None)
    """
    if not slot.startswith(_POINTER):
        return None
    return slot.removeprefix(_POINTER).replace("_", "-")


def pointer_to(page: str) -> str:
    """The slot by which a text points to a page.

    >>> pointer_to("tube-trouble")
    'page_tube_trouble'
    """
    return _POINTER + page.replace("-", "_")
