"""A broad set of patients for the proof of the words: the examples, changed one axis or two."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice, product

from builders import REMOVE, Changes, policy_with, text_with
from packets import decision_from

from plainleaf.inputs.policy import Policy
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.errors import PlainleafError

BASES = (
    "g-balloon-syringe",
    "g-bumper-blended",
    "g-button-child",
    "gj-pump-overnight",
    "j-surgical-continuous",
)
# The opening from hours old to healed, counted to the day of the packet.
STAGES: dict[str, Changes] = {
    "hours": {"tube.placed": "2026-03-01 08:00", "prepared.on": "2026-03-02 15:00"},
    "days": {"tube.placed": "2026-02-18 08:00", "prepared.on": "2026-03-02 15:00"},
    "healed": {"tube.placed": "2025-08-18 08:00", "prepared.on": "2026-03-02 15:00"},
}
AGES: dict[str, Changes] = {
    "infant": {"patient.born": "2025-06-01", "patient.weight": "7 kg"},
    "small-child": {"patient.born": "2023-06-01", "patient.weight": "13 kg"},
    "child": {"patient.born": "2016-06-01", "patient.weight": "30 kg"},
    "adult": {"patient.born": "1980-06-01", "patient.weight": "70 kg"},
}
_FORMULA = {"name": "Plain formula", "energy": "1 kcal/mL", "water": "84 %"}
_GRAVITY = {"method": "gravity", "through": "gastric", "amount": "200 mL", "over": "40 min"}
_PUMP = {"method": "pump", "through": "gastric", "rate": "75 mL/h"}
_OPEN = {**_FORMULA, "container": "237 mL", "system": "open"}
_CLOSED = {**_FORMULA, "container": "1000 mL", "system": "closed"}
_POWDER = {**_FORMULA, "system": "powder"}
_TIMES = ["08:00", "13:00", "18:00"]
FEEDING: dict[str, Changes] = {
    "gravity": {"feeding": [{**_GRAVITY, "formula": _OPEN, "times": _TIMES}]},
    "gravity-bag": {"feeding": [{**_GRAVITY, "formula": _CLOSED, "times": _TIMES}]},
    "night-pump": {
        "feeding": [{**_PUMP, "formula": _OPEN, "starts": "20:00", "runs_for": "10 h"}],
    },
    "day-pump": {"feeding": [{**_PUMP, "formula": _CLOSED, "starts": "00:00", "runs_for": "24 h"}]},
    "part-day": {"feeding": [{**_PUMP, "formula": _POWDER, "starts": "09:00", "runs_for": "6 h"}]},
    "none": {"feeding": REMOVE},
}
_TABLET = {"name": "senna", "form": "tablet", "dose": "1 tablet", "times": ["08:00"]}
OTHER: dict[str, Changes] = {
    "lines": {"other_lines": ["PICC"]},
    "no-lines": {"other_lines": []},
    "confused": {"patient.conditions": ["confusion", "needs-full-care"]},
    "weak": {"patient.conditions": ["immune-suppressed", "refeeding-risk"]},
    "eats": {"patient.by_mouth": "full", "patient.conditions": ["thickened-fluids"]},
    "sips": {"patient.by_mouth": "sips"},
    "button": {"tube.build": "low-profile", "tube.length": "2 cm", "tube.mark_at_skin": REMOVE},
    "bumper": {
        "tube.held_by": "bumper",
        "tube.balloon_fill": REMOVE,
        "tube.balloon_port_color": REMOVE,
    },
    "stitches": {
        "tube.held_by": "stitches",
        "tube.balloon_fill": REMOVE,
        "tube.balloon_port_color": REMOVE,
    },
    "no-medicines": {"medicines": REMOVE},
    "crushed": {
        "medicines": [{**_TABLET, "through": "gastric", "crush": "pharmacist-approved"}],
    },
    "asked": {"medicines": [{**_TABLET, "through": "gastric"}]},
    "small-dose": {
        "medicines": [
            {"name": "digoxin", "form": "liquid", "dose": "0.25 mL", "times": ["08:00"],
             "through": "gastric"}
        ]
    },
    "units": {
        "medicines": [
            {"name": "heparin", "form": "injection", "dose": "5000 units", "times": ["08:00"]}
        ]
    },
    "limit": {"water.limit": "1500 mL", "water.goal": REMOVE},
    "by-push": {"water.by": "plunger"},
    "visit": {"visits": [{"what": "Check", "when": "2026-06-01 09:00"}]},
    "big-amounts": {"water.extra": {"amount": "1000 mL", "times": ["12:00", "00:00"]}},
}  # fmt: skip
POLICIES: dict[str, Policy] = {
    "shipped": policy_with(),
    "other": policy_with(
        tube_back_at_home=True, water_for_most="boiled", flush_by="plunger", dressing_place="under",
        medicine_flushes="before-and-after-each", balloon_check_at_home=False,
    ),
}  # fmt: skip


def _changes() -> Iterator[tuple[str, Changes]]:
    yield "as it is", {}
    for (stage, first), (age, second) in product(STAGES.items(), AGES.items()):
        yield f"{stage} {age}", {**first, **second}
    for (stage, first), (other, second) in product(STAGES.items(), (FEEDING | OTHER).items()):
        yield f"{stage} {other}", {**first, **second}


def broad_decisions(every: int = 1, first: int = 0) -> Iterator[tuple[str, Decision]]:
    """(name, decision) of changes of each base that could be printed: no stop stands for good.

    Args:
        every: Take one of so many.
        first: The number of the first, counted from 0.
    """
    for base, (what, changes), policy in islice(
        product(BASES, _changes(), POLICIES), first, None, every
    ):
        try:
            decision = decision_from(text_with(changes, base), rules=POLICIES[policy])
        except (PlainleafError, KeyError):
            continue
        stops = {f.id for f in decision.findings if f.level == "stop" and not f.acceptable}
        # Other settings have no seal of their own here; their words are read all the same.
        if not stops - {"content-not-proved"}:
            yield f"{base} {what} {policy}", decision
