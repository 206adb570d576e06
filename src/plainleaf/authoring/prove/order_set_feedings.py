"""What only format 2 orders of a feeding, written into the feedings of a class."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plainleaf.authoring.prove.persona import so

Data = dict[str, Any]
_Known = Mapping[str, str]
PRESCRIBER, DIETITIAN = "B. Invented, MD", "D. Invented, RD"
# A ready-to-hang container at the invented rate: within a day, and longer than one.
_LASTS, _LASTS_TOO_LONG = "200 mL", "250 mL"
# More than is usual at one time, by age; invented.
_LARGE = {"infant": 200, "young-child": 320, "child": 640}
_LARGE_ADULT = 540


def feedings(old: list[Data], answers: _Known, day: str) -> list[Data]:
    """The feedings in the words of format 2, with labels, recipes, sizes and steps of the class."""
    new = [_feeding(feed, answers, day) for feed in old]
    if so(answers, "feed_steps") and new:
        new[-1] = _in_steps(new[-1], day)
    return new


def _feeding(old: Data, answers: _Known, day: str) -> Data:
    new = dict(old)
    if "formula" in old:
        new["formula"] = {**old["formula"], **_label(old["formula"]["system"], answers, day)}
    if "ordered_by" in old:
        new["ordered_by"] = PRESCRIBER
    if so(answers, "large_feed") and "amount" in old:
        more = int(old["amount"].split()[0]) + _LARGE.get(answers["age_group"], _LARGE_ADULT)
        new["amount"] = f"{more} mL"
    return new


def _label(system: str, answers: _Known, day: str) -> Data:
    """What format 2 asks of a formula besides."""
    if system == "recipe":
        return {"recipe": _recipe(answers, day)}
    long = system == "closed" and so(answers, "hangs_shorter")
    return {"container": _LASTS_TOO_LONG if long else _LASTS}


def _recipe(answers: _Known, day: str) -> Data:
    """A recipe with powder where clean mixing was decided, and else one that asks nobody."""
    powder = [
        {"amount": "90 mL", "of": "water"},
        {"amount": "1 scoop (20 g)", "of": "formula powder"},
    ]
    milk = [{"amount": "90 mL", "of": "breast milk"}, {"amount": "1 mL", "of": "oil"}]
    take = powder if so(answers, "clean_mixing") else milk
    times = {"makes": "95 mL", "fridge": "24 h", "hang": "4 h"}
    return {"take": take, **times, "by": DIETITIAN, "date": day}


def _in_steps(feed: Data, day: str) -> Data:
    """A feeding in two steps that are alike, so that each day stays as it is."""
    key = "rate" if "rate" in feed else "amount"
    rest = {name: value for name, value in feed.items() if name != key}
    steps = [{"for": "5 d", key: feed[key]}, {key: feed[key]}]
    return {**rest, "from": day, "steps": steps, "otherwise": "stay and call"}
