"""The functions of the renderer that repairs stand for, and the register of the repairs.

A test holds the digests against the renderer that is installed: where a text has changed, look
whether each repair of it is still needed and still right.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

Repairing = Callable[..., Any]
# A module of the renderer, a function of it, and what makes the repaired function of that one.
Wrap = tuple[str, str, Repairing]


@dataclass(frozen=True)
class Upstream:
    """A function of the renderer, as `module:name`, and the text of it in each version.

    `digests`: the first 16 figures of the SHA-256 of its source.
    """

    name: str
    digests: tuple[str, ...]


# In versions 69 and 70; one digest where both have the same text.
TAGS = Upstream("weasyprint.pdf.tags:_build_box_tree", ("8bb9fd9d6305717c", "f716251a83e7096e"))
TREE = Upstream("weasyprint.pdf.tags:add_tags", ("0c6b397201e0bb9e", "f0e74575b0bafaf3"))
FONTS = Upstream("weasyprint.pdf.fonts:build_fonts_dictionary", ("fc551bef35d0d6c3",))
LINKS = Upstream("weasyprint.pdf.anchors:add_links", ("262e8b9b299892a7",))
FIELDS = Upstream("weasyprint.pdf.anchors:add_forms", ("89f6b16f5bea62d5", "b31587edaf8c3233"))
KINDS = Upstream("weasyprint.pdf.tags:_get_pdf_tag", ("a9380c5d5c019cc1", "882707358f7c4392"))
# Name of a repair → what it stands for.
REPAIRS: dict[str, Upstream] = {}


def stands_for(upstream: Upstream) -> Callable[[Repairing], Repairing]:
    """Marks a repair of what a function of the renderer does."""

    def listed(repair: Repairing) -> Repairing:
        REPAIRS[repair.__name__] = upstream
        return repair

    return listed
