"""The invented file of a class in format 2, for answers that only such a file can give.

What the plain data of format 1 says stands here in the words of format 2, with an invented value
wherever format 2 asks more.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plainleaf.authoring.prove.order_set_feedings import PRESCRIBER, feedings
from plainleaf.authoring.prove.order_set_medicines import as_ordered
from plainleaf.authoring.prove.persona import HELPER, so
from plainleaf.authoring.prove.times import Times
from plainleaf.facts.about_water import unused
from plainleaf.facts.duty_times import RESCUE
from plainleaf.vocabulary import words_2
from plainleaf.vocabulary.conditions import Answer
from plainleaf.vocabulary.patient_file import AS_NEEDED, FORMAT_2
from plainleaf.vocabulary.terms import PORTS

_Known = Mapping[str, str]
Data = dict[str, Any]
NURSE = "N. Invented, RN"
_WEIGHT = "70 kg"
_BY_MOUTH = {"full": ["regular"], "sips": ["sips of water"], "nothing": ["nothing"]}
# A goal that every day reaches, because less than a goal would have to be decided.
_GOAL = "5 mL"
_WATER = "10 mL water"


def in_format_2(data: Data, answers: _Known, times: Times) -> Data:
    """Plain data of format 1 as the same order set in format 2."""
    day = times.day
    learners = [_learner(learner, answers) for learner in data["learners"]]
    new = {
        **data,
        "format": 2,
        "patient": _patient(data["patient"]),
        "learners": learners,
        "other_lines": ["PICC" for _ in data["other_lines"]],
        "tube": _tube(data["tube"], answers, day),
        "feeding": feedings(data["feeding"], answers, day),
        "water": _water(data["water"], answers),
        "medicines": as_ordered(
            [_medicine(line, answers) for line in _listed(data["medicines"], answers)],
            answers,
            day,
        ),
        "contacts": {**data["contacts"], "emergency": data["contacts"]["emergency"]["phone"]},
        "ordered": {"by": PRESCRIBER, "date": day},
        "prepared": {"by": NURSE, "at": data["prepared"]["on"]},
        **_stops(data),
    }
    if "visits" in data:
        new["visits"] = [_visit(visit) for visit in data["visits"]]
    if so(answers, "insulin") and so(answers, "watched"):
        new["watch"] = [_SUGAR_CHECK]
    return new


def in_order(data: Mapping[str, Any]) -> Data:
    """The blocks in the order of the contract."""
    return {key.name: data[key.name] for key in FORMAT_2.root.keys if key.name in data}


def _signed(by: str, day: str) -> Data:
    return {"by": by, "date": day}


def _patient(old: Data) -> Data:
    new = {
        "weight": _WEIGHT,
        "conditions": [],
        **old,
        "setting": ["home"],
        "by_mouth": _BY_MOUTH[old["by_mouth"]],
    }
    if "thickened-fluids" in new["conditions"]:
        new["thickness"] = "mildly thick"
    return new


def _learner(old: Data, answers: _Known) -> Data:
    kept = {key: value for key, value in old.items() if key != "hands_on"}
    if so(answers, "rescue_alone"):
        others = [duty for duty in words_2.DUTIES if duty != RESCUE]
        return {
            **kept,
            "relation": "other family",
            "duties": others,
            "limit": "own wish",
            "there": "always",
        }
    return {**kept, "relation": "other family", "duties": "all"}


def _tube(old: Data, answers: _Known, day: str) -> Data:
    new = dict(old)
    if so(answers, "tube_replaced"):
        new["position_checked"] = {
            "by": PRESCRIBER, "how": "contrast study", "date": old["position_checked"]["on"],
        }  # fmt: skip
    # Healed by days alone would be asked where healing is slow, and be taught as new.
    if answers["opening_stage"] == "mature":
        new["opening_healed"] = _signed(PRESCRIBER, day)
    if "may_put_back" in old:
        new["may_put_back"] = {"who": [HELPER], **_signed(PRESCRIBER, day)}
    if old["build"] == "standard" and "mark_at_skin" not in old:
        new["outside_length"] = "14 cm"
    return new


def with_ports(data: Data, answers: _Known) -> Data:
    """The file with a use for each port, and with the order for what drains or vents."""
    new, ports = dict(data), {port: list(uses) for port, uses in data["tube"]["ports"].items()}
    wanted = {
        "drainage": answers["drain_into"] != "none",
        "venting": answers["vent_with"] != "none",
    }
    for use, block in (("drainage", _DRAINAGE), ("venting", _VENTING)):
        if wanted[use] and not any(use in uses for uses in ports.values()):
            ports["jejunal"].append(use)
        through = next((port for port, uses in ports.items() if use in uses), None)
        if through is not None:
            new[use] = {**block, **data.get(use, {}), "through": through}
    if "additives" in data:
        fed = next((port for port, uses in ports.items() if "feeding" in uses), next(iter(ports)))
        new["additives"] = [{**one, "through": fed} for one in data["additives"]]
    ports = {port: uses or ["resting"] for port, uses in ports.items()}
    new["tube"] = {**data["tube"], "ports": ports}
    if ["resting"] in ports.values():
        new["tube"]["resting"] = {"ask": ["clinic"], **data["tube"].get("resting", {})}
    return new


def with_much_water(data: Data) -> Data:
    """The file with more water than is usual for a child, given in whatever way it has."""
    water, drink = dict(data["water"]), data["patient"].get("drink")
    if drink is not None:
        return {**data, "patient": {**data["patient"], "drink": _MUCH}}
    key = next((key for key in ("daily", "before_feed", "after_feed", "each") if key in water), "")
    if "extra" in water:
        water["extra"] = [{**line, "amount": _MUCH} for line in water["extra"]]
    elif key:
        water[key] = _MUCH
    elif data["feeding"]:
        return {**data, "feeding": [_much(feed) for feed in data["feeding"]]}
    return {**data, "water": water}


_MUCH, _MUCH_BY_PUMP = "4000 mL", "1000 mL/h"


def _much(feed: Data) -> Data:
    """A feeding of so much, in each of its steps."""
    much = {"amount": _MUCH, "rate": _MUCH_BY_PUMP}
    raised = {key: value for key, value in much.items() if key in feed}
    steps = [step | {k: v for k, v in much.items() if k in step} for step in feed.get("steps", [])]
    return {**feed, **raised, **({"steps": steps} if steps else {})}


_DRAINAGE: Data = {
    "into": "bag", "times": "all the time", "may_close": {"after-medicines": "60 min"},
    "open_if": ["nausea"], "empty_at": "1/2 full", "change_bag": "3 d", "record": "not needed",
    "call_over": "1200 mL",
}  # fmt: skip
_VENTING: Data = {"how": "syringe", "when": ["as needed"], "for": "5 min"}


def _water(old: Data, answers: _Known) -> Data:
    """The water, with a flush through each port that would otherwise have to be decided on."""
    new = dict(old)
    unused_ports = [port for port in PORTS if unused(port).ask(answers) is Answer.TRUE]
    dry = [] if so(answers, "rest_unflushed") else unused_ports
    if "goal" in old:
        new["goal"] = _GOAL
    if "extra" in old:
        ports = dry or [old["extra"]["through"]]
        new["extra"] = [{**old["extra"], "through": port, "why": "flush"} for port in ports]
    elif "every" in old and dry:
        new["through"] = dry[0]
    return new


def _listed(medicines: list[Data], answers: _Known) -> list[Data]:
    """The medicines, with what stays out of the tube as the class has it."""
    if not so(answers, "other_route_medicines"):
        return medicines
    *others, last = medicines
    keep_last = so(answers, "diabetes_medicine")
    if so(answers, "injections_ordered") and not so(answers, "insulin"):
        others += [last] if keep_last else []
        last = {**last, "name": "enoxaparin", "form": "injection", "dose": "40 mg"}
    return [*others, last, *([_RESCUE] if so(answers, "seizure_medicine") else [])]


_RESCUE: Data = {
    "name": "midazolam", "form": "nasal spray", "dose": "1 spray (5 mg)", "times": AS_NEEDED,
}  # fmt: skip


def _medicine(old: Data, answers: _Known) -> Data:
    new = {key: value for key, value in old.items() if key not in ("through", "crush")}
    new["route"] = old.get("through") or _elsewhere(old["form"])
    if "through" in old and old["form"] not in words_2.LIQUID_FORMS:
        new |= {"prepare": "crush" if "crush" in old else "dissolve", "in": _WATER}
    if old["times"] == AS_NEEDED:
        new |= {"for": [_reason(old, answers)], "at_most": "2 doses in 24 h"}
    return new


def _reason(old: Data, answers: _Known) -> str:
    """What a dose as needed is for."""
    by_tube = not so(answers, "other_route_medicines")
    rescues = old is _RESCUE or (by_tube and so(answers, "seizure_medicine"))
    return "seizure" if rescues else "nausea"


def _elsewhere(form: str) -> str:
    """The way of a medicine that stays out of the tube."""
    return {"injection": "injection", "patch": "patch", "nasal spray": "nose"}.get(form, "mouth")


_SUGAR_CHECK: Data = {
    "what": "blood sugar", "times": ["07:30"], "call_below": "70 mg/dL", "call": "clinic",
}  # fmt: skip


def _stops(data: Data) -> Data:
    """The plan for a feeding that stops."""
    if "if_feeding_stops" not in data:
        return {}
    plan = {"after": "1 h", "check": ["how the person feels"], "call": "clinic"}
    return {"if_feeding_stops": plan}


def _visit(old: Data) -> Data:
    kept = {key: value for key, value in old.items() if key != "what"}
    return {"kind": "tube check", "how": "clinic", **kept}
