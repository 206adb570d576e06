"""A font that was damaged while the program runs: its pages say every word, and none goes out."""

from __future__ import annotations

from pathlib import Path

import pytest
from damaged_fonts import damaged
from packets import PLACES, decision_from, settled_text

from plainleaf.packet.build import build
from plainleaf.printing.fonts import OwnFonts
from plainleaf.vocabulary.errors import CheckError


def test_no_packet_goes_out_that_lacks_its_bold(
    fonts: OwnFonts, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As if the digests had not been looked at: the finished pages tell by themselves."""
    bad = damaged(fonts, tmp_path, "garbage")
    monkeypatch.setattr("plainleaf.packet.papers.paper.own_fonts", lambda _: bad)
    with pytest.raises(CheckError) as raised:
        build(decision_from(settled_text()), PLACES)
    faults = raised.value.faults
    assert "teach-back.pdf: the title is not printed in bold" in faults
    headings = [f for f in faults if f.startswith("handout.pdf: page 1: the heading of ")]
    assert "handout.pdf: page 1: the heading of 'help' is not printed in bold" in headings
    assert len(headings) >= 3
    assert all("bold" in fault for fault in faults), faults
