"""The broken files of tests/faults/cases.yaml: each a sound file with one text edit."""

from __future__ import annotations

from typing import Any

import yaml
from builders import ROOT
from small_library import FILES

CASES: dict[str, list[dict[str, Any]]] = yaml.safe_load(
    (ROOT / "tests" / "faults" / "cases.yaml").read_text(encoding="utf-8")
)
PO = """\
msgid ""
msgstr ""
"Content-Type: text/plain; charset=utf-8\\n"

msgctxt "water.when.feed"
msgid "Give {water_each} of water."
msgstr "Dé {water_each} de agua."
"""
# Kind of file → (its name, its sound text).
TEACHING = {
    "module": "modules/water.yaml",
    "rule": "rules/safety-rules.yaml",
    "fact": "sources/facts.yaml",
    "phrases": "phrases.yaml",
    "words": "rules/medicine-words.yaml",
}


def sound(kind: str, case: dict[str, Any]) -> str:
    if kind == "patient":
        name = case.get("base", "g-balloon-syringe")
        return (ROOT / "examples" / f"{name}.yaml").read_text(encoding="utf-8")
    if kind == "policy":
        path = ROOT / "teaching" / "policy" / "example-facility.yaml"
        return path.read_text(encoding="utf-8")
    return PO if kind == "po" else FILES.get(TEACHING[kind], "")


def broken(kind: str, case: dict[str, Any]) -> tuple[str, int]:
    """The text of a case, and the line that its message must name."""
    if "whole" in case:
        return case["whole"], case["line"]
    base, old, new = sound(kind, case), case["replace"], case["with"]
    assert base.count(old) == 1, f"'{old}' stands {base.count(old)} times in the sound file"
    text = base.replace(old, new)
    if "line" in case:
        return text, case["line"]
    if "at" in case:
        lines = text.split("\n")
        return text, next(n for n, line in enumerate(lines, 1) if case["at"] in line)
    return text, base[: base.index(old)].count("\n") + 1
