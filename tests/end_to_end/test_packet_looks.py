"""The two sides for the wall and the finder of each example look as they last did."""

from __future__ import annotations

import pytest
from looks import looks_the_same
from packets import Packet
from pdf_reading import outline


@pytest.mark.parametrize("name", ["help", "tube", "finder"])
def test_a_page_looks_the_same(packet: Packet, name: str) -> None:
    begins = [side for level, _, side in outline(packet.handout) if level == 1]
    (place,) = (n for n, page in enumerate(packet.printed.pages) if page.id == name)
    looks_the_same(f"page-{name}-{packet.name}", packet.handout, page=begins[place] - 1, foot=False)
