"""Records as programs wrote them: two of packets and one of a teaching, cut to a few topics."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "records"
PACKETS = tuple(sorted(FOLDER.glob("*.packet.json")))
TEACHINGS = tuple(sorted(FOLDER.glob("*.record.json")))


@cache
def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def packet_data(**changes: Any) -> dict[str, Any]:
    """A packet.json as data, with other values of some keys."""
    return {**json.loads(_text(PACKETS[-1])), **changes}


def teaching_data(**changes: Any) -> dict[str, Any]:
    """A record.json as data, with other values of some keys."""
    return {**json.loads(_text(TEACHINGS[-1])), **changes}
