"""The invented person, tube and people around it, for the patient file of a class."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plainleaf.authoring.prove.times import Times

_Known = Mapping[str, str]
# Weights that no rule stops at; kg, invented.
_WEIGHTS = {"infant": "8 kg", "young-child": "14 kg", "child": "30 kg"}
_SMALL = "5 kg"
_CONDITIONS = {
    "confused": "confusion",
    "weak_immunity": "immune-suppressed",
    "thickened_fluids": "thickened-fluids",
    "refeeding_risk": "refeeding-risk",
}


def so(known: _Known, fact: str) -> bool:
    """Whether a fact is true."""
    return known[fact] == "true"


def person(known: _Known, times: Times) -> dict[str, Any]:
    """The block `patient`."""
    data: dict[str, Any] = {
        "name": "Example Person",
        "born": times.born,
        "record_number": "EXAMPLE-1",
    }
    weight = _SMALL if so(known, "small_infant") else _WEIGHTS.get(known["age_group"])
    if weight is not None:
        data["weight"] = weight
    conditions = [word for fact, word in _CONDITIONS.items() if so(known, fact)]
    if conditions:
        data["conditions"] = conditions
    return {**data, "by_mouth": known["eats"], "language": "en"}


def learners(known: _Known) -> list[dict[str, Any]]:
    """The block `learners`: one helper, or two where the fact says so."""
    names = ["Example Helper", "Second Helper"] if so(known, "several_learners") else [
        "Example Helper"
    ]  # fmt: skip
    return [
        {"name": name, "relation": "family", "language": "en", "hands_on": True} for name in names
    ]


def _ports(known: _Known) -> dict[str, list[str]]:
    ports = {}
    for port in ("gastric", "jejunal"):
        if so(known, f"{port}_port"):
            uses = [
                use
                for use in ("feeding", "medicines", "venting", "drainage")
                if known.get(f"{port}_{use}") == "true"
            ]
            ports[port] = uses or ["drainage"]
    return ports


def tube(known: _Known, times: Times) -> dict[str, Any]:
    """The block `tube`."""
    data: dict[str, Any] = {
        "kind": known["tube_kind"],
        "build": known["build"],
        "held_by": known["held_by"],
        "placed": times.placed,
        "placed_by": known["placed_by"],
        "size": "18 Fr",
        "skin_buttons": 3 if so(known, "skin_buttons") else 0,
        "ports": _ports(known),
    }
    if so(known, "tube_replaced"):
        data["opening_made"] = times.opened_day
        check = {"by": "Dr. Invented", "how": "X-ray with contrast", "on": times.placed[:10]}
        data["position_checked"] = check
    if so(known, "length_known"):
        data["length"] = "2 cm"
    if so(known, "mark_known"):
        data["mark_at_skin"] = "3 cm"
    if known["held_by"] == "balloon":
        data["balloon_fill"] = "5 mL"
    for fact, key in (("turn_ordered", "turn_daily"), ("push_in_ordered", "push_in_weekly")):
        if so(known, fact):
            data[key] = True
    order = {"by": "Dr. Invented", "on": times.day}
    if times.healed_by_order:
        data["opening_healed"] = dict(order)
    if so(known, "tube_back_at_home"):
        data["may_put_back"] = dict(order)
    return data


def contacts(known: _Known) -> dict[str, Any]:
    """The block `contacts`."""
    data = {
        "clinic": {"name": "Example Clinic", "phone": "555 010 0100"},
        "after_hours": {"name": "Example Night Line", "phone": "555 010 0101"},
        "emergency": {"phone": "911"},
    }
    if so(known, "supplies_contact"):
        data["supplies"] = {"name": "Example Supplies", "phone": "555 010 0102"}
    return data
