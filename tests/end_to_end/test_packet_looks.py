"""Page one and the tube card of each example look as they did when they were last looked at."""

from __future__ import annotations

from looks import looks_the_same
from packets import Packet


def test_page_one_looks_the_same(packet: Packet) -> None:
    looks_the_same(f"page-one-{packet.name}", packet.handout, foot=False)


def test_the_card_looks_the_same(packet: Packet) -> None:
    looks_the_same(f"card-{packet.name}", packet.files["card.pdf"], foot=False)
