"""Records as programs wrote them, of packets and of a teaching, cut to a few topics.

The packets of `gj-pump-overnight` and `g-button-child` are older than the key `settings_read`.
"""

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
    return {**json.loads(_text(FOLDER / "gj-pump-overnight.packet.json")), **changes}


def teaching_data(**changes: Any) -> dict[str, Any]:
    """A record.json as data, with other values of some keys."""
    return {**json.loads(_text(FOLDER / "gj-pump-overnight.record.json")), **changes}
