"""Facts about the medicine list as a whole; those about one medicine stand in tripwires.py."""

from __future__ import annotations

from itertools import groupby

from plainleaf.facts.declare import (
    LOADER,
    Asked,
    Constraint,
    following,
    unasked,
    whenever,
    yes_no,
)
from plainleaf.facts.given import Given
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.conditions import every, no, some, yes

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
