"""The invented person, tube and people around it, for the patient file of a class."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plainleaf.authoring.prove.times import Times
from plainleaf.vocabulary.terms import PORTS

_Known = Mapping[str, str]
# Weights that no rule stops at; kg, invented.
_WEIGHTS = {"infant": "8 kg", "young-child": "14 kg", "child": "30 kg"}
_SMALL = "5 kg"
HELPER = "Example Helper"


def so(answers: _Known, fact: str) -> bool:
    """Whether a fact is true."""
    return answers[fact] == "true"


def person(answers: _Known, times: Times) -> dict[str, Any]:
    """The block `patient`, as far as no single fact shows it."""
    data: dict[str, Any] = {
        "name": "Example Person",
        "born": times.born,
        "record_number": "EXAMPLE-1",
        "language": "en",
    }
    weight = _SMALL if so(answers, "small_infant") else _WEIGHTS.get(answers["age_group"])
    return data if weight is None else {**data, "weight": weight}


def helper() -> dict[str, Any]:
    """The first of the block `learners`."""
    return {"name": HELPER, "relation": "family", "language": "en", "hands_on": True}


def tube(answers: _Known, times: Times) -> dict[str, Any]:
    """The block `tube`, as far as no single fact shows it."""
    data: dict[str, Any] = {
        "placed": times.placed,
        "size": "18 Fr",
        "skin_buttons": 0,
        "ports": {port: [] for port in PORTS if so(answers, f"{port}_port")},
    }
    if so(answers, "tube_replaced"):
        data["opening_made"] = times.opened_day
        check = {"by": "Dr. Invented", "how": "X-ray with contrast", "on": times.placed[:10]}
        data["position_checked"] = check
    if answers["held_by"] == "balloon":
        data["balloon_fill"] = "5 mL"
    if times.healed_by_order:
        data["opening_healed"] = {"by": "Dr. Invented", "on": times.day}
    return data


def contacts() -> dict[str, Any]:
    """The block `contacts` without a supply company."""
    return {
        "clinic": {"name": "Example Clinic", "phone": "555 010 0100"},
        "after_hours": {"name": "Example Night Line", "phone": "555 010 0101"},
        "emergency": {"phone": "911"},
    }
