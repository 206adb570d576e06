"""The teach-back loop against what the sources and the project's rules ask; see teach-back.yaml."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from plainleaf.packet.sheet.loop import Loop

CASES = yaml.safe_load(Path(__file__).with_name("teach-back.yaml").read_text("utf-8"))["cases"]
# The example facility's tries before a plan is due, as TB-10 proposes.
LIMIT = 3


def after(events: list[Any], critical: bool) -> Loop:
    loop = Loop(critical)
    for event in events:
        if event == "e":
            loop = loop.explained()
        elif event == "p":
            loop = loop.with_plan()
        else:
            loop = loop.tried(None if event == "x" else event)
    return loop


@pytest.mark.parametrize("case", CASES, ids=[f"{c['row']}: {c['says']}" for c in CASES])
def test_the_loop(case: dict[str, Any]) -> None:
    critical = case.get("critical", False)
    loop = after(case["events"], critical)
    assert loop.closed is case["closed"]
    assert list(loop.still_to_do(LIMIT)) == case["needs"]
    if "tries" in case:
        assert list(loop.tries) == case["tries"]
