"""Facts about the medicine list as a whole; those about one medicine stand in tripwires.py."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import groupby
from typing import Any

from plainleaf.facts.declare import (
    LOADER,
    Asked,
    Constraint,
    Slot,
    following,
    slot,
    unasked,
    whenever,
    word,
    yes_no,
)
from plainleaf.facts.derived import Phrase, Typed
from plainleaf.facts.given import Given
from plainleaf.inputs.patient import Medicine
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.conditions import answers, every, no, some, yes

_BY_TUBE = yes("medicines_by_tube")
_INSULIN, _SUGAR = yes("insulin"), yes("diabetes_medicine")


def _matches(given: Given, tripwire: str) -> bool:
    return any(tripwire in medicine.entries for medicine in given.medicines)


def _together(given: Given) -> bool:
    """Two or more medicines at one time through one port."""
    rounds = sorted(
        (time, m.medicine.through or "") for m in given.by_tube for time in m.medicine.times
    )
    return any(len(list(group)) > 1 for _, group in groupby(rounds))


def _through(port: str) -> Asked[Given]:
    name = f"medicines_through_{port}"
    return yes_no(
        name, f"a medicine goes through the {port} port",
        lambda g: any(m.medicine.through == port for m in g.by_tube), needs="medicines",
        legal=(whenever(yes(name), yes(f"{port}_medicines"),
                        "medicines go through a port that is for them",
                        "rule port-not-for-this"),),
    )  # fmt: skip


def _is_by_tube(name: str) -> tuple[Constraint, ...]:
    return (whenever(yes(name), _BY_TUBE, "the fact is about medicines by tube"),)


# --- what only format 2 can order ----------------------------------------------------------------

_ON_THE_LIST = some(_BY_TUBE, yes("other_route_medicines"))
_LIQUID = {"form": "liquid", "route": "gastric", "times": ["08:00"]}


def _listed(given: Given, holds: Callable[[Medicine], bool]) -> bool:
    """Whether it holds of a medicine of a file of format 2."""
    return not given.undated and any(holds(medicine) for medicine in given.patient.medicines)


def _ordered(
    name: str,
    means: str,
    holds: Callable[[Medicine], bool],
    shown: Mapping[str, Any],
    **more: Any,
) -> Asked[Given]:
    """A fact about orders that only format 2 can write; `shown`: a medicine of which it holds."""
    on = _BY_TUBE if shown["route"] in terms.PORTS else _ON_THE_LIST
    return yes_no(
        name, means, lambda g: _listed(g, holds), needs="medicines", only_2=True,
        shown={"medicines": [shown]}, legal=(whenever(yes(name), on, "it is on the list"),), **more,
    )  # fmt: skip


def _not_daily(medicine: Medicine) -> bool:
    return bool(medicine.days) or medicine.every is not None


def _held(medicine: Medicine) -> bool:
    """Whether feeding is off around it."""
    return medicine.hold_before is not None or medicine.hold_after is not None


def _crushed(medicine: Medicine) -> bool:
    """Whether the family crushes it for the tube; what the pharmacy makes ready, nobody does."""
    return medicine.through is not None and medicine.prepare == "crush"


def _allergies(given: Given) -> str:
    """What is written of allergies; nothing is said of them where they are not."""
    names = None if given.undated else given.person.allergies
    return "not-written" if names is None else "some" if names else "none-known"


def _allergy_names(given: Given) -> str | Phrase | None:
    """The names as they are written, in one line."""
    names = given.person.allergies if _allergies(given) == "some" else None
    if not names:
        return None
    first, *more = names
    listed: Typed | Phrase = Typed("text", first)
    for name in more:
        listed = Phrase("list-two", (("first", listed), ("second", Typed("text", name))))
    return listed if isinstance(listed, Phrase) else first


_FORMAT_2: tuple[Asked[Given], ...] = (
    _ordered(
        "dose_by_sugar", "a dose goes by the blood sugar", lambda m: m.scale is not None,
        {"name": "insulin regular", "form": "injection", "route": "injection", "times": ["08:00"],
         "scale": {"below 70 mg/dL": "low-sugar plan", "70 mg/dL or more": "3 units"}},
    ),
    _ordered(
        "dose_by_date", "a dose changes from one date to the next", lambda m: bool(m.steps),
        {"name": "prednisone", "form": "tablet", "route": "mouth", "times": ["08:00"],
         "from": "{day}", "steps": [{"for": "5 d", "dose": "4 mg"}, {"dose": "2 mg"}]},
    ),
    _ordered(
        "not_daily_medicines", "a medicine is not given every day", _not_daily,
        {"name": "clonidine", "form": "patch", "route": "patch", "dose": "1 patch",
         "times": ["08:00"], "days": ["Sat"]},
    ),
    _ordered(
        "feeding_off_medicines", "feeding is off around a medicine", _held,
        {"name": "alendronate", "form": "tablet", "route": "mouth", "dose": "1 tablet",
         "times": ["08:00"], "hold_before": "1 h"},
    ),
    _ordered(
        "needed_doses_said", "each dose as needed says what for and how often",
        lambda m: m.as_needed,
        {"name": "acetaminophen", "form": "suppository", "route": "rectal",
         "dose": "1 suppository", "times": "as needed", "for": ["pain"],
         "at_most": "4 doses in 24 h"},
    ),
    _ordered(
        "crushing_said", "the order says how a tablet is crushed for the tube", _crushed,
        {"name": "folic acid", **_LIQUID, "form": "tablet", "dose": "1 tablet",
         "prepare": "crush", "in": "15 mL water"},
        shown_outcome=("crush-not-cleared", "as-ordered", {}),
    ),
    yes_no(
        "hazardous_at_home", "a hazardous medicine goes through the tube by order",
        lambda g: bool(g.outcomes_of("hazardous-medicine")), needs="medicines", only_2=True,
        shown={"medicines": [{"name": "methotrexate", **_LIQUID, "dose": "5 mL"}]},
        shown_outcome=("hazardous-medicine", "pharmacy-prepares", {"as": "syringes"}),
        legal=_is_by_tube("hazardous_at_home"),
    ),
    yes_no(
        "laxative_settled", "what goes with a laxative in thickened drinks was decided",
        lambda g: bool(g.outcomes_of("laxative-and-thickener")), needs="medicines", only_2=True,
        shown={"medicines": [{"name": "polyethylene glycol 3350", "form": "powder",
                              "route": "mouth", "dose": "17 g", "times": ["08:00"]}]},
        shown_outcome=("laxative-and-thickener", "use-other-thickener", {}),
        legal=(whenever(yes("laxative_settled"),
                        every(yes("thickened_fluids"), _ON_THE_LIST), "it is asked of them"),),
    ),
    word(
        "allergies", ("not-written", "none-known", "some"), "what is written of allergies",
        _allergies, needs="patient.allergies", only_2=True,
        shown={"patient.allergies": ["penicillin"]},
    ),
)  # fmt: skip

MEDICINES_SLOTS: tuple[Slot[Given], ...] = (
    slot(
        "allergy_names", "text", "what must not be given", _allergy_names,
        answers("allergies", "some"),
    ),
)  # fmt: skip
MEDICINES_FACTS: tuple[Asked[Given], ...] = (
    yes_no(
        "insulin", "uses insulin", lambda g: _matches(g, "insulin"), needs="medicines",
        legal=(
            whenever(_INSULIN, _SUGAR, "insulin lowers blood sugar"),
            whenever(_INSULIN, yes("other_route_medicines"), "insulin stays out of the tube",
                     "rule insulin-through-tube"),
        ),
    ),
    yes_no(
        "diabetes_medicine", "uses insulin or a sugar-lowering medicine",
        lambda g: _matches(g, "insulin") or _matches(g, "sulfonylurea"), needs="medicines",
        legal=(whenever(_SUGAR, some(_BY_TUBE, yes("other_route_medicines")),
                        "a medicine is on the list"),),
    ),
    _through("gastric"),
    _through("jejunal"),
    following(
        "medicines_by_tube", "a medicine goes through the tube",
        some(*(yes(f"medicines_through_{port}") for port in terms.PORTS)), needs="medicines",
    ),
    yes_no(
        "medicines_together", "two or more at one time and port", _together, needs="medicines",
        legal=(whenever(yes("medicines_together"), some(yes("timed_gastric"), yes("timed_jejunal")),
                        "they have a time in common"),),
    ),
    yes_no(
        "liquid_medicines", "a liquid goes through the tube",
        lambda g: any(m.answers["medicine_form"] == "liquid" for m in g.by_tube),
        needs="medicines", legal=_is_by_tube("liquid_medicines"),
    ),
    yes_no(
        "crushed_medicines", "a tablet may be crushed, by the pharmacist",
        lambda g: any(m.answers["pharmacist_approved"] == "true" for m in g.by_tube),
        needs="medicines", legal=_is_by_tube("crushed_medicines"), only_1=True,
    ),
    yes_no(
        "small_doses", "a dose below the policy's small dose",
        lambda g: any(m.answers["small_dose_medicine"] == "true" for m in g.by_tube),
        needs="medicines", legal=_is_by_tube("small_doses"),
    ),
    yes_no(
        "as_needed_medicines", "a medicine without fixed times",
        lambda g: any(m.medicine.as_needed for m in g.by_tube),
        needs="medicines", legal=_is_by_tube("as_needed_medicines"),
    ),
    yes_no(
        "other_route_medicines", "a medicine that stays out of the tube",
        lambda g: len(g.by_tube) < len(g.medicines), needs="medicines",
    ),
    *_FORMAT_2,
)  # fmt: skip


def _timed(port: str) -> Asked[Given]:
    timed, has = yes(f"timed_{port}"), yes(f"medicines_through_{port}")
    return unasked(
        f"timed_{port}", f"a medicine with a time of day goes through the {port} port",
        whenever(timed, has, "what the fact means"),
        whenever(every(has, no("as_needed_medicines")), timed,
                 "a medicine has times or is as needed", LOADER),
    )  # fmt: skip


# What no condition asks, and yet decides whether a table has rows.
MEDICINES_UNASKED: tuple[Asked[Given], ...] = (
    _timed("gastric"),
    _timed("jejunal"),
    unasked(
        "timed_elsewhere", "a medicine with a time of day stays out of the tube",
        whenever(yes("timed_elsewhere"), yes("other_route_medicines"), "what the fact means"),
    ),
)  # fmt: skip
