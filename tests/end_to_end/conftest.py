"""The packets of the examples, built once in a run and shared."""

from __future__ import annotations

from pathlib import Path

import pytest
from packets import NAMES, Packet, packet_of, settled_text


@pytest.fixture(scope="session", params=NAMES)
def packet(request: pytest.FixtureRequest) -> Packet:
    """The packet of each example in turn."""
    return packet_of(request.param)


@pytest.fixture
def patient_file(tmp_path: Path) -> Path:
    """A patient file that a packet can be built from."""
    path = tmp_path / "patient.yaml"
    path.write_text(settled_text(), encoding="utf-8")
    return path


@pytest.fixture
def blocked_file(tmp_path: Path) -> Path:
    """A patient file that can be read and from which no packet may be built."""
    path = tmp_path / "blocked.yaml"
    path.write_text(settled_text({"tube.mark_at_skin": "REMOVE"}), encoding="utf-8")
    return path
